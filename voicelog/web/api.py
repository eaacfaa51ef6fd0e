"""What the commands print with --json, for other programs on the network."""

from __future__ import annotations

import json

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from voicelog import forms
from voicelog.app.reviewing import DayReview, day_named, log_form
from voicelog.app.watch import due_today, warning_form, warnings_of, with_due
from voicelog.errors import RequestError
from voicelog.web.guard import MEMO_BYTES, too_large
from voicelog.web.pages import json_line
from voicelog.web.shared import SharedNotebook


class Api:
    """`note`, `ask`, `left` and `review` as addresses."""

    def __init__(self, notebook: SharedNotebook) -> None:
        """Answer from a notebook."""
        self._notebook = notebook

    async def note(self, request: Request) -> Response:
        """POST {"text", "now"?}: keep a memo; its `now` is the time of the memo."""
        line = await _body(request)
        return await run_in_threadpool(self._note, line)

    def _note(self, line: str) -> Response:
        said_at, text = forms.memo_line(line)
        if not text.strip():
            raise RequestError("The memo is empty.", kept="Nothing was kept.")
        if len(text.encode()) > MEMO_BYTES:
            raise too_large()
        with self._notebook.at_work() as book:
            setting = book.setting
            noted = book.note(text, setting.now() if said_at is None else setting.moment(said_at))
            form = forms.note(noted.memo, noted.parse, noted.records, noted.changes, noted.problems)
            form["warnings"] = [warning_form(warning) for warning in warnings_of(book, noted)]
        return json_line(form)

    async def ask(self, request: Request) -> Response:
        """POST {"question"}: answer it."""
        line = await _body(request)
        return await run_in_threadpool(self._ask, line)

    def _ask(self, line: str) -> Response:
        question = _question(line)
        with self._notebook.at_work() as book:
            return json_line(forms.answer(book.ask(question, book.setting.now())))

    def left(self, _: Request) -> Response:
        """GET: where every chore stands, and what is due besides."""
        with self._notebook.at_work() as book:
            now = book.setting.now()
            return json_line(with_due(forms.day_plan(book.left(now)), due_today(book, now)))

    def review(self, request: Request) -> Response:
        """GET ?day=: the records of a day, today's where none is named."""
        with self._notebook.at_work() as book:
            now = book.setting.now()
            day = day_named(request.query_params.get("day") or None, now)
            return json_line(log_form(DayReview(book, day, now).log))


async def _body(request: Request) -> str:
    try:
        return (await request.body()).decode("utf-8")
    except UnicodeDecodeError as problem:
        raise RequestError("What was sent is no UTF-8.", kept="Nothing was kept.") from problem


def _question(line: str) -> str:
    try:
        plain = json.loads(line)
    except (ValueError, RecursionError) as problem:
        raise RequestError(f"It is no JSON: {problem}.") from problem
    question = plain.get("question") if isinstance(plain, dict) else None
    if not isinstance(question, str) or not question.strip():
        raise RequestError('It is no object with a "question": write {"question": "…"}.')
    if any("\ud800" <= letter <= "\udfff" for letter in question):
        raise RequestError("Its question holds half a surrogate pair, which is no letter.")
    if len(question.encode()) > MEMO_BYTES:
        raise too_large()
    return question
