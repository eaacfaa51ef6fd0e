"""One line of any sort, sent where it belongs: a memo, a question, a review word, a screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from voicelog import forms
from voicelog.app.actions import SHOW_LEFT, SHOW_REVIEW, STOP
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.reviewing import DayReview, Outcome, log_form, outcome_form
from voicelog.catalogue import load_catalogue
from voicelog.review import Action, read_reply
from voicelog.review.which import pick
from voicelog.types import Answer, DayPlan, Parse

_QUIT = frozenset({"q", "quit", "exit", "bye"})


class Sort(StrEnum):
    """What a line was."""

    MEMO = "memo"
    QUESTION = "question"
    LEFT = "left"
    REVIEW = "review"
    STOP = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One line and what came of it."""

    line: str
    sort: Sort
    noted: Noted | None = None
    answer: Answer | None = None
    plan: DayPlan | None = None
    outcome: Outcome | None = None
    review: DayReview | None = None
    """The day's list, where the line asked to see it."""

    def form(self) -> dict[str, Any]:
        """The turn as JSON has it."""
        found: dict[str, Any] = {"line": self.line, "sort": self.sort.value}
        if self.noted is not None:
            n = self.noted
            found |= forms.note(n.memo, n.parse, n.records, n.changes, n.problems)
        if self.answer is not None:
            found |= forms.answer(self.answer)
        if self.plan is not None:
            found |= forms.day_plan(self.plan)
        if self.outcome is not None:
            found |= outcome_form(self.line, self.outcome)
        if self.review is not None:
            found |= log_form(self.review.log)
        return found


class Chat:
    """A conversation: remembers the list that was shown last, so that its numbers mean something.

    A line that only asks is answered and not kept; every other line is kept as a memo.
    """

    def __init__(self, notebook: Notebook, clock: Callable[[], datetime]) -> None:
        """Talk on a notebook; `clock` gives the time of each line."""
        self._notebook = notebook
        self._clock = clock
        self.review: DayReview | None = None
        """The day's list, once it was shown."""

    def take(self, line: str) -> Turn:
        """Send one line where it belongs.

        Raises:
            RequestError: it cannot be met as it was put.
            StoreError: it could not be kept.
        """
        now = self._clock()
        plain = " ".join(line.lower().replace("’", "'").split()).rstrip("?!.")
        if plain in _QUIT or plain in _listed(STOP):
            return Turn(line=line, sort=Sort.STOP)
        if plain in _listed(SHOW_LEFT):
            return Turn(line=line, sort=Sort.LEFT, plan=self._notebook.left(now))
        if plain in _listed(SHOW_REVIEW):
            self.review = DayReview(self._notebook, now.date(), now)
            return Turn(line=line, sort=Sort.REVIEW, review=self.review)
        if self.review is not None and self._is_about_list(line):
            self.review.now = now
            return Turn(line=line, sort=Sort.REVIEW, outcome=self.review.take(line))
        return self._memo_or_question(line, now)

    def _is_about_list(self, line: str) -> bool:
        """Whether a line picks a record of the list that was shown and says something of it."""
        review = self.review
        assert review is not None
        if not pick(line, review.log, review.current).named:
            return False
        farm = self._notebook.setting.farm
        reply = read_reply(line, review.log, review.current, farm=farm, now=review.now)
        return reply.action is Action.CHANGE

    def _memo_or_question(self, line: str, now: datetime) -> Turn:
        parse = self._parse(line, now)
        if parse is not None and _only_asks(parse):
            return Turn(line=line, sort=Sort.QUESTION, answer=self._notebook.ask(line, now))
        return Turn(line=line, sort=Sort.MEMO, noted=self._notebook.note(line, now))

    def _parse(self, line: str, now: datetime) -> Parse | None:
        try:
            return self._notebook.parse(line, now)
        except Exception:
            # Words that break the parser are still a memo; keeping it tells what broke.
            return None


def _only_asks(parse: Parse) -> bool:
    return bool(parse.questions) and not parse.records and not parse.instructions


def _listed(name: str) -> frozenset[str]:
    return frozenset(load_catalogue().lists.get(name, ()))
