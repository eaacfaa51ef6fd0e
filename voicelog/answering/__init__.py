"""The answering room: a question in plain words, answered from the records.

text ─reading─▶ Question ─replying─▶ Answer
"""

from __future__ import annotations

from voicelog.answering.asking import answer

__all__ = ["answer"]
