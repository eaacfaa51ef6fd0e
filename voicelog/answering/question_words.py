"""What each word of a question was used for, told from what it was read from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from voicelog.answering.heard import Heard
from voicelog.answering.question import Span, Subject
from voicelog.answering.reading import Read
from voicelog.answering.sorts import asked_noun, sort_of
from voicelog.answering.subjects import unexplained
from voicelog.answering.weighing import Weighed
from voicelog.catalogue import Catalogue
from voicelog.catalogue.asking import Asking
from voicelog.explanations import Use, WordUse
from voicelog.text.tokens import tokenise
from voicelog.understanding.entries import entry_of, file_of
from voicelog.understanding.lexicon import Role
from voicelog.understanding.word_uses import in_runs, list_named

_NAMES = {Role.PLACE: Use.PLACE, Role.FLOCK: Use.FLOCK}
_ROLES = {
    Role.LABEL: Use.ABOUT,
    Role.VALUE: Use.ABOUT,
    Role.VERB: Use.VERB,
    Role.STRONG_VERB: Use.VERB,
    Role.ABOUT: Use.ABOUT,
    Role.SAYS: Use.SAYS,
}
_PASSING = {"fillers": Use.FILLER, "grammar": Use.GRAMMAR}
_ASKS = "ask_"
"""How the names of the word lists for questions begin."""
_FINDING = ("ask_opening", "ask_anywhere", "ask_after")
"""Word lists that only tell a question from a telling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Claim:
    use: Use
    says: str = ""
    by: str = ""


def question_words(read: Read, item: Weighed | None, catalogue: Catalogue) -> tuple[WordUse, ...]:
    """The use of every word of a question, in order.

    Args:
        read: the question with what it was read from.
        item: the kind that it is about, with what speaks for it.
        catalogue: which declares the words.
    """
    claims = dict(_claims(read, item, catalogue))
    of_token = {token.start: at for at, token in enumerate(read.heard.mentions.tokens)}
    sound = _Claim(use=Use.SOUND, by=list_named("sounds"))
    used = []
    for token in tokenise(read.question.text):
        at = of_token.get(token.start)
        claim = sound if at is None else claims.get(at) or _rest(read, at)
        used.append(
            WordUse(
                text=token.text,
                start=token.start,
                end=token.end,
                use=claim.use,
                says=claim.says,
                by=claim.by,
            )
        )
    return tuple(in_runs(read.question.text, used))


def deciding(read: Read, subjects: tuple[Subject, ...], asking: Asking) -> tuple[int, ...]:
    """The tokens without which another sort of answer would be asked for.

    First single ones are left out; where each has another that says the same ("when … last"),
    two at a time. Empty where the sort follows from what the question is about.
    """
    tokens = range(len(read.heard.words))
    for size in (1, 2):
        found: set[int] = set()
        for left_out in combinations(tokens, size):
            heard = _without(read.heard, left_out)
            if sort_of(heard, subjects, asked_noun(heard), asking) is not read.question.sort:
                found.update(left_out)
        if found:
            return tuple(sorted(found))
    return ()


def opening(read: Read) -> tuple[str, int, int] | None:
    """The list and tokens of the longest phrase of question that it opens with; None for none."""
    cues, head = read.heard.mentions.cues, read.heard.head
    found = [(name, first, last) for name in cues if _tells(name)
             for first, last in cues[name] if first == head]  # fmt: skip
    return max(found, key=lambda cue: cue[2], default=None)


def deciding_lists(
    read: Read, subjects: tuple[Subject, ...], asking: Asking, tokens: tuple[int, ...]
) -> tuple[str, ...]:
    """Of the word lists over the deciding tokens those that decide, one or two together."""
    cues = read.heard.mentions.cues
    names = [name for name in cues if _tells(name) and
             any(first <= at < last for first, last in cues[name] for at in tokens)]  # fmt: skip
    for size in (1, 2):
        found: dict[str, None] = {}
        for left_out in combinations(names, size):
            heard = _unlisted(read.heard, left_out)
            if sort_of(heard, subjects, asked_noun(heard), asking) is not read.question.sort:
                found.update(dict.fromkeys(left_out))
        if found:
            return tuple(found)
    return tuple(names)


def _tells(name: str) -> bool:
    """Whether a word list tells one sort of answer from another."""
    return name.startswith((_ASKS, "show_", "planned")) and name not in _FINDING


def _without(heard: Heard, left_out: tuple[int, ...]) -> Heard:
    """A question in which some words say nothing."""
    cues = {
        name: tuple(span for span in spans if not any(span[0] <= at < span[1] for at in left_out))
        for name, spans in heard.mentions.cues.items()
    }
    words = tuple("" if at in left_out else word for at, word in enumerate(heard.words))
    return replace(heard, words=words, mentions=replace(heard.mentions, cues=cues))


def _unlisted(heard: Heard, lists: tuple[str, ...]) -> Heard:
    """A question in which no phrase of these lists is heard."""
    cues = {name: () if name in lists else spans for name, spans in heard.mentions.cues.items()}
    return replace(heard, mentions=replace(heard.mentions, cues=cues))


def _claims(read: Read, item: Weighed | None, catalogue: Catalogue) -> Iterator[tuple[int, _Claim]]:
    """What claims which token; of two claims of one token the later is the more telling."""
    mentions = read.heard.mentions
    asking = [listed for listed in list(mentions.cues)[::-1] if _tells(listed)]
    cues = [(listed, span) for listed in (*_FINDING, *_PASSING) for span in
            mentions.cues.get(listed, ())]  # fmt: skip
    told = [(listed, span) for listed in asking for span in mentions.cues[listed]]
    for listed, (first, last) in (*cues, *sorted(told, key=lambda cue: cue[1][1] - cue[1][0])):
        use = _PASSING.get(listed, Use.CUE)
        says = listed if use is Use.CUE else ""
        yield from _all(Span(first, last), _Claim(use=use, says=says, by=list_named(listed)))
    if item is not None and read.question.subjects:
        yield from _of_kind(read, item, catalogue)
    for span in _unit(read):
        yield from _all(span, _Claim(use=Use.UNIT, says=read.question.unit or "", by="units.toml"))
    if read.noun is not None:
        said = read.noun.place_kind or read.noun.flock or ("a day" if read.noun.day else "who")
        yield from _all(read.noun.span, _Claim(use=Use.ASKED, says=said, by="sorts.py"))
    for name in read.names:
        use = _NAMES.get(name.role, Use.BIRD)
        by = "the farm file" if name.exact and name.known else "places.py, trade.toml"
        yield from _all(Span(name.first, name.last), _Claim(use=use, says=name.value, by=by))
    for time in mentions.times:
        yield from _all(Span(time.first, time.last), _Claim(use=Use.TIME, by="text/times"))
    left = _Claim(use=Use.LEFT_OVER, by="subjects.py")
    yield from ((at, left) for at in unexplained(read.heard, read.used))


def _of_kind(read: Read, item: Weighed, catalogue: Catalogue) -> Iterator[tuple[int, _Claim]]:
    """What speaks for the kind, what its slots say, and which of them are asked for."""
    heard, kind = read.heard, item.kind
    yield from ((at, _Claim(use=Use.ABOUT, says=kind.name)) for at in item.used)
    for phrase in heard.mentions.phrases.get(kind.name, ()):
        senses = [sense for sense in phrase.senses if sense.role in _ROLES]
        if senses and item.used.issuperset(phrase.words):
            words = " ".join(heard.words[at] for at in phrase.words)
            by = entry_of(catalogue, senses[0], words)
            claim = _Claim(use=_ROLES[senses[0].role], says=kind.name, by=by)
            yield from ((at, claim) for at in phrase.words)
    subject = next((one for one in read.question.subjects if one.kind == kind.name), None)
    if subject is None:
        return
    for slot, span in item.asked.items():
        by = f"{file_of(kind.name)} slot.{slot}.ask"
        if slot in subject.named:
            yield from _all(span, _Claim(use=Use.ASKED, says=slot, by=by))
    for slot, values in item.values.items():
        for value, (_, span) in values.items():
            if value in subject.slots.get(slot, ()):
                by = f"{file_of(kind.name)} slot.{slot}.values.{value}"
                yield from _all(span, _Claim(use=Use.SLOT, says=f"{slot} = {value}", by=by))
    for slot, said in subject.slots.items():
        free = {word for words in said for word in words.split()}
        own = _Claim(use=Use.SLOT, says=f"{slot} = {', '.join(said)}", by="the speaker's own words")
        for at in read.used - item.used - read.unit_at:
            if heard.words[at] in free:
                yield at, own


def _unit(read: Read) -> Iterator[Span]:
    return (Span(at, at + 1) for at in sorted(read.unit_at))


def _all(span: Span, claim: _Claim) -> Iterator[tuple[int, _Claim]]:
    return ((at, claim) for at in range(span.first, span.last))


def _rest(read: Read, at: int) -> _Claim:
    mentions = read.heard.mentions
    if not any(letter.isalnum() for letter in mentions.tokens[at].text):
        return _Claim(use=Use.MARK)
    if any(amount.first <= at < amount.last for amount in mentions.amounts):
        return _Claim(use=Use.QUANTITY, by="said_amounts.py")
    for span, kind in read.heard.place_kinds.items():
        if span.first <= at < span.last:
            return _Claim(use=Use.PLACE, says=f"a {kind}", by="trade.toml")
    listed = next((name for name in mentions.cues if mentions.covers(name, at)), None)
    if listed is None:
        return _Claim(use=Use.PART)
    return _Claim(use=Use.CUE, says=listed, by=list_named(listed))
