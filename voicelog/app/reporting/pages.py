"""The page of a period: its parts in the order that `reporting.toml` gives them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from voicelog.app.notebook import Notebook
from voicelog.app.period import first_day
from voicelog.app.reporting.accounts import money_section
from voicelog.app.reporting.deaths import losses_section
from voicelog.app.reporting.due import due_section
from voicelog.app.reporting.fences import fences_section
from voicelog.app.reporting.flock_book import flock_book
from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.gatherings import gatherings
from voicelog.app.reporting.ground import ground_section
from voicelog.app.reporting.holding import holds_of
from voicelog.app.reporting.intake import intake_section
from voicelog.app.reporting.laid import laid_section
from voicelog.app.reporting.page import Fact, Page, Section
from voicelog.app.reporting.young import young_section
from voicelog.catalogue import SlotType
from voicelog.catalogue.reporting import SectionWords
from voicelog.sentences import cautions_of, value_text

_MOST_TOLD = 3
_LETTER_ZONES = ("America/", "US/", "Canada/")
"""Zones in which letter paper is usual; elsewhere it is A4."""


def page_of(notebook: Notebook, period: str, now: datetime, only: tuple[str, ...] = ()) -> Page:
    """The page of the calendar period of `now`, cut off at `now`.

    Args:
        notebook: the farm and its store.
        period: `day`, `week`, `month` or `season`.
        now: aware.
        only: kinds of record; parts that rest on none of them are left out. All where empty.

    Raises:
        StoreError: the store cannot be read.
        RequestError: a sum of the trade cannot be made of the farm file's numbers.
    """
    now = now.astimezone(ZoneInfo(notebook.setting.farm.timezone))
    gathered = Gathered(notebook=notebook, first=first_day(period, now.date()), now=now)
    wanted = [part for part in gathered.reporting.sections if _wanted(part, only)]
    made = _sections(gathered, {part.name for part in wanted})
    sections = []
    for part in wanted:
        section = made.get(part.name)
        if section is not None:
            sections.append(_titled(gathered, part, section))
    first, last = gathered.first, gathered.last
    return Page(
        farm=notebook.setting.farm.name,
        title=gathered.say(
            "farm_page",
            farm=notebook.setting.farm.name,
            period=gathered.say(f"period_{period}", first=first, last=last),
        ),
        subtitle=gathered.say("as_it_stood", now=now),
        period=period,
        first=first,
        last=last,
        paper="letter" if notebook.setting.farm.timezone.startswith(_LETTER_ZONES) else "a4",
        sections=tuple(sections),
    )


def _wanted(part: SectionWords, only: tuple[str, ...]) -> bool:
    return not only or not set(only).isdisjoint(part.kinds)


def _sections(gathered: Gathered, names: set[str]) -> dict[str, Section | None]:
    """The parts by name; those not asked for are not made."""
    book = flock_book(gathered)
    holds = holds_of(gathered)
    found = gatherings(gathered, holds)
    laid = sum(one.laid for one in found)
    makers: dict[str, Callable[[], Section | None]] = {
        "laid": lambda: laid_section(gathered, holds, book, found),
        "intake": lambda: intake_section(gathered, book, laid),
        "losses": lambda: losses_section(gathered, book),
        "ground": lambda: ground_section(gathered),
        "young": lambda: young_section(gathered, book),
        "lines": lambda: fences_section(gathered),
        "due": lambda: due_section(gathered),
        "money": lambda: money_section(gathered, found),
        "others": lambda: _others(gathered),
    }
    return {name: make() for name, make in makers.items() if name in names}


def _titled(gathered: Gathered, part: SectionWords, section: Section) -> Section:
    """A part with its title, its own caution, and each caution and source once."""
    own = (gathered.catalogue.caution(part.caution),) if part.caution else ()
    return replace(
        section,
        name=part.name,
        title=part.title,
        notes=tuple(dict.fromkeys(section.notes)),
        cautions=tuple(dict.fromkeys((*section.cautions, *own))),
        sources=tuple(dict.fromkeys(section.sources)),
    )


def _others(gathered: Gathered) -> Section | None:
    """Kinds of record that no part of the page rests on, in one line."""
    covered = {kind for part in gathered.reporting.sections for kind in part.kinds}
    told, drafts = [], []
    for kind in gathered.catalogue.kinds:
        records = gathered.by_kind.get(kind.name, ())
        if kind.name in covered or not records:
            continue
        drafts += [record.draft for record in records]
        slots = [slot.name for slot in kind.slots if slot.type is SlotType.CHOICE][:1]
        said = Counter(
            value_text(record.draft.slots[slot])
            for record in records
            for slot in slots
            if slot in record.draft.slots
        )
        most = ", ".join(f"{value} {count}×" for value, count in said.most_common(_MOST_TOLD))
        told.append(f"{kind.title} {len(records)}" + (f" ({most})" if most else ""))
    if not told:
        return None
    fact = Fact(name="others", label=gathered.say("others_table"), text="; ".join(told))
    return Section(facts=(fact,), cautions=cautions_of(drafts))
