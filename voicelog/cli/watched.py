"""What is due beside the chores, and what a memo warns of, on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from voicelog.cli.common import say
from voicelog.sentences import counted, day_text

if TYPE_CHECKING:
    from voicelog.app.notebook import Noted
    from voicelog.app.watch import Due, Warned

HEADING = "Due besides the chores"


def tell_due(dues: Sequence[Due], now: datetime) -> None:
    """What is due, why, and the caution that goes with it, each caution once."""
    from voicelog.app.watch import where_text

    if not dues:
        return
    say("")
    say(f"{HEADING}:")
    for due in dues:
        about = where_text(due)
        say(f"  {due.chore}{f', {about}' if about else ''} ({_when(due, now)})")
        say(f"      {due.because}")
    for caution in dict.fromkeys(due.caution for due in dues if due.caution):
        say(f"Caution: {caution}")


def _when(due: Due, now: datetime) -> str:
    if due.overdue_days:
        return f"{counted(due.overdue_days, 'day')} overdue"
    since = day_text(due.on, now)
    return since if due.on >= now.date() else f"since {since}"


def tell_warnings(warnings: Sequence[Warned], noted: Noted) -> None:
    """What a memo warns of, in one line."""
    from voicelog.app.watch import told_warning

    for warning in warnings:
        say(f"Warning: {told_warning(warning, noted.records)}")
