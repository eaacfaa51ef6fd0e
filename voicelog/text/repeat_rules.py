"""A repetition as RFC 5545 writes it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

WEEKDAY_NAMES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
WORKDAYS = WEEKDAY_NAMES[:5]
WEEKEND = WEEKDAY_NAMES[5:]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """The parts of a recurrence rule that speech can say."""

    freq: str
    """DAILY, WEEKLY and so on."""
    interval: int = 1
    byday: tuple[str, ...] = ()
    """MO..SU, with a number before it for the N-th of a month: 2FR, -1SA."""
    bymonthday: tuple[int, ...] = ()
    byyearday: tuple[int, ...] = ()
    byweekno: tuple[int, ...] = ()
    bymonth: tuple[int, ...] = ()
    bysetpos: tuple[int, ...] = ()
    byhour: tuple[int, ...] = ()
    byminute: tuple[int, ...] = ()
    count: int | None = None
    until: date | None = None

    def text(self) -> str:
        """The value of an RRULE, without the leading `RRULE:`.

        A rule has either a count or an end; where both were said the count stands.
        """
        parts = [f"FREQ={self.freq}"]
        if self.interval != 1:
            parts.append(f"INTERVAL={self.interval}")
        for name, values in (
            ("BYMONTH", self.bymonth),
            ("BYWEEKNO", self.byweekno),
            ("BYYEARDAY", self.byyearday),
            ("BYMONTHDAY", self.bymonthday),
            ("BYDAY", self.byday),
            ("BYHOUR", self.byhour),
            ("BYMINUTE", self.byminute),
            ("BYSETPOS", self.bysetpos),
        ):
            if values:
                parts.append(f"{name}={','.join(str(value) for value in values)}")
        if self.count is not None:
            parts.append(f"COUNT={self.count}")
        elif self.until is not None:
            parts.append(f"UNTIL={self.until:%Y%m%d}")
        return ";".join(parts)
