"""The screen that answers a question."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response

from voicelog.errors import VoicelogError
from voicelog.sentences import shortened, when_text
from voicelog.types import Evidence
from voicelog.web.guard import MEMO_BYTES, too_large
from voicelog.web.pages import page, status_of
from voicelog.web.shared import SharedNotebook


@dataclass(frozen=True, slots=True, kw_only=True)
class RestsOn:
    """A memo that an answer rests on."""

    memo: int
    record: int
    when: str
    text: str


def show_ask(request: Request, notebook: SharedNotebook) -> Response:
    """The question box, and the answer where the address holds a question.

    Asking changes nothing, so that the address of an answer can be kept and opened again.
    """
    question = request.query_params.get("q", "")
    with notebook.at_work() as book:
        now = book.setting.now()
        text = ""
        rests_on: tuple[RestsOn, ...] = ()
        problem: VoicelogError | None = None
        try:
            if len(question.encode("utf-8", "replace")) > MEMO_BYTES:
                raise too_large()
            if question.strip():
                answer = book.ask(question, now)
                text, rests_on = answer.text, _rests_on(answer.evidence, now)
        except VoicelogError as error:
            problem = error
        return page(
            "ask",
            book,
            now,
            status=200 if problem is None else status_of(problem),
            question=question if problem is None else shortened(question),
            answer=text,
            evidence=rests_on,
            problem="" if problem is None else problem.paragraph(),
        )


def _rests_on(evidence: tuple[Evidence, ...], now: datetime) -> tuple[RestsOn, ...]:
    return tuple(
        RestsOn(
            memo=item.memo,
            record=item.record,
            when=when_text(item.when, now),
            text=shortened(item.text),
        )
        for item in evidence
    )
