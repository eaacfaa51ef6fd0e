"""The one place that asks the machine for the time.

Everything else is given `now` as an aware date-time, so that `--now` is obeyed everywhere.
"""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo


def now_in(timezone: str) -> datetime:
    """The present minute's aware date-time in an IANA time zone such as `Europe/Oslo`."""
    return datetime.now(ZoneInfo(timezone)).replace(microsecond=0)


def at(text: str, timezone: str) -> datetime:
    """The date-time that an ISO text names; one without an offset is on the zone's own clock.

    Raises:
        ValueError: the text is no ISO date or date-time.
    """
    moment = datetime.fromisoformat(text.strip())
    zone = ZoneInfo(timezone)
    return moment.replace(tzinfo=zone) if moment.tzinfo is None else moment.astimezone(zone)
