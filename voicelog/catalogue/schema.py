"""The declared trade, as frozen values: what can happen on a farm and which words say it.

Read from `data/` by `loader.py`. Every room derives its words from here; none lists its own.
Notations of words (`gather~`, `nest box+`) are those of `spelling.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from voicelog.catalogue.units import Unit


class SlotType(StrEnum):
    """What a slot holds."""

    COUNT = "count"
    """A whole number of things."""
    QUANTITY = "quantity"
    """A number with its unit."""
    DAYS = "days"
    """A length of time, counted in days."""
    CHOICE = "choice"
    """One of the declared values."""
    WORDS = "words"
    """The speaker's own words, or a declared value where one fits."""


class Tells(StrEnum):
    """How much a slot's words say about the kind of record."""

    ALONE = "alone"
    """They say it by themselves."""
    HELPS = "helps"
    """They say it together with other words of the kind."""
    ONLY_FILLS = "only_fills"
    """They fill the slot and say nothing about the kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotValue:
    """One declared value of a slot."""

    name: str
    words: tuple[str, ...]
    """Notations of the words that say it."""
    tells: Tells


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One thing that may be said about a kind of record."""

    name: str
    type: SlotType
    tells: Tells
    title: str
    """How it is shown and asked for."""
    values: tuple[SlotValue, ...] = ()
    labels: tuple[str, ...] = ()
    """Notations of the words beside a number or phrase that make it this slot's."""
    dimensions: tuple[str, ...] = ()
    """Dimensions of the units that a quantity may have."""
    unit: str | None = None
    """The unit meant where a number is said without one."""
    before: tuple[str, ...] = ()
    """Words that stand before the speaker's own words ("of", "with")."""
    singular: bool = False
    """True where the speaker's own words are kept in the singular."""
    at_most_birds: bool = False
    """True where more than there are birds on the farm is kept and doubted."""
    article_counts: bool = False
    """True where "a" or "another" before a label counts one."""
    means: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """Values of other slots that are meant with it, where they were not said."""
    means_beside: tuple[str, ...] = ()
    """Values that may stand beside it in place of those meant: a fence is on, and reads six."""
    implied_by: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """By another kind's slot ("kind.slot"): the value meant where that slot is said."""
    words_of: tuple[str, ...] = ()
    """Slots ("kind.slot") whose words are also words of this one."""
    shared_unit: bool = False
    """True where another kind has quantities of that dimension too."""
    also_main: bool = False
    """True where a number said for this slot alone is the main number too."""
    counts_others: bool = False
    """True where the birds counted are not those the record is about: a hen's chicks."""
    not_carried: bool = False
    """True where a clause that goes on does not take the value over."""
    stays: bool = False
    """True where the next doing in the same place is on the same thing, unless it says another."""
    from_place: bool = False
    """True where the kind of the place named is the value."""
    object_of_verb: bool = False
    """True where the speaker's own words are the object of the kind's verb."""
    needs_before: bool = False
    """True where the words count only after one of `before`."""
    needs_label: bool = False
    """True where a number or quantity counts only beside one of `labels`."""
    as_said: bool = False
    """True where a quantity is kept in the speaker's words."""
    place_kinds: tuple[str, ...] = ()
    """Kinds of place that the slot names, for a slot that names a place."""
    low: float | None = None
    high: float | None = None
    """A value outside is kept and doubted."""
    ask: tuple[str, ...] = ()
    """Notations of further words by which a question names the slot."""
    adds_up: bool = True
    """False where two values make no sum: readings, heads counted again each evening."""

    def value_named(self, name: str) -> SlotValue | None:
        """The declared value of that name, or None."""
        return next((value for value in self.values if value.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Implies:
    """A second kind that the same words mean as well."""

    kind: str
    only_where: Mapping[str, str]
    """Slot values that the first record must have."""
    takes: tuple[str, ...]
    """Slots of the second kind that are filled from the same words."""
    needs: tuple[str, ...]
    """Slots of the second kind without which it is not meant."""
    sets: Mapping[str, str]
    """Values of slots that were not said otherwise."""
    copies: Mapping[str, str]
    """Slots of the second kind taken from slots of the first."""
    counts: str
    """The slot of the second kind that takes the number said; empty where there is none."""
    needs_birds: bool
    keeps_birds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of record."""

    name: str
    title: str
    chore: str
    """What a chore of this kind is called in a list of things to do."""
    verbs: tuple[str, ...]
    """Notations of verbs that say it together with one of `about` or a slot's words."""
    says: tuple[str, ...]
    """Notations of words that say it by themselves."""
    about: tuple[str, ...]
    """Notations of the things it is about."""
    never: tuple[str, ...]
    """Notations of phrases that hold such words and say something else."""
    slots: tuple[Slot, ...]
    main: str | None
    """The slot that "make that twelve" changes and "how many" counts."""
    needs: tuple[str, ...]
    """Slots without which the record is doubted."""
    per_place: bool
    """True where a second place in one breath is a second record."""
    flock_subject: bool
    """True where the birds named are what it was done to or seen on."""
    caution: str | None
    """Name of the caution that is shown with it."""
    caution_where: Mapping[str, tuple[str, ...]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    """Slot values one of which the record must have for the caution to be shown."""
    birds_help: str | None = None
    """The slot beside which a bird's name speaks for the kind."""
    flocks_help: str | None = None
    """The slot beside which a class of birds speaks for the kind."""
    about_places: tuple[str, ...] = ()
    """Kinds of place that are what the kind is about."""
    names_none: bool = False
    """True where birds named are never what the record is about."""
    places_help: str | None = None
    """The slot beside which a place speaks for the kind: "opened coop b"."""
    not_at: tuple[str, ...] = ()
    """Kinds of place that are never the record's own place."""
    takes_list: bool = False
    """True where a list without a verb of its own goes on with this kind: "buy grit and straw"."""
    only_seen: bool = False
    """True where it is only seen, and a word of not seeing makes no record: "no tracks"."""
    needs_one: tuple[str, ...] = ()
    """Slots one of which must be said: "low" alone is no supply."""
    needs_action: bool = False
    """True where what was done must be said: a gate alone is no repair."""
    needs_about: bool = False
    """True where the thing it is about must be said, or a unit that only it has."""
    implies: tuple[Implies, ...] = ()
    strong_verbs: tuple[str, ...] = ()
    """Notations of those of `verbs` that the kind needs where only a slot's words point to it."""
    generic: bool = False
    """True where the words for what was done mean much the same, and any other kind goes first."""
    repeats: bool = False
    """True where a second number of the main slot in one breath is a second record."""

    counts_at: tuple[str, ...] = ()
    """Kinds of place at which a number alone means the kind: "got nine from coop c"."""

    def slot(self, name: str) -> Slot | None:
        """The slot of that name, or None."""
        for slot in self.slots:
            if slot.name == name:
                return slot
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What is shown where the work can hurt someone."""

    name: str
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlockClass:
    """A class of birds and the words for it."""

    name: str
    """The class in the farm file: layer, cock, chick …"""
    word: str
    """The word a record holds where the farm has no flock of that name: hens, chicks …"""
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceKind:
    """A kind of place and the words for it."""

    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Everything that is declared."""

    kinds: tuple[Kind, ...]
    units: tuple[Unit, ...]
    cautions: tuple[Caution, ...]
    classes: tuple[FlockClass, ...]
    places: tuple[PlaceKind, ...]
    places_alone: tuple[str, ...]
    """Kinds of place whose word alone means the farm's only place of the kind."""
    places_unnamed: tuple[str, ...]
    """Kinds of place whose word names a place that the farm file does not have."""
    places_described: tuple[str, ...]
    """Kinds of place that an adjective makes a place of its own: "the blue coop"."""
    breeds: tuple[str, ...]
    """Notations of breeds in general use."""
    letters: Mapping[str, tuple[str, ...]]
    """Letters as they are spoken, and as a recogniser writes them."""
    misheard: Mapping[str, tuple[str, ...]]
    """Words of the trade and what a recogniser often writes for them."""
    read_lists: Callable[[], Mapping[str, tuple[str, ...]]]
    """Gives `lists`; reads them at the first call, since what is left needs none."""

    @property
    def lists(self) -> Mapping[str, tuple[str, ...]]:
        """The word lists of `data/discourse.toml` and `data/questions.toml` by name.

        Raises:
            CatalogueError: the lists have faults; all of them are told.
        """
        return self.read_lists()

    def kind(self, name: str) -> Kind:
        """The kind of that name.

        Raises:
            KeyError: there is none.
        """
        for kind in self.kinds:
            if kind.name == name:
                return kind
        raise KeyError(name)

    def has_kind(self, name: str) -> bool:
        """Whether a kind of that name is declared."""
        return any(kind.name == name for kind in self.kinds)

    def caution(self, name: str) -> Caution:
        """The caution of that name.

        Raises:
            KeyError: there is none.
        """
        for caution in self.cautions:
            if caution.name == name:
                return caution
        raise KeyError(name)
