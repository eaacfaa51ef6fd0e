"""Why a memo was understood, or a question answered, as it was: what `--why` shows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from textwrap import fill

from voicelog.cli.common import say
from voicelog.cli.screens import row, show, table
from voicelog.explanations import MemoWhy, Reason, RecordWhy, Way, WordUse
from voicelog.sentences import record_text, shortened, value_text, when_text
from voicelog.types import Draft, Interval

_WIDTH = 80


def tell_why(why: MemoWhy, drafts: Iterable[Draft], now: datetime) -> None:
    """The use of every word, then each record with where its fields come from."""
    if not why.words:
        return
    say()
    made = table("Every word and its use", "words", "for", "use", "decided by")
    for item in why.words:
        row(made, shortened(item.text), " ".join(map(str, item.records)), used_as(item), item.by)
    show(made)
    for told, draft in zip(why.records, drafts, strict=True):
        _tell_record(told, draft, now)


def used_as(item: WordUse) -> str:
    """What words were used for, in a cell."""
    return f"{item.use.value}: {item.says}" if item.says else item.use.value


def _tell_record(told: RecordWhy, draft: Draft, now: datetime) -> None:
    made = table(f"{told.number}. {record_text(draft, now)}", "field", "value", "from", "by")
    for item in told.reasons:
        row(made, item.field, _value(item, now), _source(item), item.by)
    show(made)
    if told.ways:
        weighed = f"weighed: {'; '.join(way_text(way) for way in told.ways)}"
        say(fill(weighed, _WIDTH, initial_indent="  ", subsequent_indent="    "))
        say()


def _value(item: Reason, now: datetime) -> str:
    return (
        when_text(item.value, now) if isinstance(item.value, Interval) else value_text(item.value)
    )


def _source(item: Reason) -> str:
    of = "" if item.of is None else f" from record {item.of}"
    words = f" “{shortened(item.words)}”" if item.words else ""
    return f"{item.source.value}{of}{words}"


def way_text(way: Way) -> str:
    """One way of reading, in a line: `eggs 3.0 (a record of its own, taken)`."""
    if way.kind is None:
        return f"{way.how} {way.score:g}" + (" (taken)" if way.taken else "")
    return f"{way.kind} {way.score:g} ({way.how}{', taken' if way.taken else ''})"
