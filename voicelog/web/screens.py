"""The screens as one application."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from voicelog.app import Setting
from voicelog.errors import VoicelogError
from voicelog.web import asking, reviewing, today
from voicelog.web.api import Api
from voicelog.web.guard import Guard
from voicelog.web.pages import error_page
from voicelog.web.posted import Posted, posted
from voicelog.web.replies import Replies
from voicelog.web.shared import SharedNotebook

_SEE_OTHER = 303


class Screens:
    """The three screens on one notebook.

    What only looks is run in a thread by the framework; a post is read here and then acted on
    in a thread.
    """

    def __init__(self, notebook: SharedNotebook) -> None:
        """Show a notebook."""
        self._notebook = notebook
        self._replies = Replies()

    def today(self, request: Request) -> Response:
        """The memo box and the chores."""
        return today.show_kept(request, self._notebook, self._replies)

    async def keep(self, request: Request) -> Response:
        """A memo, typed or recorded."""
        async with posted(request) as form:
            return await run_in_threadpool(self._keep, form)

    def _keep(self, form: Posted) -> Response:
        try:
            key = today.keep(self._notebook, self._replies, form)
        except VoicelogError as problem:
            return today.show_today(self._notebook, problem=problem, text=_again(form, "memo"))
        return RedirectResponse(f"/?kept={key}", _SEE_OTHER)

    def ask(self, request: Request) -> Response:
        """A question and its answer."""
        return asking.show_ask(request, self._notebook)

    def review(self, request: Request) -> Response:
        """The records of a day."""
        return reviewing.show_changed(request, self._notebook, self._replies)

    async def change(self, request: Request) -> Response:
        """Confirm, correct, withdraw, or plain words."""
        async with posted(request) as form:
            return await run_in_threadpool(self._change, form)

    def _change(self, form: Posted) -> Response:
        try:
            address = reviewing.change(self._notebook, self._replies, form)
        except VoicelogError as problem:
            words = "" if form.text("action") else _again(form, "words")
            return reviewing.show_review(
                self._notebook, form.text("day"), problem=problem, words=words
            )
        return RedirectResponse(address, _SEE_OTHER)


def _again(form: Posted, name: str) -> str:
    try:
        return form.text(name)
    except VoicelogError:
        return ""


def application(setting: Setting, tell: Callable[[str], None], *, host: str) -> Starlette:
    """The screens of a farm.

    Args:
        setting: which store and farm.
        tell: takes sentences for whoever runs the server.
        host: the address or name that the server listens on.
    """
    notebook = SharedNotebook(setting, tell)
    screens, api = Screens(notebook), Api(notebook)

    @asynccontextmanager
    async def open_notebook(_: Starlette) -> AsyncIterator[None]:
        with notebook:
            yield

    return Starlette(
        routes=[
            Route("/", screens.today, methods=["GET"]),
            Route("/", screens.keep, methods=["POST"]),
            Route("/ask", screens.ask, methods=["GET"]),
            Route("/review", screens.review, methods=["GET"]),
            Route("/review", screens.change, methods=["POST"]),
            Route("/api/note", api.note, methods=["POST"]),
            Route("/api/ask", api.ask, methods=["POST"]),
            Route("/api/left", api.left, methods=["GET"]),
            Route("/api/review", api.review, methods=["GET"]),
            Mount("/static", StaticFiles(directory=Path(__file__).with_name("static"))),
        ],
        middleware=[Middleware(Guard, host=host, refuse=error_page)],
        exception_handlers={
            VoicelogError: error_page,
            HTTPException: error_page,
            Exception: error_page,
        },
        lifespan=open_notebook,
    )
