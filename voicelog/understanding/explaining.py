"""Why a memo was understood as it was: each word's use, each record's ways and origins.

    Passes ─word_uses──▶ WordUse for every word
           ─ways_to_read (stretches.py)─▶ Way: the kinds that were weighed
           ─origins────▶ Reason for every field

Everything is told from what the passes gave; no pass knows of it, and a memo that nobody asks
about costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from voicelog.explanations import MemoWhy, Reason, RecordWhy, Source, Way
from voicelog.types import Draft, Parse, Transcript
from voicelog.understanding.event import Event
from voicelog.understanding.origins import Origins
from voicelog.understanding.parser import Parser
from voicelog.understanding.passes import Passes
from voicelog.understanding.stretches import Stretch, ways_to_read
from voicelog.understanding.word_uses import list_named, word_uses

ALONE = "a record of its own"
GOES_ON = "goes on with the one before"
FALLS_SHORT = "falls short"
NOTHING = "not understood"


def explain(parser: Parser, memo: str | Transcript, now: datetime) -> MemoWhy:
    """Why `parser.parse(memo, now)` gives what it gives.

    Args:
        parser: of the farm meant.
        memo: as it was typed or heard.
        now: aware, when it was said.
    """
    if isinstance(memo, Transcript):
        return _of_transcript(parser, memo, now)
    passes = parser.passes(memo, parser.at_home(now))
    origins = Origins(passes, parser.farm)
    told = [
        RecordWhy(
            number=number,
            kind=draft.kind,
            words=draft.text,
            ways=() if origins.implier(number) else tuple(_ways(passes, event)),
            reasons=tuple(origins.of(number)),
        )
        for number, (event, draft) in enumerate(
            zip(passes.events, passes.parse.records, strict=False), start=1
        )
    ]
    kept = [
        RecordWhy(
            number=number,
            kind=draft.kind,
            words=draft.text,
            ways=(),
            reasons=tuple(_of_remark(draft, wish=span in passes.steered.wishes)),
        )
        for number, (span, draft) in enumerate(
            zip(passes.remarks, passes.parse.records[len(told) :], strict=True),
            start=len(told) + 1,
        )
    ]
    words = word_uses(passes, parser.catalogue)
    return MemoWhy(words=words, records=(*told, *kept), meant=memo)


def _of_transcript(parser: Parser, transcript: Transcript, now: datetime) -> MemoWhy:
    """The same for what was heard: told of the reading that was taken, with the doubts of hearing.

    The reading taken is the first whose text gives the records that the transcript gives.
    """
    parse = parser.parse(transcript, now)
    texts = dict.fromkeys((transcript.text, *(other.text for other in transcript.alternatives)))
    meant = next(
        (text for text in texts if _said(parser.parse(text, now)) == _said(parse)), transcript.text
    )
    found = explain(parser, meant, now)
    told = tuple(
        replace(why, reasons=tuple(_as_heard(why, draft)))
        for why, draft in zip(found.records, parse.records, strict=True)
    )
    return replace(found, records=told, heard=transcript.text)


def _said(parse: Parse) -> list[str]:
    return [draft.text for draft in parse.records] + [*parse.questions, *parse.unused]


def _as_heard(why: RecordWhy, draft: Draft) -> Iterator[Reason]:
    """The reasons of a record with the doubts and the certainty that hearing gave it."""
    told = [item.value for item in why.reasons if item.field == "doubts"]
    heard = [doubt for doubt in draft.doubts if doubt not in told]
    for item in why.reasons:
        if item.field != "certainty":
            yield item
            continue
        for doubt in heard:
            yield Reason(field="doubts", value=doubt, source=Source.SUM, by="choosing.py")
        by = f"{item.by}; less where its words were heard with little certainty"
        changed = item.value != draft.certainty
        yield replace(item, value=draft.certainty, by=by if changed else item.by)


def _ways(passes: Passes, event: Event) -> Iterator[Way]:
    """The ways that were weighed for the stretch that an event began with, and the next best."""
    latest = None
    stretch: Stretch | None = None
    for stretch in passes.stretches:
        if stretch.reading is event.reading:
            break
        latest = stretch.reading or latest
    if stretch is None or stretch.reading is not event.reading:
        return
    told = next(span for span in passes.steered.told if span[0] <= stretch.first < span[1])
    named = set()
    for score, way in ways_to_read(passes.mentions, passes.reader, stretch, told, latest):
        kind = None if way.reading is None else way.reading.kind.name
        named.add(kind)
        how = NOTHING if kind is None else GOES_ON if way.follows else ALONE
        yield Way(kind=kind, how=how, score=round(score, 2), taken=way == stretch)
    yield from sorted(_too_little(passes, stretch, named), key=lambda way: -way.score)[:2]


def _too_little(passes: Passes, stretch: Stretch, named: set[str | None]) -> Iterator[Way]:
    """Kinds that some words speak for, and not enough."""
    reader = passes.reader
    for kind in reader.kinds_in(stretch.first, stretch.last):
        if kind.name not in named:
            reading = reader.read(kind, stretch.first, stretch.last)
            score = reading.score + reader.strangers(kind, stretch.first, stretch.last)
            yield Way(kind=kind.name, how=FALLS_SHORT, score=round(score, 2))


def _of_remark(draft: Draft, *, wish: bool) -> Iterator[Reason]:
    """A remark is what was kept because nothing else was understood of it."""
    by = list_named("conditional") if wish else "words that no kind of record understands"
    yield Reason(field="kind", value=draft.kind, source=Source.OWN, words=draft.text, by=by)
    yield Reason(field="status", value=draft.status.value, source=Source.NOT_SAID, by="drafts.py")
    words = draft.when_said
    yield Reason(
        field="when",
        value=draft.when,
        source=Source.OWN if words else Source.NOT_SAID,
        words=words or "",
        by="text/times" if words else "the memo's own time",
    )
    names = {"place": draft.place, "flock": draft.flock}
    for field, value in names.items():
        if value is not None:
            yield Reason(field=field, value=value, source=Source.OWN, by="named in it")
    for bird in draft.birds:
        yield Reason(field="birds", value=(bird,), source=Source.OWN, by="named in it")
    by = "the same for every remark (drafts.py)"
    yield Reason(field="certainty", value=draft.certainty, source=Source.SUM, by=by)
