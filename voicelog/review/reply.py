"""A line typed or said in the review: which record is meant, and what becomes of it.

Keys are one letter, with numbers where another record than the current one is meant (`c 2 3`);
plain words do as well ("the second one is right", "scratch the first", "number three: twelve").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from voicelog.catalogue import load_catalogue
from voicelog.farm import Farm
from voicelog.records import NewChange
from voicelog.review.day import DayLog, Item
from voicelog.review.said import read_correction
from voicelog.review.which import Picked, pick
from voicelog.types import ChangeKind


class Action(StrEnum):
    """What a line asks for."""

    CHANGE = "change"
    NEXT = "next"
    SHOW = "show"
    ADD = "add"
    HELP = "help"
    QUIT = "quit"
    UNCLEAR = "unclear"


KEYS = {
    "c": "confirm (c 2 3, c all)",
    "w": "withdraw (w 2)",
    "a": "add a memo (a WORDS)",
    "n": "go to the next one",
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
_TAKEN_BACK = frozenset({"w", "withdraw", "wrong"})
_LINKS = frozenset({"is", "was", "are", "were", "'s", "looks", "that's", "it's"})
_NO_VERBS = frozenset({"no", "never", "take", "throw"})
"""First words of withdrawals that say none by themselves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What a line asks for."""

    action: Action
    changes: tuple[NewChange, ...] = ()
    text: str = ""
    """The memo to add, or a sentence that says why nothing follows from the line."""
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
    words = " ".join(line.lower().replace("’", "'").split()).rstrip(".!")
    for action, said in (
        (Action.NEXT, _NEXT),
        (Action.SHOW, _SHOW),
        (Action.HELP, _HELP),
        (Action.QUIT, _QUIT | _listed("stop")),
    ):
        if words in said:
            return Reply(action=action)
    for key in ("a ", "add "):
        if words.startswith(key):
            return Reply(action=Action.ADD, text=line.strip()[len(key) :].strip())
    return _about_records(line, pick(line, log, current), farm, now)


def _about_records(line: str, picked: Picked, farm: Farm, now: datetime) -> Reply:
    if picked.missing is not None:
        return _unclear(f"There is no number {picked.missing} in the list.")
    if not picked.items:
        return _unclear("There is no record that this could be about.")
    rest = _bare(picked.rest)
    if _says_right(rest) or (picked.named and not rest and _says_right(_bare(line))):
        return _changed(picked.items, ChangeKind.CONFIRM, now)
    if _says_taken_back(rest):
        return _changed(picked.items, ChangeKind.WITHDRAW, now)
    if len(picked.items) > 1:
        return _unclear("That fits one record at a time; say which.")
    item = picked.items[0]
    if not rest:
        return Reply(action=Action.SHOW, number=item.number)
    changes = read_correction(picked.rest, item.record, farm=farm, now=now)
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
