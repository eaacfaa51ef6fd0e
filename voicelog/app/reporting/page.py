"""What stands on the page of a report, before anything is drawn.

A page has parts; a part has facts (one number each), tables, plots, notes, cautions and the
sources of its published figures. The screen, the HTML file, the PDF page and JSON all show the
same of these.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from voicelog.catalogue import Caution
from voicelog.husbandry import listed_publications


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number with its unit, and the line that tells it."""

    name: str
    label: str
    text: str
    value: int | float | None = None
    unit: str | None = None
    low: float | None = None
    high: float | None = None
    """What is usual or expected, in the same unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of texts as they are shown; amounts stand with their units."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One value a day of the plot; None where there is none."""

    label: str
    values: tuple[float | None, ...]
    held: bool = False
    """True for what may not be eaten or sold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A range a day of the plot; None where there is none."""

    label: str
    low: tuple[float | None, ...]
    high: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value at one moment."""

    at: datetime
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Values at moments, in order."""

    label: str
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A line across the whole plot."""

    label: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Who was where, from a day to a day, both included."""

    row: str
    who: str
    first: date
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """One picture over the days of the period; the parts that it has are drawn together."""

    name: str
    title: str
    x_label: str
    y_label: str
    """With the unit."""
    days: tuple[date, ...]
    bars: tuple[Series, ...] = ()
    """Stacked on each other."""
    side_by_side: bool = False
    """True for bars beside each other instead."""
    lines: tuple[Series, ...] = ()
    bands: tuple[Band, ...] = ()
    readings: tuple[Readings, ...] = ()
    levels: tuple[Level, ...] = ()
    stays: tuple[Stay, ...] = ()
    minor: bool = False
    """True for one that a small sheet of paper may leave out."""
    rows: tuple[str, ...] = ()
    """Names of the rows of `stays`, from top to bottom."""

    @property
    def labels(self) -> tuple[str, ...]:
        """Everything that a legend names."""
        return (
            *(one.label for one in (*self.bars, *self.lines)),
            *(one.label for one in self.bands),
            *(one.label for one in self.readings),
            *(one.label for one in self.levels),
            *dict.fromkeys(stay.who for stay in self.stays),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """Where a published figure comes from."""

    function: str
    """Of `voicelog.husbandry`."""
    ids: tuple[str, ...]
    """Of the publications that it rests on."""
    rest: str = ""
    """What of it comes from elsewhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """What an id stands for."""

    id: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One part of the page, or a piece of one; only those with records are made."""

    name: str = ""
    title: str = ""
    """Both empty until it stands on the page."""
    facts: tuple[Fact, ...] = ()
    tables: tuple[Table, ...] = ()
    plots: tuple[Plot, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    sources: tuple[Cited, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One period of one farm."""

    farm: str
    title: str
    subtitle: str
    period: str
    first: date
    last: date
    """Inclusive."""
    paper: str
    """`letter` or `a4`: what is usual where the farm is."""
    sections: tuple[Section, ...]

    @property
    def publications(self) -> tuple[Publication, ...]:
        """Every publication that is cited, once."""
        cited = (id_ for part in self.sections for one in part.sources for id_ in one.ids)
        listed = listed_publications()
        return tuple(Publication(id=id_, title=listed[id_]) for id_ in dict.fromkeys(cited))

    @property
    def plots(self) -> tuple[Plot, ...]:
        """All plots in the order of the page."""
        return tuple(plot for section in self.sections for plot in section.plots)
