"""One stretch of a memo read as one kind of record: what it says and how well it fits.

The weights are the whole of what is weighed when readings are compared.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from voicelog.catalogue import Kind
from voicelog.types import SlotValue
from voicelog.understanding.mentions import Amount, Name, TimeSaid

SAYS = 3.0
"""Words that say the kind by themselves."""
SHARE = 1.5
"""Words that say it together with others: a verb, a thing, a slot's value."""
FAINT = 0.5
"""A verb that many kinds share, where the kind has one of its own."""
AMOUNT = 1.0
"""A number or quantity that has a place in the kind."""
STEERED = 1.0
"""A word of not doing or of a plan."""
PERSON = 0.4
"""Birds, where the kind is about them; half of it for a place, where the kind has one."""
FILLS = 0.5
"""A value that only fills a slot."""
CONFLICT = -1.6
"""A second value for a slot, a second time."""
SECOND_PLACE = -2.4
UNPLANNED = -0.8
"""A time to come beside words of not doing."""
UNHEARD = -0.6
"""A place or a bird that nothing is understood of."""
STRANGER = -1.0
"""A number that has no place in the kind."""
ENOUGH = 2.5
"""What a record must reach."""


JOINING = frozenset({"and", ",", "&", "the", "in", "or", "both", "from", "for", "to", "at"})
"""Words that may stand between the names of a list."""


@dataclass(frozen=True, slots=True)
class SaidSlot:
    """A slot's value and the tokens that said it."""

    value: SlotValue
    first: int
    last: int
    approximate: bool = False
    weak: bool = False
    """True for a value that gives way to one said more plainly."""
    bare: bool = False
    """True for a number whose unit was not said."""


@dataclass(slots=True)
class Reading:
    """One stretch read as one kind."""

    kind: Kind
    first: int
    last: int
    slots: dict[str, SaidSlot] = field(default_factory=dict)
    places: list[Name] = field(default_factory=list)
    flocks: list[Name] = field(default_factory=list)
    birds: list[Name] = field(default_factory=list)
    time: TimeSaid | None = None
    trigger: int | None = None
    """The first token that speaks for the kind."""
    plain_verb: bool = False
    """True where its verb is in the plain form, as after "need to"."""
    plain_order: bool = False
    """True where it opens with a verb that can only be an order or a plan: "candle them"."""
    going_on: bool = False
    """True where its verb is in -ing, which a day to come makes a plan."""
    own_verb: bool = False
    used: set[int] = field(default_factory=set)
    unitless: int = 0
    """Numbers in the place of a quantity whose unit only the clause before can tell."""
    lent: set[str] = field(default_factory=set)
    """Slots that a bare number fills only where the event goes on with the one before."""
    told_by_unit: bool = False
    """True where a unit that only this kind has was said."""
    spare: Amount | None = None
    """A number that may stand for the main slot as well."""
    by_count: bool = False
    """True where only a number at a place makes it the kind."""
    score: float = 0.0
    pieces: int = 0
    """How many separate things speak for the kind."""
    anchored: bool = False

    @property
    def follow_score(self) -> float:
        """The score where the clause before lends its unit."""
        return self.score + self.unitless * (AMOUNT - STRANGER)

    @property
    def stands(self) -> bool:
        """Whether it is enough for a record of its own."""
        return self.anchored and self.score >= ENOUGH
