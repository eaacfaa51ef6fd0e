"""What holds for every memo: nothing raises, nothing vanishes, fillers and case change nothing."""

from __future__ import annotations

import json
import random
import time
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from voicelog.catalogue import expand, load_catalogue
from voicelog.clock import at
from voicelog.farm import load_farm
from voicelog.text.tokens import tokenise
from voicelog.types import Draft, Parse
from voicelog.understanding import Parser
from voicelog.understanding.mentions import Mentions

CORPORA = Path(__file__).resolve().parents[2] / "corpora"
FARMS = ("alder", "brackenridge", "fernhollow", "saltmarsh", "thistle")
MOMENTS = st.datetimes(
    datetime(2000, 1, 1), datetime(2099, 12, 31), timezones=st.just(UTC)  # noqa: DTZ001
)  # fmt: skip
EMPTY = frozenset(
    {
        "fillers", "sounds", "grammar", "boundary", "correction", "correction_links", "leading",
        "before_verb", "same_again", "not_done", "planned", "each", "both", "negative_count",
        "pronouns", "pointing", "reported",
    }
)  # fmt: skip
"""Lists of words that only steer; every other word says something."""


@cache
def parser_of(farm: str) -> Parser:
    return Parser(load_farm(CORPORA / "farms" / f"{farm}.toml"))


@cache
def steering_words() -> frozenset[str]:
    lists = load_catalogue().lists
    phrases = [phrase for name in EMPTY for phrase in lists.get(name, ())]
    return frozenset(word for phrase in phrases for word in phrase.split())


@cache
def vocabulary() -> tuple[str, ...]:
    """Words of the catalogue and of a farm, as they may be thrown together."""
    catalogue = load_catalogue()
    notations = [
        word
        for kind in catalogue.kinds
        for word in (
            *kind.verbs, *kind.says, *kind.about,
            *(word for slot in kind.slots for value in slot.values for word in value.words),
        )
    ]  # fmt: skip
    words = {form.replace("_", "it") for notation in notations for form in expand(notation)}
    words |= {phrase for phrases in catalogue.lists.values() for phrase in phrases}
    words |= {"coop c", "west coop", "hens", "twenty", "two", "3.5", "scoops", "dollars", "degrees"}
    return tuple(sorted(words))


memos = st.lists(st.sampled_from(vocabulary()) | st.sampled_from(",.;:?!-\n"), max_size=14).map(
    " ".join
)
texts = st.one_of(st.text(max_size=120), memos)


@cache
def sample(count: int) -> tuple[tuple[str, str, datetime], ...]:
    """Memos of the corpora, the same ones at every run."""
    found = []
    for farm in FARMS:
        zone = parser_of(farm).farm.timezone
        lines = (CORPORA / "memos" / f"{farm}.jsonl").read_text(encoding="utf-8").splitlines()
        for row in map(json.loads, lines):
            found.append((farm, row["text"], at(row["now"], zone)))
    return tuple(random.Random(5).sample(found, count))


def content(text: str) -> list[str]:
    """The words of a text that say something of themselves."""
    words = [token.lower for token in tokenise(text)]
    known = steering_words()
    return [w for w in words if w not in known and any(letter.isalnum() for letter in w)]


def kept(parse: Parse) -> set[str]:
    """Every word that a parse shows again."""
    shown = [draft.text for draft in parse.records] + list(parse.questions) + list(parse.unused)
    shown += [told.text for told in parse.instructions]
    return {token.lower for text in shown for token in tokenise(text)}


def meaning(draft: Draft) -> tuple[object, ...]:
    """A record without its words, letter case aside."""
    fields = (draft.place, draft.flock, *draft.birds, *draft.slots.items())
    return (draft.kind, draft.status, draft.when, str(fields).lower())


@given(text=texts, now=MOMENTS)
@settings(max_examples=150)
def test_any_text_is_understood_without_fault_and_the_same_again(text: str, now: datetime) -> None:
    parser = parser_of("alder")
    got = parser.parse(text, now)
    assert got == parser.parse(text, now)
    assert (got.memo, got.now) == (text, now)


@given(text=texts, now=MOMENTS)
@settings(max_examples=150)
def test_what_is_shown_again_stands_in_the_memo(text: str, now: datetime) -> None:
    parse = parser_of("alder").parse(text, now)
    for shown in (*parse.questions, *parse.unused, *(told.text for told in parse.instructions)):
        assert shown
        assert shown in text
    for draft in parse.records:
        assert all(part in text for part in draft.text.split(" … "))
        assert draft.when_said is None or draft.when_said in text
        assert 0 < draft.certainty < 1
        if draft.when.from_ is not None and draft.when.to is not None:
            assert draft.when.from_ <= draft.when.to


@given(text=texts, now=MOMENTS)
@settings(max_examples=100)
def test_mentions_lie_inside_the_memo(text: str, now: datetime) -> None:
    mentions: Mentions = parser_of("alder").mentions(text, now)
    last = len(mentions.tokens)
    ranges = [(m.first, m.last) for items in (mentions.names, mentions.amounts, mentions.times)
              for m in items]  # fmt: skip
    ranges += [(p.first, p.last) for found in mentions.phrases.values() for p in found]
    ranges += [span for spans in mentions.cues.values() for span in spans]
    assert all(0 <= begin < end <= last for begin, end in ranges)
    assert all(text[t.start : t.end] == t.text for t in mentions.tokens)


@given(
    words=st.lists(st.sampled_from(vocabulary()), min_size=1, max_size=12),
    marks=st.lists(st.sampled_from([" ", " ", " ", ", ", ". "]), min_size=12, max_size=12),
)
@settings(max_examples=150)
@example(words=["let", "the", "hens", "out"], marks=[" "] * 12)
def test_nothing_said_vanishes(words: list[str], marks: list[str]) -> None:
    text = "".join(word + mark for word, mark in zip(words, marks, strict=False)).strip()
    parse = parser_of("alder").parse(text, datetime(2027, 5, 4, 8, 10, tzinfo=UTC))
    mentions = parser_of("alder").mentions(text, parse.now)
    spans = [(time_.first, time_.last) for time_ in mentions.times]
    # What takes back words of the same memo is gone with them: "scratch my last".
    spans += mentions.cues.get("withdraw", ())
    spent = {token.lower for first, last in spans for token in mentions.tokens[first:last]}
    assert set(content(text)) - spent <= kept(parse)


def test_nothing_said_in_the_corpora_vanishes() -> None:
    for farm, text, now in sample(150):
        assert set(content(text)) <= kept(parser_of(farm).parse(text, now)), text


def test_letter_case_changes_nothing() -> None:
    for farm, text, now in sample(60):
        wanted = [meaning(draft) for draft in parser_of(farm).parse(text, now).records]
        for other in (text.lower(), text.upper(), text.title()):
            got = [meaning(draft) for draft in parser_of(farm).parse(other, now).records]
            assert got == wanted, other


@pytest.mark.parametrize("sound", ["um", "uh", "erm"])
def test_a_sound_of_hesitation_changes_nothing_anywhere(sound: str) -> None:
    chance = random.Random(sound)
    for farm, text, now in sample(60):
        parser = parser_of(farm)
        mentions = parser.mentions(text, now)
        inside = {
            position
            for items in (mentions.amounts, mentions.times)
            for item in items
            for position in range(item.first + 1, item.last)
        }
        gaps = [at_ for at_ in range(1, len(mentions.tokens)) if at_ not in inside]
        if not gaps:
            continue
        cut = mentions.tokens[chance.choice(gaps)].start
        other = f"{sound} {text[:cut].rstrip()} {sound} {text[cut:]} {sound}"
        wanted = [meaning(draft) for draft in parser.parse(text, now).records]
        assert [meaning(draft) for draft in parser.parse(other, now).records] == wanted, other


@pytest.mark.parametrize("opening", ["okay", "so", "well", "alright so"])
def test_an_opening_word_changes_nothing(opening: str) -> None:
    for farm, text, now in sample(40):
        parser = parser_of(farm)
        wanted = [meaning(draft) for draft in parser.parse(text, now).records]
        got = [meaning(draft) for draft in parser.parse(f"{opening} {text}", now).records]
        assert got == wanted, text


@pytest.mark.parametrize("seed", range(4))
def test_two_thousand_characters_of_anything_take_less_than_a_second(seed: int) -> None:
    chance = random.Random(seed)
    text = ""
    while len(text) < 2000:
        text += chance.choice(vocabulary()) + chance.choice([" ", " ", " ", ", ", ". "])
    parser = parser_of("alder")
    began = time.process_time()
    parser.parse(text[:2000], datetime(2027, 5, 4, 8, 10, tzinfo=UTC))
    assert time.process_time() - began < 1.0


@pytest.mark.parametrize("text", ["a " * 1000, "coop c and " * 180, "no " * 660, "1 " * 1000,
                                  "." * 2000, "fed coop c " * 180, "x" * 2000])  # fmt: skip
def test_two_thousand_characters_of_one_thing_too(text: str) -> None:
    began = time.process_time()
    parser_of("alder").parse(text, datetime(2027, 5, 4, 8, 10, tzinfo=UTC))
    assert time.process_time() - began < 1.0
