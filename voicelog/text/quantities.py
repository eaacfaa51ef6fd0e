"""Amounts in a text: a number with a unit of the catalogue, "two and a half scoops", $12.50.

Conventions where speech leaves a choice:

- The unit is the singular of what was said: "three pounds" is pound, "3lbs" is lb.
- Two units, one a part of the other, are one amount in the larger: "two pounds four ounces" is
  2.25 pound. A bare number at the end of a clause counts the part: "twelve dollars fifty".
- "Fifty pound bag" is 50 pound; "two fifty pound bags" is 2 bag, since what was counted are bags.
- A dozen is a unit where no other follows: "three dozen eggs" is 3 dozen, as a number it is 36.
- "Four dollars a dozen", "twice a day": what follows is a rate and no amount.
- A range gives its lower end and is approximate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from voicelog.catalogue.units import Spelling, Unit, parts_per_whole
from voicelog.text.cardinals import Reading, past_hyphen
from voicelog.text.number_parts import read_part_after_and
from voicelog.text.number_words import DOZENS, HYPHENS, ONES, PARTS
from voicelog.text.numbers import plain
from voicelog.text.tokens import Token, tokenise
from voicelog.text.unit_reading import BETWEEN, UnitReader
from voicelog.types import QuantitySpan

_RATE_BEFORE = frozenset({"once", "twice", "times", "time"})
_BEFORE_PRICE = frozenset(
    {"for", "cost", "paid", "at", "was", "is", "about", "spent", "of", "around"}
)
_CLAUSE_ENDS = frozenset({"", ".", ",", ";", "!", "?", ")", ":"})


@dataclass(frozen=True, slots=True)
class _Amount:
    """One amount as it was read, in tokens."""

    start: int
    end: int
    value: int | Fraction
    spelling: Spelling
    approximate: bool = False


def find_quantities(text: str) -> tuple[QuantitySpan, ...]:
    """The amounts said or written in `text`, in order, none overlapping.

    A span covers the number and the unit. Time grows with the length of the text.
    """
    return tuple(
        QuantitySpan(
            start=span_tokens[0].start,
            end=span_tokens[-1].end,
            value=plain(amount.value),
            unit=amount.spelling.singular,
            approximate=amount.approximate,
        )
        for amount, span_tokens in _amounts_with_tokens(text)
    )


def _amounts_with_tokens(text: str) -> list[tuple[_Amount, Sequence[Token]]]:
    tokens = tokenise(text)
    reader = _AmountReader(tokens)
    return [(amount, tokens[amount.start : amount.end]) for amount in reader.read_all()]


class _AmountReader(UnitReader):
    """Walks once over the tokens of a text."""

    def read_all(self) -> list[_Amount]:
        found: list[_Amount] = []
        at = 0
        while at < self.length:
            last_end = found[-1].end if found else -1
            amount = self._read_at(at, last_end)
            if amount is not None:
                amount = self._extended(amount)
                found.append(amount)
                at = amount.end
            else:
                number = self.numbers.get(at)
                at = at + 1 if number is None else max(at + 1, number.end)
        return found

    def _read_at(self, at: int, last_end: int) -> _Amount | None:
        number = self.numbers.get(at)
        word = self.tokens[at].lower
        if number is not None:
            is_rate = word in ("a", "an") and at == last_end
            return None if is_rate else self._read_number(number)
        if word in ("a", "an", "one"):
            return self._read_single(at, last_end)
        if word == "quarter":
            return self._read_bare_part(at)
        if word in self.longest:
            return self._read_unit_first(at)
        return None

    def _read_number(self, number: Reading) -> _Amount | None:
        if number.ordinal:
            return self._read_bare_part(number.start)
        sized = self._read_sized_containers(number)
        if sized is not None:
            return sized
        if self._is_hundreds(number):
            return self._read_hundreds(number)
        return self._plain_amount(number)

    def _plain_amount(self, number: Reading) -> _Amount | None:
        """The number with the unit that follows it."""
        below = self._below_zero(number)
        if below is not None:
            return below
        found = self.unit_behind(number)
        if found is None:
            return self._dozens(number)
        spelling, end = found
        value, start = number.value, number.start
        if spelling.unit.dimension == "temperature" and self._is_signed_by_dash(start):
            value, start = -value, start - 1
        return _Amount(start, end, value, spelling, number.approximate or number.upto is not None)

    def _read_sized_containers(self, number: Reading) -> _Amount | None:
        """Read "two fifty pound bags" as so many bags."""
        size = self.numbers.get(past_hyphen(self.tokens, number.end))
        if size is None or size.ordinal or number.partial or number.value.denominator != 1:
            return None
        measure = self.unit_behind(size)
        if measure is None or measure[0].unit.dimension not in ("mass", "volume", "length"):
            return None
        container = self.unit(past_hyphen(self.tokens, measure[1]))
        if container is None or container[0].unit.dimension != "container":
            return None
        if container[0].plural != (number.value != 1):
            return None
        spelling, end = container
        return _Amount(number.start, end, number.value, spelling, number.approximate)

    def _is_hundreds(self, number: Reading) -> bool:
        """True for the "one" of "one fifty five dollars", where no name stands before it."""
        before = self.tokens[number.start - 1].lower if number.start else ""
        return (
            self.tokens[number.start].lower in ONES
            and number.end == number.start + 1
            and (not before[:1].isalpha() or before in _BEFORE_PRICE)
        )

    def _read_hundreds(self, number: Reading) -> _Amount | None:
        tens = self.numbers.get(number.end)
        ends = None if tens is None else self.unit_behind(tens)
        if tens is None or ends is None or ends[0].unit.dimension != "money":
            return self._plain_amount(number)
        if tens.ordinal or tens.value.denominator != 1 or not 10 <= tens.value < 100:
            return self._plain_amount(number)
        value = number.value * 100 + tens.value
        return _Amount(number.start, ends[1], value, ends[0], number.approximate)

    def _dozens(self, number: Reading) -> _Amount | None:
        """A dozen as the unit, where no other follows."""
        words = (token.lower for token in self.tokens[number.start : number.end])
        word = next((word for word in words if word in DOZENS), None)
        if word is None or number.scale > 12:
            return None
        value = Fraction(number.value) / 12
        approximate = number.approximate or number.upto is not None
        return _Amount(number.start, number.end, value, self.spellings[word], approximate)

    def _below_zero(self, number: Reading) -> _Amount | None:
        """Read "two below zero" and "two degrees below zero"."""
        unit = self.unit(number.end)
        at = unit[1] if unit else number.end
        if self.tokens[at].lower != "below" or self.tokens[at + 1].lower != "zero":
            return None
        spelling = unit[0] if unit else self.spellings["degree"]
        if spelling.unit.dimension != "temperature":
            return None
        return _Amount(number.start, at + 2, -number.value, spelling, number.approximate)

    def _is_signed_by_dash(self, start: int) -> bool:
        """True for a text that starts "- 2 degrees"; elsewhere a dash with spaces is a dash."""
        return start == 1 and self.tokens[0].text in HYPHENS

    def _read_bare_part(self, at: int) -> _Amount | None:
        """Read "a tenth of a gallon", "quarter-litre": words that alone are no number of it."""
        share = PARTS.get(self.tokens[at].lower)
        behind = past_hyphen(self.tokens, at + 1)
        if share is None or (share != 4 and self.tokens[behind].lower != "of"):
            return None
        behind += self.tokens[behind].lower == "of"
        behind += self.tokens[behind].lower in ("a", "an")
        unit = self.unit(behind)
        if unit is None or unit[0].wary or unit[0].unit.dimension == "time":
            return None
        return _Amount(at, unit[1], Fraction(1, share), unit[0])

    def _read_single(self, at: int, last_end: int) -> _Amount | None:
        """Read "a scoop", "an inch", "a full bucket", "that one bag"."""
        before = self.tokens[at - 1].lower if at else ""
        if at == last_end or before in _RATE_BEFORE:
            return None
        behind = past_hyphen(self.tokens, at + 1)
        if self.tokens[behind].lower in BETWEEN and not self.unit(behind):
            behind += 1
        unit = self.unit(behind)
        if unit is None or unit[0].plural or unit[0].wary or unit[0].unit.dimension == "share":
            return None
        if unit[0].singular == "second" or not unit[0].singular[:1].isalpha():
            return None
        return _Amount(at, unit[1], 1, unit[0])

    def _read_unit_first(self, at: int) -> _Amount | None:
        """Read "$12.50", "EUR 20", and "scoop and a half"."""
        unit = self.unit(at)
        if unit is None:
            return None
        spelling, end = unit
        number = self.numbers.get(end)
        if spelling.before and number is not None and not number.ordinal:
            again = self.unit(number.end)  # "$10 dollars"
            end = number.end
            if again and again[0].unit is spelling.unit and not self.opens_amount(*again):
                end = again[1]
            approximate = number.approximate or number.upto is not None
            return _Amount(at, end, number.value, spelling, approximate)
        if spelling.plural or spelling.wary or not spelling.singular.isalpha():
            return None
        whole = _Amount(at, end, 1, spelling)
        halved = self._with_part(whole)
        return halved if halved is not whole else None

    def _extended(self, amount: _Amount) -> _Amount:
        """Add what follows the unit: a part of one, smaller units, a bare rest."""
        with_part = self._with_part(amount)
        if with_part is not amount:
            return with_part
        last = amount.spelling.unit
        while True:
            smaller = self._smaller_behind(amount.end, last.dimension)
            if smaller is None:
                break
            part = smaller.spelling.unit
            ratio = self._ratio(part, amount.spelling.unit)
            nested = last is amount.spelling.unit or parts_per_whole(part.name, last.name)
            if ratio is None or not nested:
                break
            amount = self._sum(amount, Fraction(smaller.value) / ratio, smaller.end)
            last = part
        return self._with_rest(amount) if last is amount.spelling.unit else amount

    def _sum(self, amount: _Amount, more: Fraction, end: int) -> _Amount:
        value = amount.value - more if amount.value < 0 else amount.value + more
        return _Amount(amount.start, end, value, amount.spelling, amount.approximate)

    def _with_part(self, amount: _Amount) -> _Amount:
        """Add "and a half" behind the unit."""
        if self.tokens[amount.end].lower != "and" or amount.value.denominator != 1:
            return amount
        part = read_part_after_and(self.tokens, amount.end + 1, 1)
        if part is None or not 0 < part.value < 1:
            return amount
        behind = part.end + (self.tokens[part.end].lower in ("of", "a", "an"))
        behind += self.tokens[behind].lower in ("a", "an")
        if self.unit(past_hyphen(self.tokens, behind)) is not None:
            return amount  # "a scoop and half a bucket" are two amounts
        return self._sum(amount, Fraction(part.value), part.end)

    def _smaller_behind(self, at: int, dimension: str) -> _Amount | None:
        """An amount of the same dimension behind a comma, "and", or nothing."""
        at += self.tokens[at].text == ","
        at += self.tokens[at].lower == "and"
        number = self.numbers.get(at)
        if number is not None:
            if number.ordinal or number.upto is not None or number.value <= 0:
                return None
            found = self.unit_behind(number)
            amount = found and _Amount(at, found[1], number.value, found[0])
        elif self.tokens[at].lower in ("a", "an"):
            amount = self._read_single(at, -1)
        else:
            return None
        if amount is None or amount.spelling.unit.dimension != dimension:
            return None
        return amount

    @staticmethod
    def _ratio(part: Unit, whole: Unit) -> int | None:
        """How many of the part make the whole; a cent is a hundredth of any dollar."""
        nested = parts_per_whole(part.name, whole.name)
        if nested is not None:
            return nested
        return part.parts if part.parts is not None and part.parts == whole.rest else None

    def _with_rest(self, amount: _Amount) -> _Amount:
        """Add a bare number at the end of a clause: "twelve dollars fifty", "five foot two"."""
        parts = amount.spelling.unit.rest
        at = amount.end + (self.tokens[amount.end].lower == "and")
        number = self.numbers.get(at)
        if parts is None or number is None or amount.value.denominator != 1:
            return amount
        whole = number.value.denominator == 1 and not number.ordinal and number.upto is None
        whole = whole and number.scale == 1 and self.tokens[at].lower not in ("a", "an")
        if not whole or not 0 < number.value < parts:
            return amount
        end = number.end
        money = amount.spelling.unit.dimension == "money"
        if self.tokens[end].lower == "c" and money:
            end += 1  # "$20 and 43c"
        elif self.tokens[end].lower == "for" and money:
            pass  # "twelve dollars fifty for two bales"
        elif self.tokens[end].text not in _CLAUSE_ENDS:
            return amount
        return self._sum(amount, Fraction(number.value, parts), end)
