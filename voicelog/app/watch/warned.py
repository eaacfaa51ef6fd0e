"""The gravest of what a memo warns of, told in one line in the moment it is said.

Who is in a field hears one line, not four: of several warnings only the gravest is told. The words
of advice are the catalogue's, and leave the last word to labels, vets and agencies.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from voicelog.app.watch.dangers import Warned, deaths_warned, eggs_warned, line_warned
from voicelog.app.watch.drinking import drinking_warned
from voicelog.app.watch.ground import Ground, ground_of
from voicelog.app.watch.heat import heat_warned
from voicelog.errors import RequestError
from voicelog.sentences import cautions_of
from voicelog.types import Record, Status

if TYPE_CHECKING:
    from voicelog.app.notebook import Notebook, Noted

_LOOKS: tuple[Callable[[Ground, Record], Warned | None], ...] = (
    deaths_warned, heat_warned, eggs_warned, line_warned, drinking_warned,
)  # fmt: skip


def warnings_of(notebook: Notebook, noted: Noted) -> tuple[Warned, ...]:
    """The gravest warning about what a memo said or corrected; empty where there is none.

    Only what was known when it was said counts.

    Raises:
        StoreError: the store cannot be read.
    """
    changed = dict.fromkeys(change.record_id for change in noted.changes)
    corrected = (notebook.reading.record(record_id) for record_id in changed)
    records = (*noted.records, *corrected)
    return warnings_about(notebook, records) if records else ()


def warnings_about(
    notebook: Notebook, records: Sequence[Record], now: datetime | None = None
) -> tuple[Warned, ...]:
    """The gravest warning about records of one memo, as they stand.

    Args:
        notebook: the notebook.
        records: of one memo.
        now: by what is known at this moment; at that of the memo where it is not given.
    """
    standing = [r for r in records if not r.withdrawn and r.draft.status is Status.DONE]
    found = [warning for record in standing for warning in _about(notebook, record, now)]
    return tuple(sorted(found, key=lambda warning: -warning.gravity)[:1])


def told_warning(warning: Warned, records: Sequence[Record]) -> str:
    """A warning in one line, with its caution where the records do not show that anyway."""
    shown = {caution.text for caution in cautions_of(record.draft for record in records)}
    if warning.caution is None or warning.caution in shown:
        return warning.text
    return f"{warning.text} {warning.caution}"


def _about(notebook: Notebook, record: Record, now: datetime | None) -> Iterator[Warned]:
    ground = ground_of(notebook, now or record.memo_said_at)
    for look in _LOOKS:
        try:
            warning = look(ground, record)
        except RequestError:
            # A number that makes no sense is in doubt already; it must not cost the memo.
            continue
        if warning is not None:
            yield warning
