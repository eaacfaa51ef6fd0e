"""The review of a day: every record with its buttons, those in doubt first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from voicelog.app.reviewing import DayReview, Outcome, day_named
from voicelog.errors import RequestError, VoicelogError
from voicelog.sentences import change_text, shortened, standing_text
from voicelog.web.pages import page, status_of
from voicelog.web.posted import Posted
from voicelog.web.replies import Replies, Reply, Told, key_of
from voicelog.web.shared import KeptUnreadError, SharedNotebook
from voicelog.web.today import tell

_CONFIRM, _WITHDRAW, _CORRECT = "confirm", "withdraw", "correct"
_KEYS = {_CONFIRM: "c", _WITHDRAW: "w"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow:
    """One record of the day as the screen shows it."""

    id: int
    number: int
    text: str
    words: str
    """Of the memo that said it."""
    memo: int
    said: str
    doubts: tuple[str, ...]
    in_doubt: bool
    settled: bool
    withdrawn: bool
    confirmed: bool
    current: bool
    warnings: tuple[str, ...] = ()


def show_review(
    notebook: SharedNotebook,
    day_said: str | None,
    *,
    at: int | None = None,
    reply: Reply | None = None,
    problem: VoicelogError | None = None,
    words: str = "",
) -> Response:
    """The screen of a day, today's where none is said.

    Args:
        notebook: the notebook.
        day_said: a date, or words such as "yesterday".
        at: id of the record to go on with.
        reply: what came of the last post.
        problem: an error to tell.
        words: what the plain-words box holds again.
    """
    with notebook.at_work() as book:
        now = book.setting.now()
        try:
            day = day_named(day_said or None, now)
        except RequestError as error:
            problem, day = error, now.date()
        review = DayReview(book, day, now)
        _go_to(review, at)
        rows = _rows(review)
        without = {item.memo.id for item in review.log.items}
        return page(
            "review",
            book,
            now,
            status=200 if problem is None else status_of(problem),
            day=day,
            before=_neighbour(day, -1),
            after=_neighbour(day, 1) if day < now.date() else None,
            log=review.log,
            open_rows=[row for row in rows if not row.settled],
            settled_rows=[row for row in rows if row.settled],
            shown=" ".join(str(row.id) for row in rows),
            sure=[row.id for row in rows if not row.settled and not row.in_doubt],
            unread=[
                (memo.id, f"{memo.said_at.astimezone(now.tzinfo):%H:%M}", shortened(memo.text))
                for memo in review.log.memos
                if memo.id not in without
            ],
            told=reply.told if reply else (),
            problem="" if problem is None else problem.paragraph(),
            words=words,
        )


def _neighbour(day: date, days: int) -> date | None:
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None


def _go_to(review: DayReview, record_id: int | None) -> None:
    found = [item.number for item in review.log.items if item.record.id == record_id]
    if found:
        review.current = found[0]


def _rows(review: DayReview) -> list[RecordRow]:
    return [
        RecordRow(
            id=item.record.id,
            number=item.number,
            text=standing_text(item.record, review.now),
            words=shortened(item.record.draft.text),
            memo=item.memo.id,
            said=f"{item.memo.said_at.astimezone(review.now.tzinfo):%H:%M}",
            doubts=item.record.draft.doubts if item.in_doubt else (),
            in_doubt=item.in_doubt,
            settled=item.settled,
            withdrawn=item.record.withdrawn,
            confirmed=item.record.confirmed,
            current=item.number == review.current and not review.log.finished,
            warnings=review.warnings_at(item),
        )
        for item in review.log.items
    ]


def change(notebook: SharedNotebook, replies: Replies, form: Posted) -> str:
    """Do what was posted; gives the address that shows what came of it.

    Raises:
        RequestError: it cannot be done as it was put; nothing was changed.
        StoreError: it could not be kept.
    """
    once, action, day_said = form.text("once"), form.text("action"), form.text("day")
    words, records = form.text("words"), form.numbers("record")
    shown, at = form.numbers("shown"), form.numbers("at")
    key = key_of(once, action, day_said, words, str(records))

    def act() -> Reply:
        with notebook.at_work() as book:
            now = book.setting.now()
            review = DayReview(book, day_named(day_said or None, now), now)
            if action in (_CONFIRM, _WITHDRAW, _CORRECT):
                line = _line(review, action, records, words)
            else:
                line = _plain_line(review, words, shown, at)
            return _take(book, review, line)

    reply = replies.once(key, act)
    said = {"day": day_said, "told": key} | ({} if reply.at is None else {"at": str(reply.at)})
    return f"/review?{urlencode({name: value for name, value in said.items() if value})}"


def _line(review: DayReview, action: str, records: Sequence[int], words: str) -> str:
    """The line of the review that a button stands for; records are named by their ids."""
    numbers = {item.record.id: item.number for item in review.log.items}
    meant = [numbers[record_id] for record_id in records if record_id in numbers]
    if not meant or len(meant) != len(records):
        raise RequestError(
            "That record is not in this day's list.",
            kept="Nothing was changed.",
            todo="Look at the list again.",
        )
    if action != _CORRECT:
        return " ".join((_KEYS[action], *map(str, meant)))
    if not words.strip():
        raise RequestError(
            "There is no correction to make.",
            kept="Nothing was changed.",
            todo="Write what it should be.",
        )
    return f"number {meant[0]}: {words}"


def _plain_line(review: DayReview, words: str, shown: Sequence[int], at: Sequence[int]) -> str:
    """Plain words, which may name numbers: only where the list is the one that was shown."""
    if not words.strip():
        raise RequestError(
            "Nothing was said.",
            kept="Nothing was changed.",
            todo="Write what is right, what is wrong, or what it should be.",
        )
    if list(shown) != [item.record.id for item in review.log.items]:
        raise RequestError(
            "The list has changed since it was shown to you.",
            kept="Nothing was changed; your words are still in the box.",
            todo="Look at the numbers again and send them once more.",
        )
    _go_to(review, at[0] if at else None)
    return words


def _take(book: SharedNotebook, review: DayReview, line: str) -> Reply:
    try:
        outcome = review.take(line)
    except KeptUnreadError as problem:
        return Reply(told=(Told(head="", problems=(problem.paragraph(),)),))
    current = review.log.item(review.current)
    return Reply(
        told=_told(book, outcome, review.now), at=None if current is None else current.record.id
    )


def _told(book: SharedNotebook, outcome: Outcome, now: datetime) -> tuple[Told, ...]:
    if outcome.noted is not None:
        return (tell(book, outcome.noted),)
    if outcome.changes:
        changes = tuple(change_text(c, now) for c in outcome.changes)
        return (Told(head=outcome.reply.text, changes=changes),)
    if outcome.answered:
        return (Told(head=outcome.reply.text),)
    if outcome.reply.text:
        raise RequestError(outcome.reply.text, kept="Nothing was changed.")
    return ()


def show_changed(request: Request, notebook: SharedNotebook, replies: Replies) -> Response:
    """The screen, with what came of the post that the address names."""
    said = request.query_params
    at = said.get("at", "")
    return show_review(
        notebook,
        said.get("day"),
        at=int(at) if at.isascii() and at.isdigit() and len(at) <= 18 else None,
        reply=replies.get(said.get("told", "")),
    )
