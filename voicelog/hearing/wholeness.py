"""Whether a sound file was cut short, by the file's own account.

The decoder plays what is left of a cut wav or ogg file without a word, and half a memo would be
kept as if it were all of it. Formats whose decoder complains need nothing here.
"""

from __future__ import annotations

from pathlib import Path

_UNKNOWN_WAV_SIZE = 0x7FFF_0000
"""Recorders that write to a pipe put a size from here up when they cannot know it."""

_LONGEST_OGG_PAGE = 27 + 255 + 255 * 255


def what_is_missing(path: Path) -> str | None:
    """How it shows that the file was cut short, as half a sentence; None where it does not."""
    with path.open("rb") as file:
        head = file.read(12)
        size = path.stat().st_size
        if head[:4] == b"RIFF" and head[8:] == b"WAVE":
            return _missing_of_wav(int.from_bytes(head[4:8], "little") + 8, size)
        if head[:4] == b"OggS":
            file.seek(max(0, size - _LONGEST_OGG_PAGE))
            return _missing_of_ogg(file.read())
    return None


def _missing_of_wav(promised: int, there: int) -> str | None:
    if 44 < promised < _UNKNOWN_WAV_SIZE and there < promised - 1:
        return f"its header promises {promised:,} bytes and {there:,} are there"
    return None


def _missing_of_ogg(tail: bytes) -> str | None:
    """The last page (RFC 3533, section 6) must end where the file ends, or before."""
    page = tail[tail.rfind(b"OggS") :]
    segments = page[26] if len(page) > 26 else 0
    table = page[27 : 27 + segments]
    if len(page) < 27 or len(table) < segments or len(page) < 27 + segments + sum(table):
        return "its last page is not whole"
    return None
