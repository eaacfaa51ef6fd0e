"""How likely a word of the best reading is right, told from all readings of its stretch.

Three things are looked at: the share of all readings that have the word at its time, how far the
best reading is ahead of the best one without it, and how far ahead its stretch's words are on the
whole. A logistic sum makes a probability of them. Pure functions; no engine.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicelog.hearing.readings import Reading, TimedWord

TEMPERATURE = 2.0
"""Scores are divided by it before they are summed: the acoustic model is surer than right."""

LARGEST_LEAD = 6.0
"""Nats. Readings further behind are not in the recogniser's lattice (its `lattice-beam`)."""

_LEAST_SHARE = 0.002
"""Shares are kept so far from 0 and 1, where their log odds say no more."""

BASE = -1.21
AGREEMENT_WEIGHT = 0.29
LEAD_WEIGHT = 0.49
STRETCH_WEIGHT = 0.25
"""Of the logistic sum, as `python -m models.evaluation.confidence fit` printed them.

Fitted on 3,030 words of kept-out voices and people; of 2,819 other words those marked 0.9 and more
(mean 0.98) were right in 985 of 1,000, and the expected calibration error over tenths was 0.023,
against 0.027 for Vosk's own confidence and 0.047 for the plain share of the readings.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What the readings of a stretch say of one word of the best."""

    agreement: float
    """Log odds of the share of the readings' weight that has the word at its time."""
    lead: float
    """Nats from the best reading to the best one without the word, at most `LARGEST_LEAD`."""
    stretch_lead: float
    """Mean lead of the words of the stretch."""

    @property
    def confidence(self) -> float:
        """Probability that the word is right."""
        total = (
            BASE
            + AGREEMENT_WEIGHT * self.agreement
            + LEAD_WEIGHT * self.lead
            + STRETCH_WEIGHT * self.stretch_lead
        )
        return 1.0 / (1.0 + math.exp(-total))


def evidence(best: Reading, readings: Sequence[Reading], *, full: bool) -> tuple[Evidence, ...]:
    """What `readings`, the likeliest first, say of each word of the best one.

    `full` means that the list was cut short. What is beyond its end is not known then, and a word
    that all readings have leads by no more than the last of them is behind.
    """
    top = readings[0].score
    raw = [math.exp((reading.score - top) / TEMPERATURE) for reading in readings]
    furthest = min(LARGEST_LEAD, top - readings[-1].score) if full else LARGEST_LEAD
    shares, leads = [], []
    for word in best.words:
        agreeing = [_has(reading, word) for reading in readings]
        shares.append(sum(w for w, agrees in zip(raw, agreeing, strict=True) if agrees) / sum(raw))
        without = (r.score for r, agrees in zip(readings, agreeing, strict=True) if not agrees)
        leads.append(min(top - next(without, -math.inf), furthest))
    mean = sum(leads) / max(1, len(leads))
    return tuple(
        Evidence(agreement=_log_odds(share), lead=lead, stretch_lead=mean)
        for share, lead in zip(shares, leads, strict=True)
    )


def _has(reading: Reading, word: TimedWord) -> bool:
    """Whether a reading has this word at about this time."""
    return any(
        other.text == word.text and other.from_s < word.to_s and other.to_s > word.from_s
        for other in reading.words
    )


def _log_odds(share: float) -> float:
    kept = min(max(share, _LEAST_SHARE), 1.0 - _LEAST_SHARE)
    return math.log(kept / (1.0 - kept))
