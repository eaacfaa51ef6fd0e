"""What every phrase may mean on one farm: catalogue words and the farm's own names.

A phrase has as many senses as the catalogue gives it ("filled" is an action of one kind and a
verb of another); which of them is meant is decided later, where the whole clause is seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product

from voicelog.catalogue import Catalogue, Kind, Slot, SlotValue, Tells, expand
from voicelog.farm import Farm
from voicelog.text.number_words import ONES, TEENS, TENS
from voicelog.text.tokens import tokenise

GAP = "_"
"""In a notation: up to `GAP_WORDS` words may stand here."""
GAP_WORDS = 4


class Role(StrEnum):
    """What a phrase does in a memo."""

    PLACE = "place"
    PLACE_KIND = "place_kind"
    FLOCK = "flock"
    BIRD = "bird"
    BREED = "breed"
    VERB = "verb"
    STRONG_VERB = "strong_verb"
    SAYS = "says"
    ABOUT = "about"
    NEVER = "never"
    VALUE = "value"
    LABEL = "label"
    CUE = "cue"


NAMES = frozenset({Role.PLACE, Role.FLOCK, Role.BIRD, Role.BREED})
"""Roles that name something of the farm and belong to no kind of record."""


@dataclass(frozen=True, slots=True)
class Sense:
    """One meaning of a phrase."""

    role: Role
    kind: str = ""
    """The kind of record it belongs to; empty for names and cues."""
    slot: str = ""
    value: str = ""
    """A slot's value, a name, or the word list of a cue."""
    tells: Tells = Tells.HELPS
    base: bool = False
    """True for the plain form of a verb ("gather"), which a plan needs."""
    plan: bool = False
    """True where the plain form differs from the past one ("gather", not "put")."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A phrase of one or more words, with everything it may mean."""

    words: tuple[str, ...]
    senses: tuple[Sense, ...]


class Lexicon:
    """All phrases of the catalogue and a farm."""

    def __init__(self, catalogue: Catalogue, farm: Farm) -> None:
        self.catalogue = catalogue
        self.farm = farm
        self._senses: dict[tuple[str, ...], dict[Sense, None]] = {}
        self._add_names()
        for kind in catalogue.kinds:
            self._add_kind(kind)
        for name, notations in catalogue.lists.items():
            for form in _forms(notations):
                self._add(form, Sense(Role.CUE, value=name))
        self._add_misheard()
        entries = [Entry(words, tuple(senses)) for words, senses in self._senses.items()]
        self.phrases = tuple(entry for entry in entries if GAP not in entry.words)
        self.gapped = tuple(entry for entry in entries if GAP in entry.words)

    def vocabulary(self) -> frozenset[str]:
        """Every word of every phrase."""
        return frozenset(word for words in self._senses for word in words if word != GAP)

    def _add(self, form: str, sense: Sense) -> None:
        words = tuple(form.lower().split())
        if not all(word.isascii() and word.isalpha() for word in words):
            # Only where there is more than plain words is there anything to cut.
            words = tuple(token.lower for token in tokenise(form))
        if words:
            self._senses.setdefault(words, {})[sense] = None

    def _add_names(self) -> None:
        for place in self.farm.places:
            for form in self._name_forms((place.name, *place.also)):
                self._add(form, Sense(Role.PLACE, value=place.name))
        for flock in self.farm.flocks:
            for form in self._name_forms((flock.name, *flock.also)):
                self._add(form, Sense(Role.FLOCK, value=flock.name))
        for bird in self.farm.birds:
            for form in self._name_forms((bird.name, *bird.also)):
                self._add(form, Sense(Role.BIRD, value=bird.name))
        for group in self.catalogue.classes:
            name = self._flock_of_class(group.name, group.word)
            for form in _forms(group.words):
                self._add(form, Sense(Role.FLOCK, value=name, tells=Tells.ONLY_FILLS))
        for notation in self.catalogue.breeds:
            for form in expand(notation):
                self._add(form, Sense(Role.BREED, value=expand(notation)[0]))
        for kind in self.catalogue.places:
            for form in _forms(kind.words):
                self._add(form, Sense(Role.PLACE_KIND, value=kind.name))

    def _flock_of_class(self, class_: str, word: str) -> str:
        """The farm's flock where a class word can mean only one, else the word itself."""
        if any(flock.name == word for flock in self.farm.flocks):
            return word
        named = [flock.name for flock in self.farm.flocks if flock.class_ == class_]
        return named[0] if len(named) == 1 and class_ != "other" else word

    def _name_forms(self, names: Iterable[str]) -> Iterator[str]:
        """The ways a name is said or heard: numbers in words, letters as spoken, owner's s."""
        for name in names:
            words = [token.lower for token in tokenise(name)]
            if len(words) > 1 and words[0] == "the":
                words = words[1:]
            choices = [self._word_forms(word, last=at == len(words) - 1, alone=len(words) == 1)
                       for at, word in enumerate(words)]  # fmt: skip
            for form in product(*choices):
                said = " ".join(form)
                yield said
                if not said.endswith("s"):
                    yield f"{said}'s"
                    if not words[-1].isdigit() and len(words[-1]) > 1:
                        yield f"{said}s"
                else:
                    yield f"{said}'"
                    yield f"{said}'s"

    def _word_forms(self, word: str, *, last: bool, alone: bool) -> tuple[str, ...]:
        if word.isdigit() and int(word) in _NUMBER_NAMES:
            return (word, _NUMBER_NAMES[int(word)])
        if last and not alone and word in self.catalogue.letters:
            return self.catalogue.letters[word]
        return (word,)

    def _add_kind(self, kind: Kind) -> None:
        for role, notations in (
            (Role.VERB, kind.verbs),
            (Role.STRONG_VERB, kind.strong_verbs),
            (Role.SAYS, kind.says),
            (Role.ABOUT, kind.about),
            (Role.NEVER, kind.never),
        ):
            for notation in notations:
                self._add_forms(notation, Sense(role, kind.name))
        for slot in kind.slots:
            self._add_slot(kind, slot)

    def _add_slot(self, kind: Kind, slot: Slot) -> None:
        for notation in slot.labels:
            self._add_forms(notation, Sense(Role.LABEL, kind.name, slot.name, tells=slot.tells))
        for value in (*slot.values, *self._borrowed(slot)):
            for notation in value.words:
                sense = Sense(Role.VALUE, kind.name, slot.name, value.name, value.tells)
                self._add_forms(notation, sense)

    def _borrowed(self, slot: Slot) -> Iterator[SlotValue]:
        """Values of other slots whose words are words of this slot too."""
        for path in slot.words_of:
            kind, _, name = path.partition(".")
            other = self.catalogue.kind(kind).slot(name)
            for value in other.values if other else ():
                yield SlotValue(name=value.name, words=value.words, tells=slot.tells)

    def _add_forms(self, notation: str, sense: Sense) -> None:
        forms = expand(notation)
        first = forms[0].split()[0]
        verb = notation.split()[0]
        tells_past = verb.endswith("~") or verb.count("/") >= 3
        plain = replace(sense, base=True, plan=tells_past)
        for form in forms:
            self._add(form, plain if form.split()[0] == first else sense)

    def _add_misheard(self) -> None:
        """What a recogniser often writes for a phrase means the same as the phrase."""
        written = {
            tuple(meant.split()): [tuple(form.split()) for form in heard]
            for meant, heard in self.catalogue.misheard.items()
        }
        for words, senses in list(self._senses.items()):
            for heard in _misheard_forms(words, written):
                known = self._senses.setdefault(heard, {})
                for sense in senses:
                    known[sense] = None


_NUMBER_NAMES = {value: word for word, value in (ONES | TEENS | TENS).items()}


def _forms(notations: Iterable[str]) -> Iterator[str]:
    for notation in notations:
        yield from expand(notation)


def _misheard_forms(
    words: tuple[str, ...], written: dict[tuple[str, ...], list[tuple[str, ...]]]
) -> Iterator[tuple[str, ...]]:
    for at in range(len(words)):
        for length in (1, 2):
            for heard in written.get(words[at : at + length], ()):
                if at + length <= len(words):
                    yield words[:at] + heard + words[at + length :]
