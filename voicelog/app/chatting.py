"""One line of any sort, sent where it belongs: a memo, a question, a review word, a screen.

A line may be typed or spoken.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from voicelog import forms
from voicelog.app.actions import SHOW_LEFT, SHOW_REVIEW, STOP
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.reviewing import DayReview, Outcome, log_form, only_asks, outcome_form
from voicelog.app.watch import Due, Warned, due_today, warning_form, warnings_of, with_due
from voicelog.catalogue import load_catalogue
from voicelog.review import Action, plain_words, read_reply
from voicelog.review.phrases import CHAT_HELP, CONFIRM_ALL, GREETINGS, NOT_RIGHT
from voicelog.review.which import pick
from voicelog.types import Answer, DayPlan, Parse, Transcript

_QUIT = frozenset({"q", "quit", "exit", "bye"})

GREETING = "Hello. Say what was done, or ask; “help” tells what can be said."
HELP = (
    "Say what was done, and it is kept as a memo. Ask “how many … today”, and it is answered. "
    "“What's left” tells what is still to do. “Show me today” lists the day's records; then "
    "“the second one is right”, “number three: twelve” or “scratch the first”. “Scratch that” "
    "withdraws the records of the memo before; “bring back number two” brings one back. q ends."
)


class Sort(StrEnum):
    """What a line was."""

    MEMO = "memo"
    QUESTION = "question"
    LEFT = "left"
    REVIEW = "review"
    STOP = "stop"
    HELP = "help"
    GREETING = "greeting"


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
    text: str = ""
    """What to say to a greeting or a call for help."""
    warnings: tuple[Warned, ...] = ()
    """The gravest of what a memo warns of."""
    dues: tuple[Due, ...] = ()
    """What is due beside the chores, where the line asked for them."""

    def form(self) -> dict[str, Any]:
        """The turn as JSON has it."""
        found: dict[str, Any] = {"line": self.line, "sort": self.sort.value}
        if self.noted is not None:
            n = self.noted
            found |= forms.note(n.memo, n.parse, n.records, n.changes, n.problems)
            found["warnings"] = [warning_form(warning) for warning in self.warnings]
        if self.answer is not None:
            found |= forms.answer(self.answer)
        if self.plan is not None:
            found |= with_due(forms.day_plan(self.plan), self.dues)
        if self.text:
            found["text"] = self.text
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
        return self._screen_or_review(line, now) or self._memo_or_question(line, now)

    def take_spoken(self, transcript: Transcript, sound: Path) -> Turn:
        """Send spoken words where they belong; what may be a memo is kept before it is read.

        A question that was spoken is kept too, as a memo without records.

        Args:
            transcript: the words.
            sound: the file with the sound of them.

        Raises:
            RequestError: it cannot be met as it was put.
            StoreError: it could not be kept.
            FarmFileError: the farm file has faults; the memo is kept, to be understood later.
        """
        now = self._clock()
        line = transcript.text
        shown = self._screen_or_review(line, now)
        if shown is not None:
            return shown
        noted = self._notebook.note(line, now, source="audio", transcript=transcript, audio=sound)
        if only_asks(noted.parse):
            answer = self._notebook.ask(line, now)
            return Turn(line=line, sort=Sort.QUESTION, noted=noted, answer=answer)
        stops = any(item.action == STOP for item in noted.parse.instructions)
        return Turn(
            line=line,
            sort=Sort.STOP if stops else Sort.MEMO,
            noted=noted,
            warnings=warnings_of(self._notebook, noted),
        )

    def _screen_or_review(self, line: str, now: datetime) -> Turn | None:
        """What came of a line that asks for a screen or speaks of the list that was shown."""
        plain = " ".join(line.lower().replace("’", "'").split()).rstrip("?!.")
        if plain in _QUIT or plain in _listed(STOP):
            return Turn(line=line, sort=Sort.STOP)
        if plain in CHAT_HELP:
            return Turn(line=line, sort=Sort.HELP, text=HELP)
        if plain in GREETINGS:
            return Turn(line=line, sort=Sort.GREETING, text=GREETING)
        if plain in _listed(SHOW_LEFT):
            dues = due_today(self._notebook, now)
            return Turn(line=line, sort=Sort.LEFT, plan=self._notebook.left(now), dues=dues)
        if plain in _listed(SHOW_REVIEW):
            self.review = DayReview(self._notebook, now.date(), now)
            return Turn(line=line, sort=Sort.REVIEW, review=self.review)
        if self.review is not None and self._is_about_list(line):
            self.review.now = now
            return Turn(line=line, sort=Sort.REVIEW, outcome=self.review.take(line))
        return None

    def _is_about_list(self, line: str) -> bool:
        """Whether a line picks a record of the list that was shown and says something of it."""
        review = self.review
        assert review is not None
        here = review.log.item(review.current)
        if plain_words(line) in NOT_RIGHT:
            return here is not None and here.in_doubt
        if plain_words(line) in CONFIRM_ALL:
            return True
        if not pick(line, review.log, review.current).named:
            return False
        farm = self._notebook.setting.farm
        reply = read_reply(line, review.log, review.current, farm=farm, now=review.now)
        return reply.action is Action.CHANGE

    def _memo_or_question(self, line: str, now: datetime) -> Turn:
        parse = self._parse(line, now)
        if parse is not None and only_asks(parse):
            return Turn(line=line, sort=Sort.QUESTION, answer=self._notebook.ask(line, now))
        noted = self._notebook.note(line, now)
        warnings = warnings_of(self._notebook, noted)
        return Turn(line=line, sort=Sort.MEMO, noted=noted, warnings=warnings)

    def _parse(self, line: str, now: datetime) -> Parse | None:
        try:
            return self._notebook.parse(line, now)
        except Exception:
            # Words that break the parser are still a memo; keeping it tells what broke.
            return None


def _listed(name: str) -> frozenset[str]:
    return frozenset(load_catalogue().lists.get(name, ()))
