"""Lists inside a repetition: "mondays and thursdays", "the first, second and last friday"."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from voicelog.text.repeat_rules import WEEKDAY_NAMES, WEEKEND, WORKDAYS
from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.terms import Atoms

_Item = TypeVar("_Item")
_MOST_ITEMS = 12
_THROUGH = words.listed("through thru to - –")


def read_list(
    atoms: Atoms, at: int, read: Callable[[Atoms, int], tuple[_Item, int] | None]
) -> tuple[list[_Item], int]:
    """Items parted by commas and "and", with the place after the last; none where none begins."""
    items: list[_Item] = []
    here = at
    while len(items) < _MOST_ITEMS:
        link = atoms.skip(atoms.skip(here, ","), "and") if items else here
        found = read(atoms, link)
        if found is None or (items and link == here):
            break
        items.append(found[0])
        here = found[1]
    return items, here


def is_plural_weekday(atoms: Atoms, at: int) -> bool:
    """Whether a weekday stands here in the plural, so that it repeats by itself."""
    word = atoms.word(at)
    return word in ("weekdays", "weekends") or (
        word.endswith("s") and word[:-1] in words.WEEKDAYS | words.SHORT_WEEKDAYS
        and word not in words.SHORT_WEEKDAYS
    )  # fmt: skip


def _weekday(atoms: Atoms, at: int) -> tuple[int, int] | None:
    word, names = atoms.word(at), words.WEEKDAYS | words.SHORT_WEEKDAYS
    index = names.get(word, names.get(word[:-1]) if word.endswith("s") else None)
    if index is None:
        return None
    dotted = word in words.SHORT_WEEKDAYS and atoms.is_word(at + 1, ".")
    return index, at + 1 + (dotted and atoms[at + 1].start == atoms[at].end)


def _weekday_run(atoms: Atoms, at: int) -> tuple[tuple[str, ...], int] | None:
    """One weekday, a run such as "tuesday through friday", weekdays or weekends."""
    word = atoms.word(at)
    if word in ("weekday", "weekdays"):
        return WORKDAYS, at + 1
    if word in ("weekend", "weekends"):
        return WEEKEND, at + 1
    first = _weekday(atoms, at)
    if first is None:
        return None
    index, here = first
    last = _weekday(atoms, here + 1) if atoms.word(here) in _THROUGH else None
    if last is None:
        return (WEEKDAY_NAMES[index],), here
    days = range((last[0] - index) % 7 + 1)
    return tuple(WEEKDAY_NAMES[(index + day) % 7] for day in days), last[1]


def read_weekdays(atoms: Atoms, at: int) -> tuple[tuple[str, ...], int]:
    """The weekdays listed at a place, each once, and the place after them."""
    runs, here = read_list(atoms, at, _weekday_run)
    return tuple(dict.fromkeys(day for run in runs for day in run)), here


def _position(atoms: Atoms, at: int) -> tuple[int, int] | None:
    """First, 2nd, last, second to last."""
    here = atoms.skip(at, "the")
    if atoms.is_word(here, "last"):
        return -1, here + 1
    atom = atoms[here]
    if atom.kind is not Kind.ORDINAL:
        return None
    if atoms.is_word(here + 1, "to"):
        last = atoms.skip(here + 2, "the")
        if atoms.is_word(last, "last"):
            return -atom.value, last + 1
    return atom.value, here + 1


def read_positions(atoms: Atoms, at: int) -> tuple[list[int], int]:
    """Ordinals listed at a place; the last counts as -1."""
    return read_list(atoms, at, _position)


def _nth_weekdays(atoms: Atoms, at: int) -> tuple[tuple[str, ...], int] | None:
    """First and third friday: each position with each weekday."""
    positions, here = read_positions(atoms, at)
    if not positions or any(abs(position) > 5 for position in positions):
        return None
    days, after = read_weekdays(atoms, here)
    if not days:
        return None
    return tuple(f"{position}{day}" for position in positions for day in days), after


def read_nth_weekdays(atoms: Atoms, at: int) -> tuple[tuple[str, ...], int]:
    """First and third friday and second tuesday: 1FR, 3FR, 2TU."""
    groups, here = read_list(atoms, at, _nth_weekdays)
    return tuple(day for group in groups for day in group), here


def read_months(atoms: Atoms, at: int) -> tuple[list[int], int]:
    """Months listed at a place."""

    def month(atoms: Atoms, at: int) -> tuple[int, int] | None:
        atom = atoms[at]
        return (atom.value, at + 1) if atom.kind is Kind.MONTH else None

    return read_list(atoms, at, month)


def read_numbers(atoms: Atoms, at: int) -> tuple[list[int], int]:
    """Whole numbers listed at a place, said as cardinals."""

    def number(atoms: Atoms, at: int) -> tuple[int, int] | None:
        atom = atoms[at]
        return (atom.value, at + 1) if atom.kind is Kind.NUMBER else None

    return read_list(atoms, at, number)
