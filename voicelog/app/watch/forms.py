"""What is due and what is warned of, as JSON has them."""

from __future__ import annotations

from typing import Any

from voicelog.app.watch.dangers import Warned
from voicelog.app.watch.ground import Due


def due_form(due: Due) -> dict[str, Any]:
    """One thing that is due."""
    return {
        "what": due.what,
        "chore": due.chore,
        "place": due.place,
        "birds": list(due.birds),
        "on": due.on.isoformat(),
        "overdue_days": due.overdue_days,
        "because": due.because,
        "caution": due.caution,
        "evidence": list(due.evidence),
    }


def with_due(form: dict[str, Any], dues: tuple[Due, ...]) -> dict[str, Any]:
    """The lists of the chores, and under a key of its own what is due besides, where anything is.

    Without it the object is what it is for programs that know the lists alone.
    """
    return {**form, "due": [due_form(due) for due in dues]} if dues else form


def warning_form(warning: Warned) -> dict[str, Any]:
    """One warning."""
    return {
        "what": warning.what,
        "text": warning.text,
        "caution": warning.caution,
        "evidence": list(warning.evidence),
    }
