"""What came of a post, remembered for a while.

A post is answered by a redirect, so that loading the page again sends nothing again; and a post
that arrives twice, as from a glove that taps twice, is done once.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from threading import Lock, RLock

from voicelog.app import Noted
from voicelog.sentences import cautions_of, change_text, record_text, shortened
from voicelog.types import Draft

_REMEMBERED = 200
"""Replies kept in memory; older ones are forgotten, their memos of course are not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordLine:
    """One record as it was understood."""

    text: str
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing that came of a post, in lines to show."""

    head: str
    heard: str = ""
    """Words that were heard in a recording."""
    records: tuple[RecordLine, ...] = ()
    changes: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    answers: tuple[tuple[str, str], ...] = ()
    """Questions the memo asked, with their answers."""
    warnings: tuple[str, ...] = ()
    """The gravest of what the memo warns of."""
    cautions: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What came of one post."""

    told: tuple[Told, ...]
    at: int | None = None
    """Record where the review goes on."""


@dataclass(slots=True)
class _Place:
    lock: RLock = field(default_factory=RLock)
    reply: Reply | None = None


class Replies:
    """The replies given last, by a key of what was posted."""

    def __init__(self) -> None:
        """Remember nothing yet."""
        self._lock = Lock()
        self._places: OrderedDict[str, _Place] = OrderedDict()

    def once(self, key: str, act: Callable[[], Reply]) -> Reply:
        """What `act` gives, done once for a key; when it fails, it may be tried again."""
        with self._lock:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > _REMEMBERED:
                self._places.popitem(last=False)
        with place.lock:
            if place.reply is None:
                place.reply = act()
            return place.reply

    def get(self, key: str) -> Reply | None:
        """The reply of that key; None where there is none, or no longer."""
        with self._lock:
            place = self._places.get(key)
        return None if place is None else place.reply


def key_of(*posted: str) -> str:
    """A key for what was posted: equal only where all of it is equal."""
    parts = (part.encode("utf-8", "surrogatepass") for part in posted)
    whole = b"".join(len(part).to_bytes(8, "big") + part for part in parts)
    return hashlib.sha256(whole).hexdigest()[:32]


def told_of(
    noted: Noted,
    answers: tuple[tuple[str, str], ...],
    now: datetime,
    warnings: tuple[str, ...] = (),
) -> Told:
    """A memo that was kept, in lines; `now` is the time to which its times are told."""
    drafts = tuple(record.draft for record in noted.records)
    memo = noted.memo
    heard = shortened(memo.text) if memo.source == "audio" else ""
    if memo.source == "audio" and not memo.text:
        heard = "no words were heard; the recording is kept"
    return Told(
        head=f"Kept as memo {memo.id}.",
        heard=heard,
        records=tuple(_line(draft, now) for draft in drafts),
        changes=tuple(change_text(change, now) for change in noted.changes),
        problems=noted.problems,
        answers=answers,
        warnings=warnings,
        cautions=tuple(caution.text for caution in cautions_of(drafts)),
        unused=tuple(shortened(words) for words in noted.parse.unused),
    )


def _line(draft: Draft, now: datetime) -> RecordLine:
    return RecordLine(text=record_text(draft, now), doubts=draft.doubts)
