"""Whether what was read of a stretch can stand as a record: what a kind must have to be meant."""

from __future__ import annotations

from voicelog.catalogue import Tells
from voicelog.understanding.ground import Ground
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.naming import NameReader
from voicelog.understanding.reading import CONFLICT, SHARE, STEERED, UNPLANNED, Reading

ACTION = "action"
"""The slot of what was done: said alone, "didn't check" is of no kind yet."""
_PLAIN_ROLES = (Role.ABOUT, Role.SAYS, Role.STRONG_VERB)
"""Roles of words that can only be of one kind."""


def has_role(phrases: list[Phrase], *roles: Role) -> bool:
    """Whether one of the phrases has one of the roles."""
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role in roles:
                return True
    return False


def weigh_meant(reading: Reading) -> None:
    """What a value means besides speaks against another said: "turned it on, it reads six"."""
    for slot in reading.kind.slots if reading.slots else ():
        if slot.means and slot.name in reading.slots:
            for name, value in slot.means.items():
                said = reading.slots.get(name)
                if said is not None and said.value not in (value, *slot.means_beside):
                    reading.score += CONFLICT


def take_time(reading: Reading, ground: Ground) -> None:
    """The time of the stretch; a second one, or one to come beside "didn't", speaks against it."""
    if ground.times:
        reading.time = ground.times[0]
        reading.score += CONFLICT * (len(ground.times) - 1)
        if ground.times[0].to_come and ground.undone:
            reading.score += UNPLANNED
        for time in ground.times:
            reading.used.update(range(time.first, time.last))


def anchor(
    reading: Reading, phrases: list[Phrase], ground: Ground, mentions: Mentions, names: NameReader
) -> None:
    """Settle whether enough speaks for the kind, and nothing lacks that the kind needs.

    Args:
        reading: with all its slots and names.
        phrases: those of its kind in its stretch.
        ground: what its stretch holds.
        mentions: the memo.
        names: tells whether a place named is what the kind is about.
    """
    kind = reading.kind
    if ground.steered:
        reading.score += STEERED
        things = any(name != ACTION for name in reading.slots)
        reading.pieces += things or has_role(phrases, *_PLAIN_ROLES)
    spoken = any(isinstance(said.value, str) for said in reading.slots.values())
    spoken = spoken or has_role(phrases, Role.STRONG_VERB)
    reading.anchored = reading.anchored or (reading.pieces >= 2 and spoken)
    if kind.strong_verbs and not has_role(phrases, Role.VERB, Role.SAYS):
        reading.anchored = False
    if kind.needs_one and not _has_one(reading):
        reading.anchored = False
    if kind.needs_action and ACTION not in reading.slots:
        reading.anchored = False
    if kind.needs_about and not (
        reading.told_by_unit
        or _told_alone(phrases)
        or has_role(phrases, Role.ABOUT, Role.SAYS)
        or names.is_about(reading)
    ):
        reading.anchored = _about_before(reading, mentions)
        reading.score += SHARE * reading.anchored


def _told_alone(phrases: list[Phrase]) -> bool:
    """Whether a value says the kind by itself: "raised the lamp"."""
    return any(
        sense.role is Role.VALUE and sense.tells is Tells.ALONE
        for phrase in phrases
        for sense in phrase.senses
    )


def _has_one(reading: Reading) -> bool:
    """Whether one of the slots is said that the kind must have, or birds where it is theirs."""
    if reading.kind.flock_subject and (reading.birds or reading.flocks):
        return True
    return any(name in reading.slots for name in reading.kind.needs_one)


def _about_before(reading: Reading, mentions: Mentions) -> bool:
    """Whether "it" can be the thing of the kind, said before: "turned it back on"."""
    if ACTION not in reading.slots or not reading.first:
        return False
    said = reading.slots[ACTION]
    before = mentions.phrases_in(reading.kind.name, 0, reading.first)
    pointing = mentions.says(said.first, said.last, "pronouns")
    return pointing and has_role(before, Role.ABOUT)
