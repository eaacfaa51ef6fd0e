"""The screen that answers a question."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response

from voicelog.errors import VoicelogError
from voicelog.sentences import listed, shortened, when_text
from voicelog.types import Evidence
from voicelog.web.guard import TooLargeError
from voicelog.web.pages import page, status_of
from voicelog.web.shared import SharedNotebook

_LONGEST = 2_000
"""Letters of a question; it travels in the page's address, which may not be longer."""
_SHOWN = 10
"""Memos shown at once; the others follow at a touch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestsOn:
    """Words of a memo that an answer rests on."""

    memo: int
    records: str
    """The records that they gave: "record 3", "records 3 and 4"."""
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
        evidence: tuple[Evidence, ...] = ()
        problem: VoicelogError | None = None
        try:
            if len(question) > _LONGEST:
                raise TooLargeError(
                    f"A question may have {_LONGEST:,} letters.", todo="Ask in fewer words."
                )
            if question.strip():
                answer = book.ask(question, now)
                text, evidence = answer.text, answer.evidence
        except VoicelogError as error:
            problem = error
        return page(
            "ask",
            book,
            now,
            status=200 if problem is None else status_of(problem),
            question=question if problem is None else shortened(question),
            answer=text,
            evidence=_rests_on(evidence, now),
            records=len({item.record for item in evidence}),
            memos=len({item.memo for item in evidence}),
            first=_SHOWN,
            longest_question=_LONGEST,
            problem="" if problem is None else problem.paragraph(),
        )


def _rests_on(evidence: tuple[Evidence, ...], now: datetime) -> tuple[RestsOn, ...]:
    """The words once each, though they may have given several records."""
    records: dict[tuple[int, str, str], list[int]] = {}
    for item in evidence:
        said = (item.memo, when_text(item.when, now), shortened(item.text))
        records.setdefault(said, []).append(item.record)
    return tuple(
        RestsOn(memo=memo, records=_records(ids), when=when, text=text)
        for (memo, when, text), ids in records.items()
    )


def _records(ids: list[int]) -> str:
    return f"{'record' if len(ids) == 1 else 'records'} {listed([str(one) for one in ids])}"
