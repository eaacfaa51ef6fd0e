"""Sums of the trade that are asked for in plain words.

    Read ─asked─▶ Asked ─one of the replies─▶ Answer

What is said for each is declared in the catalogue's `data/trade_questions.toml`; the sums are
those of `husbandry`, over the records and the farm file.
"""

from __future__ import annotations

from voicelog.answering.trade_replies.asked import Asked, trade_asked
from voicelog.answering.trade_replies.replying import SUMS, trade_reply

__all__ = ["SUMS", "Asked", "trade_asked", "trade_reply"]
