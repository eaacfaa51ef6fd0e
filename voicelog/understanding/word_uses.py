"""What each word of a memo was used for, told from what the passes gave.

A word may speak for several records ("a fox took two hens"); its use is then the most telling one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from voicelog.catalogue import Catalogue
from voicelog.explanations import Use, WordUse
from voicelog.text.tokens import Token, tokenise
from voicelog.types import Quantity, SlotValue
from voicelog.understanding.entries import entry_of, file_of
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Name
from voicelog.understanding.passes import Passes

_STEERING = ("not_done", "planned", "conditional", "correction", "withdraw", "same_again",
             "as_well", "each", "both", "negative_count", "unseen", "no_cue", "reported",
             "pointing")  # fmt: skip
"""Word lists that change what is understood, those that change most first."""
_JOINING = ("boundary", "leading", "before_verb", "subjects", "correction_links", "pronouns")
_PASSING = {"fillers": Use.FILLER, "grammar": Use.GRAMMAR}
_ROLES = {
    Role.SAYS: Use.SAYS,
    Role.ABOUT: Use.ABOUT,
    Role.STRONG_VERB: Use.VERB,
    Role.VERB: Use.VERB,
    Role.LABEL: Use.LABEL,
    Role.VALUE: Use.PART,
}
_NAMES = {Role.PLACE: Use.PLACE, Role.FLOCK: Use.FLOCK, Role.BIRD: Use.BIRD, Role.BREED: Use.BIRD}
_ORDER = {use: rank for rank, use in enumerate(Use)}
"""Of two uses of a word the one that is declared first is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Claim:
    """What one record, or one pass, makes of a token."""

    use: Use
    records: tuple[int, ...] = ()
    says: str = ""
    by: str = ""
    kept: bool = True
    """False for what the words name and the record does not hold."""


def word_uses(passes: Passes, catalogue: Catalogue) -> tuple[WordUse, ...]:
    """The use of every word of a memo, in order; words used together stand together."""
    claims = _Claims(passes, catalogue)
    of_token = {token.start: at for at, token in enumerate(passes.mentions.tokens)}
    sound = _Claim(use=Use.SOUND, by=list_named("sounds"))
    found = []
    for token in tokenise(passes.parse.memo):
        at = of_token.get(token.start)
        found.append(_used(token, sound if at is None else claims.of(at)))
    return tuple(in_runs(passes.parse.memo, found))


def list_named(name: str) -> str:
    """A word list by its file and name."""
    return f"{'questions' if name.startswith('ask_') else 'discourse'}.toml {name}"


def said_as(value: SlotValue) -> str:
    """A value as it stands in a line of an explanation."""
    return f"{value.value:g} {value.unit}".rstrip() if isinstance(value, Quantity) else str(value)


def in_runs(text: str, uses: Iterable[WordUse]) -> Iterator[WordUse]:
    """Words that stand side by side and have one use, as one; `uses` gives each token's."""
    run: WordUse | None = None
    for use in uses:
        if run is None:
            run = use
        elif replace(use, text=run.text, start=run.start, end=run.end) == run:
            run = replace(run, text=text[run.start : use.end], end=use.end)
        else:
            yield run
            run = use
    if run is not None:
        yield run


def _used(token: Token, claim: _Claim) -> WordUse:
    return WordUse(
        text=token.text,
        start=token.start,
        end=token.end,
        use=claim.use,
        records=claim.records,
        says=claim.says,
        by=claim.by,
    )


class _Claims:
    """Who claims which token of one memo."""

    def __init__(self, passes: Passes, catalogue: Catalogue) -> None:
        self._passes = passes
        self._catalogue = catalogue
        self._of_records: dict[int, list[_Claim]] = {}
        for number, event in enumerate(passes.events, start=1):
            for at, claim in self._of_event(event, number):
                self._of_records.setdefault(at, []).append(claim)
        self._apart = dict(self._of_passes())
        self._cues = _cues(passes)
        self._left = frozenset(passes.left)

    def of(self, at: int) -> _Claim:
        """The one use of a token."""
        if at in self._left:
            return _Claim(use=Use.LEFT_OVER, by="leftovers.py")
        if at in self._apart:
            return self._apart[at]
        claims = self._of_records.get(at)
        if claims and (_best(claims) is not Use.PART or at not in self._cues):
            return _merged(claims)
        if at in self._cues:
            claim = self._cues[at]
            return replace(claim, records=self._records_at(at)) if claim.use is Use.CUE else claim
        token = self._passes.mentions.tokens[at]
        if not any(letter.isalnum() for letter in token.text):
            return _Claim(use=Use.MARK)
        return self._mentioned(at)

    def _records_at(self, at: int) -> tuple[int, ...]:
        return tuple(
            number
            for number, event in enumerate(self._passes.events, start=1)
            if any(first <= at < last for first, last in event.spans)
        )

    def _mentioned(self, at: int) -> _Claim:
        """A time, name or amount that no record took."""
        mentions = self._passes.mentions
        if any(time.first <= at < time.last for time in mentions.times):
            return _Claim(use=Use.TIME, says="of no record", by="events.py")
        if any(amount.first <= at < amount.last for amount in mentions.amounts):
            return _Claim(use=Use.QUANTITY, records=self._records_at(at), by="amounts.py")
        return _Claim(use=Use.PART, records=self._records_at(at))

    def _of_passes(self) -> Iterator[tuple[int, _Claim]]:
        """Tokens that a pass took out of what is told, the earlier pass last."""
        steered = self._passes.steered
        for number, span in enumerate(self._passes.remarks, start=len(self._passes.events) + 1):
            wish = span in steered.wishes
            by = list_named("conditional") if wish else "leftovers.py"
            yield from _all(span, _Claim(use=Use.REMARK, records=(number,), by=by))
        for span, told in steered.instructions:
            says = told.action.replace("_", " ")
            if told.value is not None:
                says += f": {told.slot or 'the main number'} = {said_as(told.value)}"
            yield from _all(span, _Claim(use=Use.INSTRUCTION, says=says, by="instructing.py"))
        for span in steered.questions:
            yield from _all(span, _Claim(use=Use.QUESTION, by="steering.py"))
        for span in steered.taken_back:
            claim = _Claim(use=Use.CUE, says="takes back what was told", by=list_named("withdraw"))
            yield from _all(span, claim)
        cues = self._passes.found.cues.get("correction", ())
        correcting = {at for first, last in cues for at in range(first, last)}
        for at in self._passes.corrected:
            if at in correcting:
                yield at, _Claim(use=Use.CUE, says="correction", by=list_named("correction"))
            else:
                yield at, _Claim(use=Use.TAKEN_BACK, by="repairs.py")

    def _of_event(self, event: Event, number: int) -> Iterator[tuple[int, _Claim]]:
        for at in event.used:
            yield at, _Claim(use=Use.PART, records=(number,))
        for phrase, sense in phrases_of(event, self._passes):
            claim = self._of_phrase(event, number, phrase, sense)
            yield from ((at, claim) for at in phrase.words)
        yield from self._of_names(event, number)
        for slot, said in event.slots.items():
            if said.last > said.first and not is_set(event, said.first, said.last):
                claim = _Claim(
                    use=Use.SLOT,
                    records=(number,),
                    says=f"{slot} = {said_as(said.value)}",
                    by=self._slot_entry(event, slot, said.first, said.last),
                )
                yield from _all((said.first, said.last), claim)

    def _of_names(self, event: Event, number: int) -> Iterator[tuple[int, _Claim]]:
        """Names and times, those too that the words hold and the record does not."""
        kept = (*event.places[:1], *event.flocks[:1], *event.birds)
        taken = {name.first for name in kept}
        named = [name for span in event.spans for name in self._passes.mentions.names_in(*span)]
        for name in (*kept, *(name for name in named if name.first not in taken)):
            claim = _Claim(
                use=_NAMES.get(name.role, Use.PLACE),
                records=(number,),
                says=name.value,
                by=_named_by(name),
                kept=name.first in taken,
            )
            if name.first in taken or name.first in event.used:
                yield from _all((name.first, name.last), claim)
        times = [time for span in event.spans for time in self._passes.mentions.times_in(*span)]
        if event.time is not None:
            claim = _Claim(use=Use.TIME, records=(number,), by="text/times")
            yield from _all((event.time.first, event.time.last), claim)
        for time in times:
            if event.time is None or time.first != event.time.first:
                claim = _Claim(use=Use.TIME, records=(number,), by="filling.py", kept=False)
                yield from _all((time.first, time.last), claim)

    def _of_phrase(self, event: Event, number: int, phrase: Phrase, sense: Sense) -> _Claim:
        says = f"{sense.slot} of {event.kind.name}" if sense.slot else event.kind.name
        by = entry_of(self._catalogue, sense, self._said(phrase))
        return _Claim(use=_ROLES[sense.role], records=(number,), says=says, by=by)

    def _slot_entry(self, event: Event, slot: str, first: int, last: int) -> str:
        """The entry of a declared value; else the slot's own, which took a number or words."""
        for phrase, sense in phrases_of(event, self._passes):
            if sense.role is Role.VALUE and sense.slot == slot and first <= phrase.first < last:
                return entry_of(self._catalogue, sense, self._said(phrase))
        return f"{file_of(event.kind.name)} slot.{slot}"

    def _said(self, phrase: Phrase) -> str:
        return " ".join(self._passes.mentions.tokens[at].lower for at in phrase.words)


def phrases_of(event: Event, passes: Passes) -> Iterator[tuple[Phrase, Sense]]:
    """The phrases of an event's kind that say something of it, with their senses."""
    for first, last in event.spans:
        for phrase in passes.mentions.phrases_in(event.kind.name, first, last):
            if event.used.issuperset(phrase.words):
                yield from ((phrase, sense) for sense in phrase.senses if sense.role in _ROLES)


def is_set(event: Event, first: int, last: int) -> bool:
    """Whether a slot of a second record was set for all its words and not said by some."""
    coupled = event.kind is not event.reading.kind
    return coupled and (first, last) == (event.first, event.last)


def _named_by(name: Name) -> str:
    if not name.known:
        return "places.py; the farm file has no such place"
    if name.role is Role.BREED:
        return "trade.toml breeds"
    return "the farm file" if name.exact else "trade.toml, a word for its class"


def _cues(passes: Passes) -> dict[int, _Claim]:
    """By token: the word list that tells most of it."""
    cues = passes.mentions.cues
    further = [name for name in cues if name not in {*_STEERING, *_JOINING, *_PASSING}]
    found: dict[int, _Claim] = {}
    for name in (*further, *_PASSING, *_JOINING[::-1], *_STEERING[::-1]):
        use = _PASSING.get(name, Use.CUE)
        claim = _Claim(use=use, says=name if use is Use.CUE else "", by=list_named(name))
        for first, last in cues.get(name, ()):
            found.update(_all((first, last), claim))
    return found


def _all(span: tuple[int, int], claim: _Claim) -> Iterator[tuple[int, _Claim]]:
    return ((at, claim) for at in range(*span))


def _best(claims: Iterable[_Claim]) -> Use:
    return min((claim.use for claim in claims), key=_ORDER.__getitem__)


_NOT_KEPT = _Claim(use=Use.PART, says="not kept")


def _merged(claims: list[_Claim]) -> _Claim:
    """The most telling use, for all records that have it."""
    use = _best(claims)
    same = [claim for claim in claims if claim.use is use]
    same = [claim for claim in same if claim.kept] or [*same, _NOT_KEPT]
    return _Claim(
        use=use,
        records=tuple(sorted({number for claim in claims for number in claim.records})),
        says="; ".join(dict.fromkeys(claim.says for claim in same if claim.says)),
        by="; ".join(dict.fromkeys(claim.by for claim in same if claim.by)),
    )
