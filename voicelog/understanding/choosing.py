"""Of several ways the same sound may be read, the one that makes most sense as a note.

The recogniser's first reading is the likeliest by sound; the right words are often second or
third. A reading gains by what it says of the farm (slots, places, birds) and loses by words that
nothing used. Only readings close by sound are looked at.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from voicelog.types import Draft, Parse, Transcript
from voicelog.understanding.rivals import with_rivals

_CLOSE = 4.0
"""How far behind the first a reading may lie, in the recogniser's own score."""
_MOST = 12
"""How many readings are looked at."""
_UNSURE = 0.45
"""A word below this share of the likely readings is asked about."""
_TRUST = 0.7
"""What is left of a record's certainty that rests on such a word."""
_SAID = 0.3
"""What each thing that is said of the farm is worth, against one word left over."""


def most_sensible(transcript: Transcript, understand: Callable[[str], Parse], remark: str) -> Parse:
    """The parse of the reading that makes most sense; its memo is what was heard first."""
    first = understand(transcript.text)
    if not transcript.alternatives:
        return _with_unsure_words(first, transcript)
    if _left_over(first, remark) == 0:
        return _with_unsure_words(with_rivals(first, transcript, understand), transcript)
    best, best_sense = first, _sense(first, remark)
    likeliest = transcript.alternatives[0].score
    for other in transcript.alternatives[1:_MOST]:
        if likeliest - other.score > _CLOSE:
            break
        parse = understand(other.text)
        if _shape(parse) != _shape(first):
            continue
        sense = _sense(parse, remark) - (likeliest - other.score)
        if sense > best_sense:
            best, best_sense = parse, sense
    if best is first:
        return _with_unsure_words(with_rivals(first, transcript, understand), transcript)
    doubted = tuple(_doubted(draft, transcript.text) for draft in best.records)
    return replace(best, memo=transcript.text, records=doubted)


def _with_unsure_words(parse: Parse, transcript: Transcript) -> Parse:
    """A record that rests on words heard with little certainty asks about them."""
    unsure = [word.text for word in transcript.words if word.confidence < _UNSURE]
    records = []
    for draft in parse.records:
        inside = [word for word in unsure if word in draft.text.split()]
        if inside:
            words = ", ".join(f"“{word}”" for word in dict.fromkeys(inside))
            doubt = f"Heard with little certainty: {words}; is it right?"
            certainty = round(draft.certainty * _TRUST, 2)
            draft = replace(draft, doubts=(*draft.doubts, doubt), certainty=certainty)
        records.append(draft)
    return replace(parse, records=tuple(records))


def _shape(parse: Parse) -> tuple[int, int]:
    """A reading may not turn a telling into a question or the other way round."""
    return len(parse.questions), len(parse.instructions)


def _sense(parse: Parse, remark: str) -> float:
    said = sum(
        len(draft.slots) + bool(draft.place) + bool(draft.flock) + len(draft.birds)
        for draft in parse.records
    )
    return _SAID * said - _left_over(parse, remark)


def _left_over(parse: Parse, remark: str) -> int:
    words = sum(len(run.split()) for run in parse.unused)
    return words + sum(len(draft.text.split()) for draft in parse.records if draft.kind == remark)


def _doubted(draft: Draft, heard: str) -> Draft:
    """A record from other words than those heard first says so."""
    if draft.text in heard:
        return draft
    doubt = f"Taken as {draft.text!r}, heard as {heard!r}; is that right?"
    return replace(draft, doubts=(*draft.doubts, doubt))
