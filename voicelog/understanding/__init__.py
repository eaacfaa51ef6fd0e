"""Understanding: from the words of a memo to draft records.

Nothing here knows of the store or of screens. `Parser(farm)` understands many memos of one farm,
`parse_memo` a single one. See `parser.py` for the passes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voicelog.understanding.parser import PARSER_VERSION, Parser, parse_memo

__all__ = ["PARSER_VERSION", "Parser", "parse_memo"]


def __getattr__(name: str) -> Any:
    """Load the parser, and with it spaCy, only when it is asked for."""
    if name in __all__:
        from voicelog.understanding import parser

        return getattr(parser, name)
    raise AttributeError(name)
