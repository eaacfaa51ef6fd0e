"""A posted form, read within its limits."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from voicelog.errors import RequestError
from voicelog.web.guard import MEMO_BYTES, RECORDING_BYTES, too_large

SENT = "sent-recording"
"""Name of the file that a recording is written to."""
_FIELDS = 1_000
_PIECE = 1 << 20
_SUFFIX = re.compile(r"\.[A-Za-z0-9]{1,8}$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Upload:
    """A recording that was sent."""

    name: str
    """As the sender calls it; never used as a path."""
    file: UploadFile

    def sha256(self) -> str:
        """Of its bytes, hexadecimal."""
        digest = hashlib.sha256()
        self.file.file.seek(0)
        while piece := self.file.file.read(_PIECE):
            digest.update(piece)
        return digest.hexdigest()

    def save(self, folder: Path, recorded: datetime | None) -> Path:
        """Write it into a folder; `recorded` becomes the file's time."""
        found = _SUFFIX.search(self.name)
        path = folder / f"{SENT}{found.group() if found else ''}"
        self.file.file.seek(0)
        with path.open("wb") as copy:
            shutil.copyfileobj(self.file.file, copy)
        if recorded is not None:
            seconds = recorded.timestamp()
            os.utime(path, (seconds, seconds))
        return path


class Posted:
    """The fields of one post."""

    def __init__(self, form: FormData) -> None:
        """Read from a form."""
        self._form = form

    def text(self, name: str) -> str:
        """A field's text, empty where it is missing; line ends are single line feeds.

        Raises:
            TooLargeError: it is longer than a memo may be.
        """
        value = self._form.get(name)
        if not isinstance(value, str):
            return ""
        # A browser sends CR LF for every line end that was typed.
        text = value.replace("\r\n", "\n")
        if len(text.encode("utf-8", "replace")) > MEMO_BYTES:
            raise too_large()
        return text

    def numbers(self, name: str) -> tuple[int, ...]:
        """The ids in a field, one after the other, of every field of that name.

        Raises:
            RequestError: there is something else in it.
        """
        words = [word for value in self._form.getlist(name) for word in str(value).split()]
        if any(not word.isascii() or not word.isdigit() or len(word) > 18 for word in words):
            raise RequestError(
                "The form names no record.", kept="Nothing was changed.", todo="Load it again."
            )
        return tuple(int(word) for word in words)

    def upload(self, name: str) -> Upload | None:
        """The recording in a field; None where none was chosen.

        Raises:
            TooLargeError: it is longer than a recording may be.
        """
        value = self._form.get(name)
        if not isinstance(value, UploadFile) or not (value.filename or value.size):
            return None
        if (value.size or 0) > RECORDING_BYTES:
            raise too_large()
        return Upload(name=Path((value.filename or "").replace("\\", "/")).name, file=value)


@asynccontextmanager
async def posted(request: Request) -> AsyncIterator[Posted]:
    """The form of a request; its files are gone afterwards."""
    async with request.form(max_files=1, max_fields=_FIELDS, max_part_size=MEMO_BYTES * 2) as form:
        yield Posted(form)
