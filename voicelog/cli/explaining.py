"""Why a memo was understood, or a question answered, as it was: what `--why` shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import zip_longest
from textwrap import fill

from voicelog.cli.common import say
from voicelog.cli.screens import row, show, table
from voicelog.explanations import MemoWhy, QuestionWhy, Reason, RecordWhy, Way, WordUse
from voicelog.sentences import record_text, shortened, value_text, when_text
from voicelog.types import Draft, Interval

_WIDTH = 80
_MOST_LOOKS = 8
"""Looks into the store that a screen shows."""


def tell_why(why: MemoWhy, drafts: Iterable[Draft], now: datetime) -> None:
    """The use of every word, then each record with where its fields come from."""
    if not why.words:
        return
    say()
    if why.heard is not None:
        say(f"Heard: “{shortened(why.heard)}”")
        say(f"Meant: “{shortened(why.meant)}”")
        say()
    made = table("Every word and its use", "words", "for", "use", "decided by")
    for item in why.words:
        row(made, shortened(item.text), " ".join(map(str, item.records)), _used_as(item), item.by)
    show(made)
    for told, draft in zip(why.records, drafts, strict=True):
        _tell_record(told, draft, now)


def _used_as(item: WordUse) -> str:
    """What words were used for, in a cell."""
    return f"{item.use.value}: {item.says}" if item.says else item.use.value


def _tell_record(told: RecordWhy, draft: Draft, now: datetime) -> None:
    made = table(f"{told.number}. {record_text(draft, now)}", "field", "value", "from", "by")
    for item in told.reasons:
        row(made, item.field, _value(item, now), _source(item), item.by)
    show(made)
    _tell_weighed(told.ways)


def _tell_weighed(ways: Sequence[Way]) -> None:
    if ways:
        weighed = f"weighed: {'; '.join(_way_text(way) for way in ways)}"
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


def _way_text(way: Way) -> str:
    """One way of reading, in a line: `eggs 3.0 (a record of its own, taken)`."""
    if way.kind is None:
        return f"{way.how} {way.score:g}" + (" (taken)" if way.taken else "")
    return f"{way.kind} {way.score:g} ({way.how}{', taken' if way.taken else ''})"


def tell_why_answered(why: QuestionWhy, now: datetime) -> None:
    """The use of every word, how the question was read, and what was looked up for it."""
    if not why.words:
        return
    say()
    made = table("Every word and its use", "words", "use", "decided by")
    for item in why.words:
        row(made, shortened(item.text), _used_as(item), item.by)
    show(made)
    made = table("How it was read and answered", "what", "value", "from", "by")
    for told in why.reasons:
        row(made, told.field, _value(told, now), _source(told), told.by)
    show(made)
    _tell_weighed(why.ways)
    made = table("What was looked up", "kind", "records", "left out", "gave")
    for look in why.looks[:_MOST_LOOKS]:
        out = [f"{out.records} by {out.by}: {out.wanted}" for out in look.taken_out]
        gave = [f"{look.left} left", *look.gave]
        kinds, looked_at = [", ".join(look.kinds) or "all"], [str(look.looked_at)]
        for cells in zip_longest(kinds, looked_at, out, gave, fillvalue=""):
            row(made, *cells)
    if why.looks:
        show(made)
    if len(why.looks) > _MOST_LOOKS:
        say(f"  and {len(why.looks) - _MOST_LOOKS} more; --json lists them")
