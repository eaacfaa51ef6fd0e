"""A line typed or said in the review: which record is meant, and what becomes of it.

Keys are one letter, with numbers where another record than the current one is meant (`c 2 3`);
plain words do as well ("the second one is right", "scratch the first", "number three: twelve").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from voicelog.catalogue import load_catalogue
from voicelog.farm import Farm
from voicelog.records import NewChange
from voicelog.review.day import DayLog, Item
from voicelog.review.phrases import AGREEING, BRING_BACK, CONFIRM_ALL, GO_BACK, NOT_RIGHT, UNDO
from voicelog.review.said import read_correction, unknown_place
from voicelog.review.which import Picked, pick
from voicelog.types import ChangeKind


class Action(StrEnum):
    """What a line asks for."""

    CHANGE = "change"
    NEXT = "next"
    PREVIOUS = "previous"
    UNDO = "undo"
    ANSWER = "answer"
    SHOW = "show"
    ADD = "add"
    HELP = "help"
    QUIT = "quit"
    UNCLEAR = "unclear"


KEYS = {
    "c": "confirm (c 2 3, c all)",
    "w": "withdraw (w 2)",
    "a": "add a memo (a WORDS)",
    "u": "undo: take back your own last change",
    "b": "bring back what was withdrawn (b 2, or: bring it back)",
    "n": "go to the next one",
    "p": "go to the one before",
    "s": "show the list",
    "h": "show this help",
    "q": "quit",
}
"""Letter and what it does; a correction is typed as number, field and value."""

_NEXT = frozenset({"n", "next", "skip", "go on", ""})
_SHOW = frozenset({"s", "show", "list", "show the list", "show me", "read it back"})
_HELP = frozenset({"h", "?", "help"})
_QUIT = frozenset({"q", "quit", "exit", "done", "stop", "that's all", "bye"})
_RIGHT = frozenset(
    {"right", "ok", "okay", "yes", "fine", "good", "true", "correct", "confirmed", "confirm", "c"}
)
"""Said of a record; the ones in `AGREEING` confirm nothing where no record is named."""
_TAKEN_BACK = frozenset({"w", "withdraw", "wrong"})
_LINKS = frozenset({"is", "was", "are", "were", "'s", "looks", "that's", "it's"})
_NO_VERBS = frozenset({"no", "never", "take", "throw", "undo"})
"""First words of withdrawals that say none by themselves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What a line asks for."""

    action: Action
    changes: tuple[NewChange, ...] = ()
    text: str = ""
    """The memo to add, or sentences: why nothing follows from the line, or what is left open."""
    number: int | None = None
    """The record spoken of."""


def read_reply(line: str, log: DayLog, current: int, *, farm: Farm, now: datetime) -> Reply:
    """What a line asks for; it changes nothing by itself.

    Args:
        line: as typed or said.
        log: the numbered list in front of the person.
        current: the number of the record that is spoken of where none is named.
        farm: whose names are known.
        now: aware; when the line was said.
    """
    words = plain_words(line)
    for action, said in (
        (Action.NEXT, _NEXT),
        (Action.SHOW, _SHOW),
        (Action.HELP, _HELP),
        (Action.QUIT, _QUIT | _listed("stop")),
        (Action.UNDO, UNDO),
        (Action.PREVIOUS, GO_BACK),
    ):
        if words in said:
            return Reply(action=action)
    for key in ("a ", "add "):
        if words.startswith(key):
            return Reply(action=Action.ADD, text=line.strip()[len(key) :].strip())
    if words in CONFIRM_ALL:
        return _confirm_all(log, now)
    picked = pick(line, log, current)
    if words in AGREEING:
        return _unclear(
            f"“{line.strip()}” confirms nothing by itself. Type c to confirm number {current}, "
            "or c all for every record that is not in doubt."
        )
    if picked.every and (_says_right(_bare(picked.rest)) or _bare(picked.rest) == ""):
        return _unclear("To confirm every record that is not in doubt, type c all.")
    return _about_records(line, picked, log, farm, now)


def plain_words(line: str) -> str:
    """A line in lower case with single spaces, without the mark at its end."""
    return " ".join(line.lower().replace("’", "'").split()).rstrip(".!")


def _confirm_all(log: DayLog, now: datetime) -> Reply:
    """Confirm what is open and not in doubt; a doubt is answered one by one."""
    sure = [item for item in log.open if not item.in_doubt]
    doubted = log.in_doubt
    left = (
        f"{len(doubted)} in doubt, left open: confirm or correct by number "
        f"({', '.join(str(item.number) for item in doubted)})."
        if doubted
        else ""
    )
    if not sure:
        return _unclear(left or "There is no record that is still to confirm.")
    changed = _changed(sure, ChangeKind.CONFIRM, now)
    return replace(changed, text=left)


def _brought_back(picked: Picked, log: DayLog, now: datetime) -> Reply:
    """Back from a withdrawal: the records named; else the current one, or the only one there is."""
    gone = [item for item in picked.items if item.record.withdrawn]
    if not gone and not picked.named:
        gone = [item for item in log.items if item.record.withdrawn]
        if len(gone) > 1:
            numbers = ", ".join(str(item.number) for item in gone)
            return _unclear(f"Several are withdrawn; say which one to bring back: {numbers}.")
    if not gone:
        return _unclear("That one is not withdrawn; u takes back your own last change.")
    return _changed(gone, ChangeKind.CONFIRM, now)


def _about_records(line: str, picked: Picked, log: DayLog, farm: Farm, now: datetime) -> Reply:
    if picked.missing is not None:
        return _unclear(f"There is no number {picked.missing} in the list.")
    if not picked.items:
        return _unclear("There is no record that this could be about.")
    rest = _bare(picked.rest)
    if rest in BRING_BACK:
        return _brought_back(picked, log, now)
    if _says_right(rest) or (picked.named and not rest and _says_right(_bare(line))):
        return _changed(picked.items, ChangeKind.CONFIRM, now)
    if _says_taken_back(rest):
        return _changed(picked.items, ChangeKind.WITHDRAW, now)
    if len(picked.items) > 1:
        return _unclear("That fits one record at a time; say which.")
    item = picked.items[0]
    if not rest:
        return Reply(action=Action.SHOW, number=item.number)
    if rest in NOT_RIGHT:
        return _unclear(
            f"What is wrong with number {item.number}? {_fields_of(item)} w withdraws it."
        )
    changes = read_correction(picked.rest, item.record, farm=farm, now=now)
    if not changes and (place := unknown_place(picked.rest, item.record, farm)):
        known = ", ".join(one.name for one in farm.places) or "none"
        return _unclear(f"There is no place “{place}” in the farm file; those it has: {known}.")
    if not changes:
        return _unclear(
            f"“{line.strip()}” does not say what number {item.number} should be. {_fields_of(item)}"
        )
    return Reply(action=Action.CHANGE, changes=changes, number=item.number)


def _changed(items: Sequence[Item], kind: ChangeKind, now: datetime) -> Reply:
    return Reply(
        action=Action.CHANGE,
        changes=tuple(NewChange(record_id=i.record.id, kind=kind, at=now) for i in items),
        number=items[-1].number,
    )


def _fields_of(item: Item) -> str:
    kind = load_catalogue().kind(item.record.draft.kind)
    names = ", ".join(["when", "place", "flock", "birds", *(slot.name for slot in kind.slots)])
    return f"Name a field and its value; fields are {names}."


def _says_right(words: str) -> bool:
    return words in _RIGHT or words in _listed("confirm")


def _says_taken_back(words: str) -> bool:
    verbs = {phrase.split()[0] for phrase in _listed("withdraw")} - _NO_VERBS
    return words in _TAKEN_BACK | verbs or words in _listed("withdraw")


def _bare(words: str) -> str:
    """The words in lower case without the "is" or "that" that links them to the record."""
    kept = words.lower().replace("’", "'").rstrip(".!").split()
    while kept and kept[0] in _LINKS:
        kept = kept[1:]
    return " ".join(kept)


def _listed(name: str) -> frozenset[str]:
    return frozenset(load_catalogue().lists.get(name, ()))


def _unclear(why: str) -> Reply:
    return Reply(action=Action.UNCLEAR, text=why)
