"""Who may ask, and how much at once.

There is no password. What is kept away are other web pages: one that posts here from elsewhere
(its origin is another), one that frames a screen, and one whose name was turned to this machine's
address (its host name is not one of a home network).
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from voicelog.errors import RequestError

MEMO_BYTES = 100_000
"""Longest text taken, in bytes of UTF-8."""
RECORDING_BYTES = 50_000_000
"""Longest recording taken, in bytes."""

_WRAPPING = 64_000
"""Bytes of field names, boundaries and headers around what is posted."""
_TEXT_BODY = 6 * MEMO_BYTES + _WRAPPING
"""A letter may take six bytes on the way, as JSON writes it."""
_RECORDING_BODY = RECORDING_BYTES + _TEXT_BODY
_DRAINED = 4
"""So many times the limit is read and dropped, so that the browser comes to show why."""
_HOME_NAMES = (".local", ".lan", ".home", ".home.arpa", ".internal", ".localhost")
_SAFE = frozenset({"GET", "HEAD"})
_HEADERS = {
    "content-security-policy": (
        "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; "
        "base-uri 'none'; frame-ancestors 'none'"
    ),
    "referrer-policy": "same-origin",
    "x-content-type-options": "nosniff",
    "cross-origin-resource-policy": "same-origin",
}


class TooLargeError(RequestError):
    """More was sent than is taken at once."""


class ForbiddenError(RequestError):
    """The request came from another page, or by a name that is not this machine's."""


def too_large() -> TooLargeError:
    """The error for what is longer than the limits."""
    return TooLargeError(
        "That is more than is taken at once: "
        f"a memo may have {MEMO_BYTES // 1000} kB of text and "
        f"a recording {RECORDING_BYTES // 1_000_000} MB.",
        kept="Nothing of it was kept.",
        todo="Send it in shorter parts.",
    )


class Guard:
    """Stands before every screen."""

    def __init__(
        self, app: ASGIApp, *, host: str, refuse: Callable[[Request, RequestError], Response]
    ) -> None:
        """Args:
        app: what is guarded.
        host: the address or name that the server listens on.
        refuse: makes the response that tells an error.
        """
        self._app = app
        self._refuse = refuse
        self._names = {host.lower(), "localhost", socket.gethostname().lower()}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the request through, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        send = _with_headers(send, keep=scope["path"].startswith("/static/"))
        problem = self._problem(request)
        if problem is not None:
            await self._refuse(request, problem)(scope, receive, send)
            return
        await self._app(scope, _limited(receive, _body_limit(request)), send)

    def _problem(self, request: Request) -> ForbiddenError | None:
        host = request.headers.get("host", "")
        if not self._is_ours(host):
            return ForbiddenError(
                f"This screen does not answer to the name {host!r}.",
                kept="Nothing was changed.",
                todo="Open it by the address that `voicelog serve` printed.",
            )
        if request.method in _SAFE or _same_origin(request.headers, host):
            return None
        return ForbiddenError(
            "This was sent from another page than the screens of this program.",
            kept="Nothing was kept or changed.",
            todo="Open the screen itself and send it from there.",
        )

    def _is_ours(self, host: str) -> bool:
        try:
            name = (urlsplit(f"//{host}").hostname or "").rstrip(".")
        except ValueError:
            return False
        if name in self._names or name.endswith(_HOME_NAMES):
            return True
        if "." not in name and ":" not in name:
            return bool(name)
        try:
            # An address is never another's name.
            ipaddress.ip_address(name)
        except ValueError:
            return False
        return True


def _same_origin(headers: Headers, host: str) -> bool:
    """Whether a post comes from a page of this server.

    Browsers say so by themselves. A program that is no browser may send JSON, which no page
    elsewhere can send without being asked first.
    """
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = headers.get("origin") or headers.get("referer")
    if origin is not None:
        try:
            return urlsplit(origin).netloc.lower() == host.lower()
        except ValueError:
            return False
    return site == "same-origin" or headers.get("content-type", "").startswith("application/json")


def _body_limit(request: Request) -> int:
    multipart = request.headers.get("content-type", "").startswith("multipart/form-data")
    return _RECORDING_BODY if multipart and request.url.path == "/" else _TEXT_BODY


def _limited(receive: Receive, limit: int) -> Receive:
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if message["type"] != "http.request" or taken <= limit:
            return message
        while message.get("more_body") and taken <= _DRAINED * limit:
            message = await receive()
            taken += len(message.get("body", b""))
        raise too_large()

    return counted


def _with_headers(send: Send, *, keep: bool) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            headers["cache-control"] = "max-age=3600" if keep else "no-store"
        await send(message)

    return sent
