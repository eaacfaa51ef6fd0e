"""Templates, and how errors look."""

from __future__ import annotations

import secrets
from datetime import datetime
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from voicelog import __version__, forms
from voicelog.errors import FarmFileError, ModelError, StoreError, VoicelogError
from voicelog.sentences import counted, printable, shortened
from voicelog.web.guard import MEMO_BYTES, ForbiddenError, TooLargeError, too_large
from voicelog.web.shared import KeptUnreadError, SharedNotebook

_STATUS: tuple[tuple[type[VoicelogError], int], ...] = (
    (TooLargeError, 413),
    (ForbiddenError, 403),
    (KeptUnreadError, 500),
    (StoreError, 503),
    (ModelError, 503),
    (FarmFileError, 503),
)


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("voicelog.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["plain"] = printable
    made.filters["shortened"] = shortened
    made.globals["counted"] = counted
    return made


def page(
    screen: str, notebook: SharedNotebook, now: datetime, *, status: int = 200, **shown: Any
) -> Response:
    """One of the screens; `shown` is what its template asks for besides."""
    setting = notebook.setting
    notices = [notebook.farm_trouble and f"{notebook.farm_trouble} Its former names are used."]
    if not (setting.farm_named or setting.farm_exists):
        notices.append(
            f"There is no farm file at {setting.farm_path}; names of places are not known. "
            "Make one with `voicelog farm new`."
        )
    text = (
        _templates()
        .get_template(f"{screen}.html")
        .render(
            screen=screen,
            farm=setting.farm.name,
            now=now,
            notices=[notice for notice in notices if notice],
            once=secrets.token_urlsafe(12),
            longest=MEMO_BYTES,
            version=__version__,
            **shown,
        )
    )
    return _html(text, status)


def status_of(problem: VoicelogError) -> int:
    """The HTTP status for an error."""
    return next((status for kind, status in _STATUS if isinstance(problem, kind)), 422)


def error_page(request: Request, problem: Exception) -> Response:
    """An error as one paragraph, or as `{"error"}` for other programs."""
    return _error(request, _paragraph(problem), _status(problem))


def _paragraph(problem: Exception) -> str:
    if isinstance(problem, VoicelogError):
        return problem.paragraph()
    if isinstance(problem, HTTPException):
        if problem.status_code == 404:
            return "There is no such page. Nothing was changed. Go back to one of the screens."
        if "maximum size" in problem.detail:
            return too_large().paragraph()
        return (
            f"The request could not be read: {problem.detail.rstrip('.')}. Nothing was kept. "
            "Load the screen again and send it once more."
        )
    return (
        f"A fault in the program stopped this: {type(problem).__name__}: {problem}. "
        "What was kept before stands as it was. Go back and try again."
    )


def _status(problem: Exception) -> int:
    if isinstance(problem, VoicelogError):
        return status_of(problem)
    if isinstance(problem, HTTPException):
        return 413 if "maximum size" in problem.detail else problem.status_code
    return 500


def _error(request: Request, text: str, status: int) -> Response:
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": text}, status_code=status)
    template = _templates().get_template("error.html")
    return _html(template.render(screen="error", problem=text, version=__version__), status)


def _html(text: str, status: int) -> Response:
    return HTMLResponse(text.encode("utf-8", "replace"), status_code=status)


def json_line(form: forms.Form) -> Response:
    """A JSON object as the commands print it."""
    return Response(forms.line(form), media_type="application/json")
