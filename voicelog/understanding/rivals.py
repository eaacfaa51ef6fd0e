"""What the same sound may say instead, where it makes another number, place or name of a record.

Fifteen and fifty, or two letters in the names of two places, are nearly one sound. Where a reading
close to the one taken gives a record the same shape with another value, the record asks which.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from difflib import SequenceMatcher

from voicelog.types import Draft, Parse, Transcript

_NEAR = 2.0
"""How far behind, in the recogniser's own score, a reading is a rival."""
_MOST = 8
"""How many readings are looked at."""
_ASKED = 2
"""How many questions a record is given at most."""
_TRUST = 0.7
"""What is left of a record's certainty where it has a rival."""


def with_rivals(parse: Parse, transcript: Transcript, understand: Callable[[str], Parse]) -> Parse:
    """The parse of the transcript's text, its records asking about values that have a rival."""
    doubts: list[dict[str, None]] = [{} for _ in parse.records]
    for text in _near(transcript):
        other = understand(text)
        if _shape(other) != _shape(parse) or _left_over(other) > _left_over(parse):
            continue
        for asked, draft, rival in zip(doubts, parse.records, other.records, strict=True):
            if _values(draft) != _values(rival) and len(asked) < _ASKED:
                asked.update(dict.fromkeys(_question(draft.text, rival.text)))
    records = tuple(
        _asking(draft, tuple(asked)) for draft, asked in zip(parse.records, doubts, strict=True)
    )
    return replace(parse, records=records)


def _near(transcript: Transcript) -> Iterator[str]:
    for other in transcript.alternatives[1:_MOST]:
        if transcript.alternatives[0].score - other.score <= _NEAR:
            yield other.text


def _shape(parse: Parse) -> tuple[object, ...]:
    """What is said of what, without the values."""
    records = tuple(
        (
            draft.kind,
            draft.status,
            tuple(draft.slots),
            draft.place is None,
            draft.flock is None,
            len(draft.birds),
        )
        for draft in parse.records
    )
    return records, len(parse.questions), len(parse.instructions)


def _left_over(parse: Parse) -> int:
    return sum(len(run.split()) for run in parse.unused)


def _values(draft: Draft) -> tuple[object, ...]:
    return dict(draft.slots), draft.place, draft.flock, draft.birds, draft.when_said


def _question(text: str, rival: str) -> Iterator[str]:
    """What to ask where one run of words is another one in the rival, and all others are alike."""
    words, others = text.split(), rival.split()
    codes = SequenceMatcher(None, words, others, False).get_opcodes()
    changes = [code for code in codes if code[0] != "equal"]
    if len(changes) == 1 and changes[0][0] == "replace":
        _, start, end, from_, to = changes[0]
        said, instead = " ".join(words[start:end]), " ".join(others[from_:to])
        yield f"Heard “{said}”, but it may be “{instead}”; which is it?"


def _asking(draft: Draft, doubts: tuple[str, ...]) -> Draft:
    if not doubts:
        return draft
    certainty = round(draft.certainty * _TRUST, 2)
    return replace(draft, doubts=(*draft.doubts, *doubts), certainty=certainty)
