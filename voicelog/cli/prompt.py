"""Lines that a person types, or that a program pipes in."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import suppress

from voicelog.cli.common import stdin_lines


def lines_typed(prompt: str) -> Iterator[str]:
    """Lines until the end of input; on a terminal with a prompt and line editing."""
    if not sys.stdin.isatty():
        yield from stdin_lines()
        return
    with suppress(ImportError):
        # Importing it gives input() line editing and history.
        import readline  # noqa: F401
    while True:
        try:
            yield input(prompt)
        except EOFError:
            print()
            return
