"""What may have killed a bird: a ranked guess from what was said when it was found."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.birds import flock_of
from voicelog.answering.trade_replies.footing import Footing, number_of
from voicelog.husbandry import (
    Guess,
    keeping_out,
    open_questions,
    protected_by_law,
    ranked_suspects,
    signs_said,
)
from voicelog.types import Answer, Record

_DAYS_AROUND = 2
"""Signs of an animal so many days before or after belong to the loss; common practice."""
_MANY = 3
_GUESSES = 3
_QUESTIONS = 3
_PAUSES = " ,;.:"


def suspects(footing: Footing) -> Answer:
    """The animals that fit the signs of the latest loss, the likeliest first."""
    losses = [r for r in footing.done("lost") if _may_be_meant(footing, r)]
    if not losses:
        return footing.untold([footing.say("no_loss")])
    loss = losses[0]
    day = footing.midnight(footing.day_of(loss))
    near = footing.done(
        "animal",
        since=day - timedelta(days=_DAYS_AROUND),
        until=day + timedelta(days=_DAYS_AROUND + 1),
    )
    records = (loss, *near)
    signs = _signs(footing, loss, records)
    guesses = ranked_suspects(signs)
    named = [str(a) for r in near if (a := footing.slot(r, "animal")) is not None
             and a not in footing.ground.asking.nameless]  # fmt: skip
    parts = [footing.say("loss_found", day=sentences.day(footing.day_of(loss)),
                         text=loss.draft.text.strip(_PAUSES))]  # fmt: skip
    if named:
        animals = sentences.either(dict.fromkeys(named))
        parts.append(footing.say("animal_named", animals=animals))
    parts += _guessed(footing, guesses, signs)
    if not guesses and not named:
        return footing.untold(parts)
    names = [guess.suspect.name for guess in guesses[:_GUESSES]] or named
    return footing.told(tuple(dict.fromkeys(names)), parts, records)


def _may_be_meant(footing: Footing, record: Record) -> bool:
    """Whether it is a loss that an animal may have caused, of the birds asked about."""
    if not footing.is_one_of(record, "cause", "by_animal"):
        return footing.slot(record, "cause") is None and _is_of_birds(footing, record)
    return _is_of_birds(footing, record)


def _is_of_birds(footing: Footing, record: Record) -> bool:
    question, draft = footing.asked.question, record.draft
    if question.birds:
        return bool(set(question.birds) & set(draft.birds))
    wanted = {footing.ground.class_of(f) for f in question.flocks}
    wanted -= {None, *footing.declared.values["any_class"]}
    flock = flock_of(footing, record)
    said = None if draft.flock is None else footing.ground.class_of(draft.flock)
    class_ = said if flock is None else flock.class_
    return not wanted or class_ in wanted


def _signs(footing: Footing, loss: Record, records: Iterable[Record]) -> tuple[str, ...]:
    """The signs that the memos speak of, and how many birds it was."""
    found = [
        sign
        for record in records
        for sign in signs_said(footing.ground.store.memo(record.memo_id).text)
    ]
    count = number_of(footing.slot(loss, "lost")) or len(loss.draft.birds)
    by_count = footing.declared.values["count_signs"]
    if count == 1:
        found.append(by_count[0])
    elif count >= _MANY:
        found.append(by_count[1])
    return tuple(dict.fromkeys(found))


def _guessed(footing: Footing, guesses: tuple[Guess, ...], signs: tuple[str, ...]) -> list[str]:
    shown = guesses[:_GUESSES]
    parts = [_reasons(footing, at, guess) for at, guess in enumerate(shown, start=1)]
    if not shown:
        parts.append(footing.say("no_signs"))
    questions = open_questions(signs)[:_QUESTIONS]
    if questions:
        parts.append(footing.say("look_for", questions=" ".join(questions)))
    advice = [a for guess in shown[:1] for a in protected_by_law(guess.suspect.name)]
    advice += keeping_out(shown[0].suspect.name if shown else None)[:1]
    parts += [one.text for one in advice]
    parts.append(footing.say("guess_only"))
    parts.append(
        footing.sourced(*(g.suspect.source for g in shown), *(one.source for one in advice))
        if shown
        else ""
    )
    kinds = (footing.declared.slot("lost").kind, footing.declared.slot("animal").kind)
    cautions = [footing.ground.catalogue.kind(kind).caution for kind in kinds]
    return [*parts, *footing.cautions([*cautions, *(one.caution for one in advice)])]


def _reasons(footing: Footing, at: int, guess: Guess) -> str:
    against = footing.say(
        "guess_against", signs=sentences.listed(sign.title for sign in guess.against)
    )
    return footing.say(
        "guess",
        at=at,
        animal=guess.suspect.title,
        signs=sentences.listed(sign.title for sign in guess.fits),
        against=against if guess.against else "",
        limits=guess.suspect.limits,
    )
