"""Which animal may have been at the birds: a ranked guess from its signs, never one answer.

Several animals share most signs, scavengers come after the killer, and one animal does not always
do what it usually does. The order of the guesses is a count of signs, not a chance.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from voicelog.catalogue.predation import PredatorSign, Suspect, load_predation
from voicelog.catalogue.spelling import expand_all
from voicelog.catalogue.stated import Advice
from voicelog.errors import RequestError

_TYPICAL, _POSSIBLE, _AGAINST = 2, 1, -2
"""Weights of a sign, from memory (M): what a source names counts twice what only fits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """One animal that may have done it, and why."""

    suspect: Suspect
    points: int
    fits: tuple[PredatorSign, ...]
    """Signs given that it usually leaves, then those that only fit it."""
    against: tuple[PredatorSign, ...]
    """Signs given that speak against it."""


def predator_signs() -> tuple[PredatorSign, ...]:
    """All signs that can be given, with the words for them.

    Unit: none.
    Range: those of the table.
    Source: each animal names its own; S138, grade B, for most.
    """
    return load_predation().signs


def signs_said(text: str) -> tuple[str, ...]:
    """Names of the signs that a text speaks of; what it denies is not told apart.

    Unit: none.
    Range: empty where it says none in the words that are declared.
    Source: common practice, no source; grade M.
    """
    plain = re.sub(r"[^\w']+", " ", text.casefold())
    return tuple(
        sign.name
        for sign in load_predation().signs
        if any(re.search(rf"\b{re.escape(form)}\b", plain) for form in expand_all(sign.words))
    )


def ranked_suspects(signs: Iterable[str]) -> tuple[Guess, ...]:
    """Animals that fit the signs, the likeliest first; those with as many points stay together.

    Unit: points: 2 for a sign that a source gives for the animal, 1 for one that fits as well,
        2 off for one that speaks against it.
    Range: animals with more than 0 points; empty where the signs point to none. Read `limits` of
        each, and ask `open_questions`, before anything is done.
    Source: S138, grade B; S139 to S145, grades A to C; each animal names its own. The weights are
        from memory, grade M.

    Args:
        signs: names, as of `predator_signs`.

    Raises:
        RequestError: one of the signs is not known.
    """
    given = _known(signs)
    guesses = [_guess(suspect, given) for suspect in load_predation().suspects]
    return tuple(
        sorted(
            (guess for guess in guesses if guess.points > 0),
            key=lambda g: (-g.points, g.suspect.name),
        )
    )


def open_questions(signs: Iterable[str]) -> tuple[str, ...]:
    """What is still to be asked or looked at, given these signs.

    Unit: none.
    Range: empty where a sign of each sort was given.
    Source: S140, grade A, for tracks in sand or talc; the others common practice, grade M.

    Raises:
        RequestError: one of the signs is not known.
    """
    answered = {sign.group for sign in _known(signs)}
    return tuple(
        question for group, question in load_predation().questions if group not in answered
    )


def keeping_out(animal: str | None = None) -> tuple[Advice, ...]:
    """What keeps an animal out, without harm to it; each names its caution.

    Unit: none.
    Range: for an animal that is not known, or none, what keeps out all of them.
    Source: S143, grade B; S147 and S148, grade C, for birds of prey; S86, grade A, S146 and S150,
        grade B, for bears.
    """
    told = load_predation().keep_out
    return tuple(advice for names, advice in told if not names or animal in names)


def protected_by_law(animal: str) -> tuple[Advice, ...]:
    """What the law says of an animal, and whom to ask; each names its caution.

    Unit: none.
    Range: empty where nothing is stated, which does not say that it may be harmed.
    Source: S147, S148 and S149, grade C, for birds of prey; others from memory, grade M.
    """
    return tuple(advice for names, advice in load_predation().protection if animal in names)


def _guess(suspect: Suspect, given: tuple[PredatorSign, ...]) -> Guess:
    typical = tuple(sign for sign in given if sign.name in suspect.typical)
    possible = tuple(sign for sign in given if sign.name in suspect.possible)
    against = tuple(sign for sign in given if sign.name in suspect.against)
    return Guess(
        suspect=suspect,
        points=_TYPICAL * len(typical) + _POSSIBLE * len(possible) + _AGAINST * len(against),
        fits=(*typical, *possible),
        against=against,
    )


def _known(signs: Iterable[str]) -> tuple[PredatorSign, ...]:
    named = {sign.name: sign for sign in load_predation().signs}
    wanted = tuple(dict.fromkeys(signs))
    unknown = [name for name in wanted if name not in named]
    if unknown:
        raise RequestError(
            f"{unknown[0]!r} is no sign that is known.",
            kept="Nothing was guessed.",
            todo=f"Give one of {', '.join(named)}.",
        )
    return tuple(named[name] for name in wanted)
