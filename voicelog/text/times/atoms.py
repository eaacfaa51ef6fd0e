"""First pass: tokens become atoms, one for each number, name or small word."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from voicelog.text.times import words
from voicelog.text.tokens import Token


class Kind(Enum):
    """What an atom is."""

    NUMBER = "number"
    DECIMAL = "decimal"
    ORDINAL = "ordinal"
    WEEKDAY = "weekday"
    MONTH = "month"
    SEASON = "season"
    UNIT = "unit"
    PART = "part"
    SUN = "sun"
    HOUR = "hour"
    DAY = "day"
    HALF = "half"
    CLOCK = "clock"
    WORD = "word"
    MARK = "mark"
    END = "end"


@dataclass(frozen=True, slots=True)
class Atom:
    """The smallest piece that means something."""

    kind: Kind
    start: int
    end: int
    """Half-open character range."""
    word: str
    """In lower case."""
    value: int = 0
    """A number, a month, a weekday, an offset of days, an hour, or seconds for a clock."""
    digits: int = 0
    """How many figures a written number has; 0 where it was said in words."""


def _table(kind: Kind, table: dict[str, int]) -> dict[str, tuple[Kind, int]]:
    return {word: (kind, value) for word, value in table.items()}


_NAMES: dict[str, tuple[Kind, int]] = {
    **_table(Kind.UNIT, dict.fromkeys(words.UNITS, 0)),
    **_table(Kind.ORDINAL, words.SMALL_ORDINALS),
    **_table(Kind.WEEKDAY, words.WEEKDAYS | words.SHORT_WEEKDAYS),
    **_table(Kind.MONTH, words.MONTHS | words.SHORT_MONTHS),
    **_table(Kind.SEASON, words.SEASONS),
    **_table(Kind.PART, dict.fromkeys(words.PARTS, 0)),
    **_table(Kind.SUN, dict.fromkeys(words.SUN_WORDS, 0)),
    **_table(Kind.HOUR, words.NAMED_HOURS),
    **_table(Kind.DAY, words.DAY_WORDS),
}
_OWNERS = (
    words.WEEKDAYS.keys() | words.DAY_WORDS.keys() | words.PARTS.keys() | words.UNITS.keys()
    | words.MONTHS.keys()
)  # fmt: skip
_HALVES = {"am": 0, "pm": 12}
_VAGUE = {("a", "couple", "of"): 2, ("a", "couple"): 2, ("couple", "of"): 2, ("couple",): 2,
          ("a", "few"): 3, ("few",): 3, ("several",): 3}  # fmt: skip
_MAX_DIGITS = 8


def atomise(tokens: tuple[Token, ...]) -> list[Atom]:
    """The atoms of a text in order; hesitations are left out."""
    tokens = tuple(token for token in tokens if token.lower not in words.FILLERS)
    atoms: list[Atom] = []
    at = 0
    while at < len(tokens):
        for read in _READERS:
            found = read(tokens, at, atoms)
            if found is not None:
                atom, at = found
                atoms.append(atom)
                break
        else:
            atoms.append(_plain(tokens[at]))
            at += 1
    return atoms


def bare_name(word: str) -> str:
    """A word without its possessive ending: "today's", "monday's"."""
    return word[:-2] if word.endswith("'s") and word[:-2] in _OWNERS else word


def _plain(token: Token) -> Atom:
    name = _NAMES.get(bare_name(token.lower))
    if name is not None:
        return Atom(name[0], token.start, token.end, bare_name(token.lower), name[1])
    kind = Kind.WORD if token.lower[0].isalpha() else Kind.MARK
    return Atom(kind, token.start, token.end, token.lower)


_Found = tuple[Atom, int] | None


def _lower(tokens: tuple[Token, ...], at: int) -> str:
    return tokens[at].lower if at < len(tokens) else ""


def _joined(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether no space stands before the token."""
    return 0 < at < len(tokens) and tokens[at].start == tokens[at - 1].end


def _figure(tokens: tuple[Token, ...], at: int, _before: list[Atom]) -> _Found:
    token = tokens[at]
    if not token.figure:
        return None
    if ":" in token.text:
        parts = [int(part) for part in token.text.split(":")]
        hour, minute, second = (*parts, 0)[:3]
        if hour > 24 or minute > 59 or second > 59:
            return Atom(Kind.MARK, token.start, token.end, token.lower), at + 1
        seconds = hour * 3600 + minute * 60 + second
        clock = Atom(Kind.CLOCK, token.start, token.end, token.lower, seconds, len(token.text))
        return clock, at + 1
    if not (token.text.isascii() and token.text.isdigit()) or len(token.text) > _MAX_DIGITS:
        kind = Kind.DECIMAL if token.text.isascii() else Kind.MARK
        return Atom(kind, token.start, token.end, token.lower), at + 1
    value, digits = int(token.text), len(token.text)
    if _joined(tokens, at + 1) and tokens[at + 1].lower in words.ORDINAL_ENDINGS:
        end = tokens[at + 1].end
        return Atom(Kind.ORDINAL, token.start, end, token.lower, value, digits), at + 2
    return Atom(Kind.NUMBER, token.start, token.end, token.lower, value, digits), at + 1


def _below_hundred(tokens: tuple[Token, ...], at: int) -> tuple[int, int, bool] | None:
    """Value, next token and whether it is an ordinal, of "twenty", "twenty-one", "twenty first"."""
    word = _lower(tokens, at)
    if word in words.SMALL_NUMBERS:
        return words.SMALL_NUMBERS[word], at + 1, False
    if word not in words.TENS:
        return None
    after = at + 2 if _lower(tokens, at + 1) == "-" else at + 1
    unit = _lower(tokens, after)
    if 0 < words.SMALL_NUMBERS.get(unit, 0) < 10:
        return words.TENS[word] + words.SMALL_NUMBERS[unit], after + 1, False
    if words.SMALL_ORDINALS.get(unit, 10) < 10:
        return words.TENS[word] + words.SMALL_ORDINALS[unit], after + 1, True
    return words.TENS[word], at + 1, False


def _spoken_number(tokens: tuple[Token, ...], at: int, _before: list[Atom]) -> _Found:
    first = _below_hundred(tokens, at)
    if first is None:
        return None
    total, here, ordinal = first
    for scale, value in (("thousand", 1000), ("hundred", 100)):
        if _lower(tokens, here) != scale or ordinal:
            continue
        total, here = (total // 1000 * 1000 + total % 1000 * value), here + 1
        rest_at = here + 1 if _lower(tokens, here) == "and" else here
        rest = _below_hundred(tokens, rest_at)
        if rest is not None:
            total, here, ordinal = total + rest[0], rest[1], rest[2]
    kind = Kind.ORDINAL if ordinal else Kind.NUMBER
    said = " ".join(token.lower for token in tokens[at:here])
    return Atom(kind, tokens[at].start, tokens[here - 1].end, said, total), here


def _runs_into_word(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a letter or figure follows without a space, as in a code such as 3am3io."""
    return _joined(tokens, at) and tokens[at].text[0].isalnum()


def _half(tokens: tuple[Token, ...], at: int, before: list[Atom]) -> _Found:
    """am, a.m., a m, and a single a or p that is stuck to its number."""
    word = tokens[at].lower
    if not before or before[-1].kind not in (Kind.NUMBER, Kind.CLOCK, Kind.DECIMAL):
        is_clock = bool(before) and before[-1].word in ("o'clock", "oclock", "past", "to")
        if not is_clock:
            return None
    if _runs_into_word(tokens, at + 1):
        return None
    if word in _HALVES:
        return Atom(Kind.HALF, tokens[at].start, tokens[at].end, word, _HALVES[word]), at + 1
    if word not in ("a", "p"):
        return None
    here = at + 2 if _lower(tokens, at + 1) == "." else at + 1
    if _lower(tokens, here) == "m":
        dotted = here > at + 1 and _lower(tokens, here + 1) == "." and _joined(tokens, here + 1)
        last = here + 1 if dotted else here
        value = _HALVES[word + "m"]
        return Atom(Kind.HALF, tokens[at].start, tokens[last].end, word + "m", value), last + 1
    if _joined(tokens, at):
        return Atom(Kind.HALF, tokens[at].start, tokens[at].end, word, _HALVES[word + "m"]), at + 1
    return None


def _vague_number(tokens: tuple[Token, ...], at: int, _before: list[Atom]) -> _Found:
    """A couple of, a few: 2 and 3."""
    if tokens[at].lower not in ("a", "couple", "few", "several"):
        return None
    for length in (3, 2, 1):
        said = tuple(token.lower for token in tokens[at : at + length])
        if said in _VAGUE and _lower(tokens, at + length) in words.UNITS:
            end = tokens[at + length - 1].end
            atom = Atom(Kind.NUMBER, tokens[at].start, end, " ".join(said), _VAGUE[said])
            return atom, at + length
    return None


_READERS: tuple[Callable[[tuple[Token, ...], int, list[Atom]], _Found], ...] = (
    _figure,
    _half,
    _vague_number,
    _spoken_number,
)
