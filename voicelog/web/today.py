"""The screen of today: a box for a memo, and where every chore stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from starlette.requests import Request
from starlette.responses import Response

from voicelog.app import Noted
from voicelog.app.watch import Due, due_today, told_warning, warnings_of, where_text
from voicelog.errors import RequestError, VoicelogError
from voicelog.sentences import counted, day_text, shortened, when_text
from voicelog.types import DayPlan, Task
from voicelog.web.pages import page, status_of
from voicelog.web.posted import Posted, Upload
from voicelog.web.replies import Replies, Reply, Told, key_of, told_of
from voicelog.web.shared import KeptUnreadError, SharedNotebook


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoreLine:
    """One chore at one place, and a word about its time."""

    chore: str
    place: str
    when: str
    late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """Something due beside the chores, and why."""

    chore: str
    about: str
    """Where and whom."""
    when: str
    late: bool
    because: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoreList:
    """One of the lists that every chore stands in."""

    name: str
    lines: tuple[ChoreLine, ...]


def show_today(
    notebook: SharedNotebook,
    *,
    reply: Reply | None = None,
    problem: VoicelogError | None = None,
    text: str = "",
) -> Response:
    """The screen; `problem` is told above the box, which then holds `text` again."""
    with notebook.at_work() as book:
        now = book.setting.now()
        return page(
            "today",
            book,
            now,
            status=200 if problem is None else status_of(problem),
            lists=chore_lists(book.left(now), now),
            chores=bool(book.setting.farm.chores),
            dues=due_lines(due_today(book, now), now),
            told=reply.told if reply else (),
            problem="" if problem is None else problem.paragraph(),
            text=text,
        )


def due_lines(dues: Sequence[Due], now: datetime) -> tuple[DueLine, ...]:
    """What is due beside the chores."""
    return tuple(
        DueLine(
            chore=due.chore,
            about=where_text(due),
            when=f"{counted(due.overdue_days, 'day')} overdue"
            if due.overdue_days
            else day_text(due.on, now),
            late=due.overdue_days > 0,
            because=due.because,
            caution=due.caution or "",
        )
        for due in dues
    )


def chore_lists(plan: DayPlan, now: datetime) -> tuple[ChoreList, ...]:
    """What is left, done, skipped and not due, in this order."""
    named = (
        ("left", plan.left),
        ("done", plan.done),
        ("skipped", plan.skipped),
        ("not due", plan.not_due),
    )
    return tuple(
        ChoreList(name=name, lines=tuple(_line(name, task, now) for task in tasks))
        for name, tasks in named
    )


def _line(name: str, task: Task, now: datetime) -> ChoreLine:
    late = name == "left" and task.due is not None and task.due.date() < now.date()
    has_hour = task.due is not None and task.due.time() != task.due.min.time()
    if name == "left" and has_hour and task.due is not None:
        late = late or task.due < now
    return ChoreLine(
        chore=task.chore, place=task.place or "", when=_when(name, task, now, has_hour), late=late
    )


def _when(name: str, task: Task, now: datetime, has_hour: bool) -> str:
    last = "" if task.last_done is None else when_text(task.last_done, now)
    if name == "done" or task.due is None:
        return last if name == "done" or not last else f"last {last}"
    due = "" if task.due.date() == now.date() else f"due {day_text(task.due.date(), now)}"
    if name == "not due":
        return due
    if name == "skipped":
        return ""
    by = f"by {task.due:%H:%M}" if has_hour else ""
    return ", ".join(part for part in (due, by, last and f"last {last}") if part)


def keep(notebook: SharedNotebook, replies: Replies, form: Posted) -> str:
    """Keep what was posted: a typed memo, a recording, or both; gives the key of the reply.

    Raises:
        RequestError: there is nothing in it, or the recording's time is none.
        AudioError, ModelError, StoreError: as the error says.
    """
    text, once, upload = form.text("memo"), form.text("once"), form.upload("recording")
    if not text.strip() and upload is None:
        raise RequestError(
            "The memo is empty.", kept="Nothing was kept.", todo="Write what was done."
        )
    recorded = _recorded(notebook, form.text("recorded")) if upload else None
    digest = "" if upload is None else upload.sha256()
    typed_key = key_of("memo", once, text)
    heard_key = key_of("recording", once, digest, str(recorded))
    whole_key = key_of(typed_key, heard_key)

    def act() -> Reply:
        told: list[Told] = []
        if text.strip():
            told += replies.once(typed_key, lambda: _note(notebook, text)).told
        if upload is not None:
            try:
                hear = replies.once(heard_key, lambda: _hear(notebook, upload, recorded))
            except VoicelogError as problem:
                if not told:
                    raise
                told.append(Told(head="", problems=(problem.paragraph(),)))
            else:
                told += hear.told
        return Reply(told=tuple(told))

    replies.once(whole_key, act)
    return whole_key


def _recorded(notebook: SharedNotebook, text: str) -> datetime | None:
    return notebook.setting.moment(text) if text.strip() else None


def _note(notebook: SharedNotebook, text: str) -> Reply:
    with notebook.at_work() as book:
        try:
            noted = book.note(text, book.setting.now())
        except KeptUnreadError as problem:
            return _unread(problem)
        return Reply(told=(tell(book, noted),))


def _hear(notebook: SharedNotebook, upload: Upload, recorded: datetime | None) -> Reply:
    from voicelog.app.recordings import hear_file

    with notebook.hearing, TemporaryDirectory(prefix="voicelog-") as folder:
        path = upload.save(Path(folder), recorded)
        try:
            heard = hear_file(notebook, path)
        except KeptUnreadError as problem:
            return _unread(problem)
        except VoicelogError as problem:
            raise _by_its_name(problem, path, upload.name) from problem
    return Reply(told=tuple(tell(notebook, noted) for noted in heard))


def _by_its_name(problem: VoicelogError, path: Path, name: str) -> VoicelogError:
    """The same error, speaking of the file as its sender calls it."""
    called = f"“{shortened(name, 80)}”" if name else "The recording"
    parts = [
        part.replace(str(path), called).replace(path.name, called)
        for part in (problem.what, problem.kept, problem.todo)
    ]
    return type(problem)(parts[0], kept=parts[1], todo=parts[2])


def _unread(problem: KeptUnreadError) -> Reply:
    return Reply(told=(Told(head="", problems=(problem.paragraph(),)),))


def tell(notebook: SharedNotebook, noted: Noted) -> Told:
    """What came of a memo, with the answers to the questions in it."""
    with notebook.at_work() as book:
        said_at = noted.memo.said_at
        answers = tuple(
            (shortened(question), book.ask(question, said_at).text)
            for question in noted.parse.questions
        )
        warnings = tuple(told_warning(w, noted.records) for w in warnings_of(book, noted))
        return told_of(noted, answers, book.setting.now(), warnings)


def show_kept(request: Request, notebook: SharedNotebook, replies: Replies) -> Response:
    """The screen, with what came of the post that the address names."""
    reply = replies.get(request.query_params.get("kept", ""))
    return show_today(notebook, reply=reply)
