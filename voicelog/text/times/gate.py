"""Which memos, and which places in one, may hold a time at all; most hold none and end here."""

from __future__ import annotations

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind, bare_name
from voicelog.text.times.terms import Atoms
from voicelog.text.tokens import Token

_ALONE = words.listed(
    "now earlier later o'clock oclock am pm past present moment ago overnight tonight dark"
)
_PREPOSITIONS = words.listed(
    "at around about between before after since until till by from on in to past the / -"
)
_SMALL = words.SMALL_NUMBERS.keys() | words.SMALL_ORDINALS.keys()
_NAMES = (
    words.WEEKDAYS.keys() | words.SHORT_WEEKDAYS.keys() | words.MONTHS.keys()
    | words.SHORT_MONTHS.keys() | words.SEASONS.keys() | words.UNITS.keys() | words.PARTS.keys()
    | words.SUN_WORDS.keys() | words.NAMED_HOURS.keys() | words.DAY_WORDS.keys() | _ALONE
)  # fmt: skip
_STARTERS = (
    words.LAST | words.THIS | words.NEXT | words.PAST | words.THIRDS.keys() | words.ABOUT
    | words.UNTIL | words.listed(
        "at @ between before after since by from to the in a an half quarter all over just right "
        "within rest remainder these starting beginning commencing few couple several during "
        "more less for prior of than date first light thing on working work"
    )
)  # fmt: skip
_PAIRS = {("this", "time"), ("to", "date"), ("a", "m"), ("p", "m")}
_NEVER_FIRST = words.listed("on of than date light thing working work")
_AFTER_A_NUMBER = words.listed(
    "o'clock oclock past to after before till until through thru of or - – — ~ / . last previous "
    "this oh o hours"
)
_UNITS_FIRST = words.listed("week month year day")


def may_hold_time(tokens: tuple[Token, ...]) -> bool:
    """Whether any word announces a time, or two numbers stand as an hour and its minutes do."""
    before = ""
    for token in tokens:
        if token.lower in words.FILLERS:
            continue
        lower = bare_name(token.lower)
        if (before, lower) in _PAIRS or lower in _NAMES or (token.figure and len(lower) >= 3):
            return True
        if token.figure or lower in _SMALL or lower in words.TENS:
            joined = before in words.TENS and lower in _SMALL
            if not joined and (before in _PREPOSITIONS or before == "#" or before in words.TENS):
                return True
            before = lower if lower in words.TENS and before != "#" else "#"
        elif before == "#" and lower in ("oh", "o"):
            return True
        else:
            before = lower
    return False


def may_begin(atoms: Atoms, at: int) -> bool:
    """Whether a time may begin at this place; what is asked here saves the long reading."""
    atom, after = atoms[at], atoms[at + 1]
    if at and atoms.word(at - 1) in words.REPEAT_WORDS:
        return False
    if atom.kind is Kind.NUMBER:
        return (
            atom.digits >= 3
            or after.kind in (Kind.HALF, Kind.UNIT, Kind.MONTH, Kind.NUMBER, Kind.HOUR, Kind.PART)
            or after.word in _AFTER_A_NUMBER
            or (after.word == "and" and atoms.is_word(at + 2, "a"))
            or (at > 0 and atoms.is_word(at - 1, "on", "at", "for", "in"))
            or (atom.digits > 0 and after.word in (",", "@", "on"))
        )
    if atom.kind is Kind.UNIT:
        return atom.word in _UNITS_FIRST
    if atom.kind is Kind.DECIMAL:
        return after.kind in (Kind.HALF, Kind.UNIT) or (at > 0 and atoms.word(at - 1) in _STARTERS)
    if atom.kind in (Kind.WORD, Kind.MARK):
        if atom.word in _ALONE:
            return True
        if atom.word not in _STARTERS or atom.word in _NEVER_FIRST:
            return False
        follows = after.kind is not Kind.WORD or after.word in _STARTERS or after.word in _ALONE
        return follows or after.word == "present"
    return atom.kind not in (Kind.HALF, Kind.END)
