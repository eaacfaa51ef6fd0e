"""The command line: `voicelog` and its commands.

Nothing heavy is imported before a command needs it, so that help and `left` come at once.
"""

from __future__ import annotations

import sys

from voicelog.cli.program import app

__all__ = ["app", "main"]


def main() -> None:
    """Run the command line of this process."""
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(1)
