"""How a thing stands: the newest record of a state or of its opposite says."""

from __future__ import annotations

from voicelog.answering.ground import Ground
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import select
from voicelog.catalogue.asking import State
from voicelog.types import Interval, Record


def state_asked(ground: Ground, question: Question, subject: Subject) -> State | None:
    """The state that the question asks about."""
    return next(
        (
            state
            for state in ground.asking.states
            if state.kind == subject.kind
            and any(state.holding(value) is not None for value in question.state)
        ),
        None,
    )


def holding(
    ground: Ground, question: Question, subject: Subject, period: Interval | None = None
) -> Record | None:
    """The newest record that says how the thing stands; None where none does."""
    state = state_asked(ground, question, subject)
    if state is None:
        return None
    values = tuple(value for side in state.holds for value in side.values)
    slots = {**subject.slots, state.slot: values}
    return select(ground, question, subject, period=period, slots=slots).newest()
