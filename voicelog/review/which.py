"""The words that pick records from the numbered list: "the second one", "number three", "2"."""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.catalogue import expand_all, load_catalogue
from voicelog.review.day import DayLog, Item
from voicelog.review.phrases import BRING_BACK
from voicelog.text.numbers import find_numbers
from voicelog.text.tokens import Token, tokenise

_ALL = frozenset({"all", "everything", "rest"})
_LAST = "last"
_COUNTED = frozenset({"number", "record", "entry", "item", "line", "#", "no"})
_ONE = frozenset({"one", "record", "entry", "item", "line"})
_MARKS = frozenset({":", ",", "=", "-", "–", ".", ")"})
_TENS = range(20, 100, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """The records that a line speaks of, and the words of the line besides."""

    items: tuple[Item, ...]
    rest: str
    named: bool
    """False where the line picks none, and the current one is meant."""
    every: bool = False
    """Whether every open record is meant."""
    missing: int | None = None
    """A number that the list does not have."""


def pick(line: str, log: DayLog, current: int) -> Picked:
    """Which records a line is about; without such words, the current one."""
    tokens = tokenise(line)
    numbers, start, end = _numbers_said(tokens, len(log.items))
    rest = f"{_text(line, tokens[:start])} {_text(line, tokens[end:])}".strip()
    if numbers:
        items = [log.item(number) for number in numbers]
        missing = next((n for n, item in zip(numbers, items, strict=True) if item is None), None)
        found = tuple(item for item in items if item is not None)
        return Picked(items=found, rest=rest, named=True, missing=missing)
    if tokens and any(token.lower in _ALL for token in tokens):
        return Picked(items=log.open, rest=_without(line, tokens, _ALL), named=True, every=True)
    of_kind = _of_kind(line, tokens, log)
    if of_kind is not None:
        return of_kind
    item = log.item(current)
    return Picked(items=(item,) if item else (), rest=line.strip(), named=False)


def _numbers_said(tokens: tuple[Token, ...], count: int) -> tuple[list[int], int, int]:
    """The numbers, and the half-open range of tokens that say them."""
    for at, token in enumerate(tokens):
        if token.lower == _LAST or (ordinal := _ordinal(token)) is not None:
            number = -1 if token.lower == _LAST else ordinal or 0
            return [number], *_around(tokens, at, at + 1, ordinal=True)
        if token.lower in _COUNTED and at + 1 < len(tokens):
            numbers, end = _row(tokens, at + 1, count)
            if numbers:
                return numbers, *_around(tokens, at, end)
        if token.figure and _starts(tokens, at, count):
            numbers, end = _row(tokens, at, count)
            if numbers:
                return numbers, *_around(tokens, at, end)
    return [], 0, 0


def _starts(tokens: tuple[Token, ...], at: int, count: int) -> bool:
    """Whether a bare figure there picks: it begins the line, or follows a key."""
    if at == 0:
        number = _number(tokens[0])
        return len(tokens) > 1 or (number is not None and number <= count)
    before = tokens[0].lower
    is_key = len(before) == 1 and before.isalpha()
    return at == 1 and (is_key or before in BRING_BACK)


def _row(tokens: tuple[Token, ...], at: int, count: int) -> tuple[list[int], int]:
    """The numbers from a token on, "2, 3 and 5" among them, and where they end."""
    numbers: list[int] = []
    end = at
    while at < len(tokens):
        value, after = _whole(tokens, at, count)
        if value is None:
            break
        numbers.append(value)
        at = end = after
        # Only figures run on: "number three, twelve" gives a number and its new value.
        if at < len(tokens) and tokens[at].lower in {",", "and"} and _figure_row(tokens, at):
            at += 1
        elif not _figure_row(tokens, at - 1):
            break
    return numbers, end


def _figure_row(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether the line goes on in figures to its end, after a mark or a space."""
    rest = tokens[at + 1 :]
    return (
        bool(rest)
        and all(token.figure or token.lower in {",", "and"} for token in rest)
        and len(tokens[0].lower) == 1
        and tokens[0].lower.isalpha()
    )


def _whole(tokens: tuple[Token, ...], at: int, count: int) -> tuple[int | None, int]:
    value = _number(tokens[at])
    if value is None:
        return None, at
    if value in _TENS and not tokens[at].figure:
        after = at + 2 if at + 1 < len(tokens) and tokens[at + 1].lower == "-" else at + 1
        unit = _number(tokens[after]) if after < len(tokens) else None
        if unit is not None and 0 < unit < 10 and value + unit <= count:
            return value + unit, after + 1
    return value, at + 1


def _number(token: Token) -> int | None:
    spans = find_numbers(token.text)
    if len(spans) != 1 or spans[0].ordinal or not isinstance(spans[0].value, int):
        return None
    return spans[0].value


def _ordinal(token: Token) -> int | None:
    if token.lower == "second":
        return 2
    spans = find_numbers(token.text)
    whole = len(spans) == 1 and spans[0].ordinal and isinstance(spans[0].value, int)
    return int(spans[0].value) if whole else None


def _around(
    tokens: tuple[Token, ...], start: int, end: int, *, ordinal: bool = False
) -> tuple[int, int]:
    """The range with "the" before it and "one" and marks after it."""
    if start and tokens[start - 1].lower == "the":
        start -= 1
    if ordinal and end < len(tokens) and tokens[end].lower in _ONE:
        end += 1
    while end < len(tokens) and tokens[end].lower in _MARKS:
        end += 1
    return start, end


def _of_kind(line: str, tokens: tuple[Token, ...], log: DayLog) -> Picked | None:
    """The one record of a kind that the line begins with: "the … were twelve"."""
    words = [token.lower for token in tokens]
    start = 1 if words[:1] == ["the"] else 0
    if not start:
        return None
    for kind in {item.record.draft.kind for item in log.items}:
        items = [item for item in log.items if item.record.draft.kind == kind]
        if len(items) != 1:
            continue
        declared = load_catalogue().kind(kind)
        for said in expand_all(declared.about + declared.says):
            form = said.split()
            if words[start : start + len(form)] == form:
                rest = _text(line, tokens[start + len(form) :])
                return Picked(items=tuple(items), rest=rest, named=True)
    return None


def _text(line: str, tokens: tuple[Token, ...]) -> str:
    return line[tokens[0].start : tokens[-1].end] if tokens else ""


def _without(line: str, tokens: tuple[Token, ...], words: frozenset[str]) -> str:
    return " ".join(line[t.start : t.end] for t in tokens if t.lower not in words)
