"""Recordings beside the store, each file named by the SHA-256 of its bytes."""

from __future__ import annotations

import errno
import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from voicelog.errors import StoreError

_PIECE = 1 << 20
_SHA256 = re.compile(r"[0-9a-f]{64}")
_SUFFIX = re.compile(r"(\.[a-z0-9]{1,16})?")
_UNFINISHED = ".unfinished-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Blob:
    """One recording kept."""

    sha256: str
    """Of its bytes, hexadecimal."""
    suffix: str
    """Of the file it came from, with the dot, lower case; empty for none."""
    bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AudioFolder:
    """The folder that holds a store's recordings."""

    path: Path

    def keep(self, source: Path, expected: Blob | None = None) -> Blob:
        """Copy a recording in, whole or not at all; it is on the disk when this returns.

        Args:
            source: the file to copy.
            expected: what it must be, for one that comes from another store.

        Raises:
            StoreError: it cannot be read, or the folder cannot be written.
        """
        kept = f"Nothing of the memo was kept; the recording is still at {source}."
        try:
            with source.open("rb") as recording:
                suffix = source.suffix.lower()
                return self._keep(recording, suffix if is_suffix(suffix) else "", expected)
        except OSError as error:
            raise StoreError(
                f"The recording {source} cannot be kept in {self.path}: {error.strerror}.",
                kept=kept,
                todo="Check that the folder can be written and the disk has space.",
            ) from error

    def file_of(self, blob: Blob) -> Path:
        """Where a recording lies, whether or not it is there."""
        return self.path / blob.sha256[:2] / f"{blob.sha256}{blob.suffix}"

    def fault_of(self, blob: Blob) -> str | None:
        """What is wrong with a recording, read from end to end; None when it is sound."""
        file = self.file_of(blob)
        try:
            with file.open("rb") as recording:
                found = hashlib.file_digest(recording, "sha256").hexdigest()
        except OSError as error:
            return f"The recording {file} cannot be read: {error.strerror}."
        return None if found == blob.sha256 else f"The recording {file} is damaged."

    def unfinished(self) -> Iterator[Path]:
        """Files that a copy cut short has left behind; they belong to nothing."""
        yield from sorted(self.path.glob(f"{_UNFINISHED}*"))

    def _keep(self, recording: BinaryIO, suffix: str, expected: Blob | None) -> Blob:
        self.path.mkdir(exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=_UNFINISHED, dir=self.path)
        unfinished = Path(name)
        try:
            with os.fdopen(handle, "wb") as copy:
                blob = _copied(recording, copy, suffix)
            if expected is not None and blob.sha256 != expected.sha256:
                raise OSError(errno.EIO, "its bytes are not what its name says")
            self.file_of(blob).parent.mkdir(exist_ok=True)
            blob = self._as_known(blob)
            # Replacing an equal file changes nothing, and mends one that was damaged.
            unfinished.replace(self.file_of(blob))
            for folder in (self.file_of(blob).parent, self.path):
                _to_disk(folder)
        except BaseException:
            with suppress(OSError):
                unfinished.unlink(missing_ok=True)
            raise
        return blob

    def _as_known(self, blob: Blob) -> Blob:
        """The blob under the name it has already, where it came in once under another suffix."""
        for file in self.file_of(blob).parent.glob(f"{blob.sha256}*"):
            return replace(blob, suffix=file.name.removeprefix(blob.sha256))
        return blob


def sha256_of(file: Path) -> str | None:
    """The SHA-256 of a file's bytes, hexadecimal; None where it cannot be read."""
    try:
        with file.open("rb") as recording:
            return hashlib.file_digest(recording, "sha256").hexdigest()
    except OSError:
        return None


def is_sha256(text: str) -> bool:
    """Whether a text is a SHA-256 in hexadecimal."""
    return _SHA256.fullmatch(text) is not None


def is_suffix(text: str) -> bool:
    """Whether a text may end a recording's name, which then stays in its folder."""
    return _SUFFIX.fullmatch(text) is not None


def _copied(recording: BinaryIO, copy: BinaryIO, suffix: str) -> Blob:
    digest = hashlib.sha256()
    while piece := recording.read(_PIECE):
        digest.update(piece)
        copy.write(piece)
    copy.flush()
    os.fsync(copy.fileno())
    return Blob(sha256=digest.hexdigest(), suffix=suffix, bytes=copy.tell())


def _to_disk(folder: Path) -> None:
    """Make renames in a folder survive a power cut, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
