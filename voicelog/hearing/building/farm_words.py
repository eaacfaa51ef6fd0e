"""The names of one farm, and where and how they are said.

Names stand in the language model as placeholders (`names`): each kind of name has its own. Beside
a farm's names some invented ones keep a small share, for the places and people of others.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Self

from voicelog.errors import ModelError
from voicelog.hearing.building.pronouncing import Pronouncer, plain_spelling
from voicelog.hearing.building.spoken_form import NUMBER_WORDS, spoken_name

PLACE, BIRD, PERSON = "{place}", "{bird}", "{person}"

PLACEHOLDERS = (PLACE, BIRD, PERSON)

DEFAULT_NAMES_FILE = "names.json"
"""In the `language` folder of a model: for each placeholder invented names and their weights."""

DEFAULT_SHARE = 0.15
"""Probability of all invented names together where a farm has names of that kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedThing:
    """Something with a name of its own."""

    name: str
    also: tuple[str, ...] = ()
    """Other ways it is called."""
    sounds_like: str | None = None
    """Common words that sound as `name` does, one for each of its words; one word of a name may
    sound like several, joined by hyphens. For a name of one word the hyphens may be left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FarmNames:
    """All names of a farm."""

    places: tuple[NamedThing, ...] = ()
    birds: tuple[NamedThing, ...] = ()
    flocks: tuple[NamedThing, ...] = ()
    people: tuple[NamedThing, ...] = ()

    def all(self) -> tuple[NamedThing, ...]:
        """Every thing with a name."""
        return (*self.places, *self.birds, *self.flocks, *self.people)

    def as_json(self) -> str:
        """The names as one line of text; the same names give the same text."""
        return json.dumps(asdict(self), ensure_ascii=True, sort_keys=True)

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Read what `as_json` wrote."""
        return cls(
            **{
                kind: tuple(NamedThing(**{**row, "also": tuple(row["also"])}) for row in rows)
                for kind, rows in json.loads(text).items()
            }
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounding:
    """What of a farm's names the person may want to mend."""

    guessed: tuple[str, ...]
    """Words whose sound no dictionary tells, and that were read by their letters."""
    unsaid: tuple[str, ...]
    """Names that cannot be learned, for they have characters that cannot be read."""


def names_to_hear(
    names: FarmNames, known: Container[str], default: Mapping[str, Mapping[str, float]]
) -> dict[str, dict[str, float]]:
    """What may stand for each placeholder, with its probability.

    Args:
        names: the farm's.
        known: the words of the language model. Flocks are learned only if a word of their name
            is not among them, for most are called by ordinary words.
        default: the invented names and their weights (`read_default_names`).
    """
    flocks = [thing for thing in names.flocks if not _is_ordinary(thing, known)]

    def called(form: str) -> Iterator[str]:
        yield form
        yield from _with_article(form, known)

    own = {
        PLACE: _weighed(names.places, called),
        BIRD: _weighed(flocks, called) | _weighed(names.birds, lambda form: (form,)),
        PERSON: _weighed(names.people, lambda form: (form,)),
    }
    return {kind: _mixed(own[kind], default.get(kind, {})) for kind in PLACEHOLDERS}


def read_known_words(model: Path) -> frozenset[str]:
    """The words that a model with a `graph/` hears on every farm.

    Raises:
        ModelError: their file is missing or damaged.
    """
    path = model / "graph" / "words.txt"
    try:
        return frozenset(line.split(" ")[0] for line in path.read_text("utf-8").splitlines())
    except (OSError, ValueError) as problem:
        raise ModelError(
            f"The list of words {path} cannot be read: {problem}.",
            todo="Install voicelog again, or copy the model folder again.",
        ) from problem


def read_default_names(folder: Path) -> dict[str, dict[str, float]]:
    """The invented names of a `language` folder.

    Raises:
        ModelError: their file is missing or damaged.
    """
    path = folder / DEFAULT_NAMES_FILE
    try:
        stored = json.loads(path.read_text("utf-8"))
        return {
            kind: {str(name): float(weight) for name, weight in rows.items()}
            for kind, rows in stored.items()
        }
    except (OSError, ValueError, AttributeError, TypeError) as problem:
        raise ModelError(
            f"The list of names {path} cannot be read: {problem}.",
            todo="Install voicelog again, or copy the model folder again.",
        ) from problem


def sounds_of(names: FarmNames) -> dict[str, str]:
    """The words of names that are said to sound like others, and those others."""
    return {
        word: like
        for thing in names.all()
        for word, like in _pairs(thing)
        if _sayable(word) and _sayable(like)
    }


def sounding(names: FarmNames, known: Container[str], pronouncer: Pronouncer) -> Sounding:
    """Which names sound as was guessed, and which not at all.

    Args:
        names: the farm's.
        known: the words that are heard on every farm.
        pronouncer: that knows `sounds_of` these names.
    """
    forms = dict.fromkeys(form for thing in names.all() for form in _forms(thing))
    words = dict.fromkeys(word for form in forms for word in form.split() if _sayable(word))
    return Sounding(
        guessed=tuple(w for w in words if w not in known and not pronouncer.knows(w)),
        unsaid=tuple(
            name
            for thing in names.all()
            for name in (thing.name, *thing.also)
            if not _sayable_name(spoken_name(name))
        ),
    )


def _forms(thing: NamedThing) -> list[str]:
    """The different ways a thing's name is said, but for those that cannot be."""
    said = dict.fromkeys(spoken_name(name) for name in (thing.name, *thing.also))
    return [form for form in said if _sayable_name(form)]


def _weighed(
    things: Iterable[NamedThing], called: Callable[[str], Iterable[str]]
) -> dict[str, float]:
    """All ways to call all things; each thing has the same weight in all."""
    weights: dict[str, float] = {}
    for thing in things:
        forms = dict.fromkeys(way for form in _forms(thing) for way in called(form))
        for form in forms:
            weights[form] = weights.get(form, 0.0) + 1 / len(forms)
    return weights


def _mixed(own: Mapping[str, float], default: Mapping[str, float]) -> dict[str, float]:
    others = {name: weight for name, weight in default.items() if name not in own}
    share = DEFAULT_SHARE if own and others else 0.0 if own else 1.0
    return _scaled(own, 1 - share) | _scaled(others, share)


def _scaled(weights: Mapping[str, float], total: float) -> dict[str, float]:
    whole = sum(weights.values())
    return {name: weight * total / whole for name, weight in weights.items()}


def _with_article(form: str, known: Container[str]) -> Iterator[str]:
    """ "Red coop" is "the red coop" as well, "coop b" and "pen two" are not, nor is "elsinore"."""
    last = form.split()[-1]
    if form.startswith("the "):
        yield form.removeprefix("the ")
    elif len(last) > 1 and last in known and last not in NUMBER_WORDS:
        yield f"the {form}"


def _is_ordinary(thing: NamedThing, known: Container[str]) -> bool:
    return all(word in known for form in _forms(thing) for word in form.split())


def _pairs(thing: NamedThing) -> Iterator[tuple[str, str]]:
    if thing.sounds_like is None:
        return
    words, likes = thing.name.split(), thing.sounds_like.split()
    if len(words) == 1:
        likes = [" ".join(likes)]
    for word, like in zip(words, likes, strict=False):
        said, sound = spoken_name(word), spoken_name(like)
        if said != sound and len(said.split()) == 1:
            yield said, sound


def _sayable_name(form: str) -> bool:
    return bool(form) and all(map(_sayable, form.split()))


def _sayable(word: str) -> bool:
    try:
        return bool(plain_spelling(word))
    except ModelError:
        return False
