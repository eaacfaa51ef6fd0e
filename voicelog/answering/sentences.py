"""Every sentence of an answer, in one place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from voicelog.answering.ground import Ground
from voicelog.answering.question import Question, Subject
from voicelog.catalogue.units import spellings
from voicelog.types import Interval, Precision, Quantity

NOT_UNDERSTOOD = (
    "I did not understand that question. Ask for instance when something was last done, how many "
    "or how much, where, who, which were not done, or what is planned or left."
)
_AT_MOST = 12
"""Things named in one sentence."""


def told(subject: str, answer: str) -> str:
    """The answer after what it is about."""
    return f"{_capital(subject.removesuffix(', '))}: {answer}."


def no_record(subject: str) -> str:
    """Nothing was recorded, which does not mean that nothing happened."""
    return f"There is no record of {subject}."


def about(
    ground: Ground,
    question: Question,
    subject: Subject | None,
    *,
    slot: str | None = None,
    period: Interval | None = None,
    places: Sequence[str] | None = None,
) -> str:
    """What an answer is about: the kind, what its slots say, where, whose and when."""
    parts: list[str] = []
    if subject is not None:
        kind = ground.catalogue.kind(subject.kind)
        asked = None if slot is None else kind.slot(slot)
        parts.append(kind.title)
        if asked is not None and asked.title not in (kind.title, kind.title.split()[0]):
            parts.append(asked.title)
        parts.extend(either(v.replace("_", " ") for v in s) for s in subject.slots.values())
    parts.extend(value.replace("_", " ") for value in question.state[:1])
    parts.extend((*question.birds, *question.flocks))
    parts.extend(question.places if places is None else places)
    when = period or question.period
    if when is not None:
        parts.append(during(when, question.now))
    return ", ".join(dict.fromkeys(part for part in parts if part))


def amount(quantity: Quantity) -> str:
    """A quantity with its unit in the right number."""
    return f"{number(quantity.value)} {plural(quantity.unit, quantity.value)}".strip()


def amounts(quantities: Iterable[Quantity]) -> str:
    """Several quantities in one breath."""
    return listed(amount(quantity) for quantity in quantities)


def number(value: float) -> str:
    """A number as it is read, with at most four decimals."""
    return f"{value:.4f}".rstrip("0").rstrip(".") if isinstance(value, float) else f"{value}"


def plural(noun: str, value: float) -> str:
    """A noun or unit in the number that goes with a value."""
    if value == 1 or not noun:
        return noun
    known = spellings().get(noun.casefold())
    if known is not None:
        forms = next(form for form in known.unit.forms if form[0] == known.singular)
        return forms[1] if len(forms) > 1 and forms[0][-1:].isalpha() else forms[0]
    return noun if noun.endswith("s") else f"{noun}s"


def listed(items: Iterable[str]) -> str:
    """Names in one breath; beyond a dozen the rest are counted."""
    names = list(items)
    if len(names) > _AT_MOST:
        names = [*names[: _AT_MOST - 1], f"{len(names) - _AT_MOST + 1} more"]
    if not names:
        return "none"
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def either(items: Iterable[str]) -> str:
    """Names of which any will do."""
    return " or ".join(items)


def day(moment: date) -> str:
    """A calendar day."""
    return f"{moment:%A} {moment.day} {moment:%B %Y}"


def moment(when: datetime, precision: Precision) -> str:
    """A time, no finer than it was said."""
    if precision in (Precision.MINUTE, Precision.HOUR):
        return f"{day(when)} at {when:%H:%M}"
    if precision is Precision.MONTH:
        return f"{when:%B %Y}"
    if precision is Precision.WEEK:
        return f"the week of {day(when)}"
    return day(when)


def during(when: Interval, now: datetime) -> str:
    """A period in words."""
    if when.from_ is None:
        return "" if when.to is None else f"until {day(when.to)}"
    if when.to is None or (when.to > now >= when.from_ and when.precision is not Precision.DAY):
        return f"since {day(when.from_)}"
    last = when.to - timedelta(microseconds=1)
    if when.precision in (Precision.MINUTE, Precision.HOUR, Precision.PART_OF_DAY):
        return moment(when.from_, when.precision)
    if last.date() <= when.from_.date():
        return day(when.from_)
    return f"{day(when.from_)} to {day(last)}"


def kept_back(treatment: str, produce: str, through: str, over: bool) -> str:
    """Until when food is kept back after a treatment."""
    ended = ", which is over" if over else ""
    held = f"by the days said, {produce} are kept back through {through}{ended}"
    return told(treatment, held)


def days_unsaid(treatment: str) -> str:
    """A treatment for which nobody said how long food is kept back."""
    return told(treatment, "no days of withdrawal were said; ask the label or a licensed vet")


def unknown_name(words: Sequence[str]) -> str:
    """That something named is nothing the records can be narrowed to."""
    return f"{no_record(either(words))} The farm file has no such name."


def in_doubt(records: int) -> str:
    """That an answer rests on records that are still in doubt."""
    if not records:
        return ""
    return f" {'One of them is' if records == 1 else f'{records} of them are'} in doubt."


def ago(days: int) -> str:
    """How many calendar days ago."""
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def aside(words: Sequence[str]) -> str:
    """Words of the question that took no part in the answer."""
    return f" (I left aside: {', '.join(words)}.)" if words else ""


def more_evidence(shown: int, records: int) -> str:
    """That an answer rests on more than is shown."""
    if records <= shown:
        return ""
    return f" It rests on {records} records; the newest {shown} are shown."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
