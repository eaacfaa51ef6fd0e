"""All that is due today beside the chores, the longest due first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from voicelog.app.watch.ground import Due, ground_of
from voicelog.app.watch.kept_back import holds_ending
from voicelog.app.watch.rearing import rearing_due
from voicelog.app.watch.sitting import sittings_due
from voicelog.app.watch.stock import shortages_due
from voicelog.app.watch.upkeep import moves_due, tests_due
from voicelog.sentences import listed, shortened

if TYPE_CHECKING:
    from voicelog.app.notebook import Notebook

_AT_MOST = 3
"""Things named in one breath; the rest are counted."""
_LONGEST = 80
"""Letters of one of them."""


def due_today(notebook: Notebook, now: datetime) -> tuple[Due, ...]:
    """What is due beside the farm's chores; empty where no record asks for anything.

    Raises:
        StoreError: the store cannot be read.
        FarmFileError: the farm file has faults.
    """
    ground = ground_of(notebook, now)
    found = [
        *holds_ending(ground),
        *sittings_due(ground),
        *rearing_due(ground),
        *tests_due(ground),
        *moves_due(ground),
        *shortages_due(ground),
    ]
    return tuple(sorted(found, key=lambda due: (-due.overdue_days, due.on)))


def due_line(dues: Sequence[Due]) -> str:
    """What is due in one line that can be spoken; empty where nothing is."""
    if not dues:
        return ""
    told = [shortened(_named(due), _LONGEST) for due in dues[:_AT_MOST]]
    more = len(dues) - _AT_MOST
    rest = f"; and {more} more" if more > 0 else ""
    return f"Also due: {'; '.join(told)}{rest}."


def where_text(due: Due) -> str:
    """Where and whom something is about: "hatching box, Pepper"; empty where nothing is said."""
    return ", ".join(part for part in (due.place or "", listed(due.birds)) if part)


def _named(due: Due) -> str:
    about = where_text(due)
    return f"{due.chore} ({about})" if about else due.chore
