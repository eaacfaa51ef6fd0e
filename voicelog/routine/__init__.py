"""What is due today, done, skipped and not due, from the farm's chores and its records."""

from voicelog.routine.plan import day_plan, past_plans
from voicelog.routine.telling import summary

__all__ = ["day_plan", "past_plans", "summary"]
