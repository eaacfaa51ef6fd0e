"""The command line: `voicelog` and its commands.

Nothing heavy is imported before a command needs it, so that help and `left` come at once.
"""

from __future__ import annotations

import atexit
import gc
import sys

from voicelog.cli.program import app

__all__ = ["app", "main"]


def main() -> None:
    """Run the command line of this process."""
    # Starting up makes many objects that stay; looking through them again and again for
    # garbage costs a tenth of a quick command's time.
    gc.set_threshold(50_000)
    # At the end everything goes with the process and need not be looked through again either.
    atexit.register(gc.freeze)
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(1)
