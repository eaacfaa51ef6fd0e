"""The speech model that knows the names of the farm at hand."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from voicelog import hearing
from voicelog.errors import ModelError
from voicelog.farm import Bird, Farm, Flock, Place
from voicelog.hearing.model_folder import ENVIRONMENT, carried_model
from voicelog.sentences import counted, listed

if TYPE_CHECKING:
    from voicelog.app.setting import Setting
    from voicelog.hearing.building.cache import FarmModel
    from voicelog.hearing.building.farm_words import FarmNames, Sounding

LEARNING = "Learning the names of this farm: a few seconds, once for every change of them."

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesHeard:
    """What the recogniser makes of a farm's names."""

    names: int
    """How many different things and people have one."""
    sounding: Sounding

    def told(self) -> str:
        """One line for a person."""
        said = f"The recogniser knows {counted(self.names, 'name')} of this farm."
        return " ".join([said, *_advice(self.sounding)])


def model_to_hear(setting: Setting, model: Path | None, tell: Tell) -> Path | None:
    """The model to hear with: one that was asked for, else the farm's, else (None) the carried one.

    What goes wrong with the farm's is told, and stops nothing.
    """
    if is_asked_for(model):
        return model
    try:
        made = farm_model(setting, tell)
    except ModelError as problem:
        tell(problem.paragraph())
        return None
    return None if made is None else made.folder


def is_asked_for(model: Path | None) -> bool:
    """Whether one model was asked for, on the command line or in the environment."""
    return model is not None or bool(os.environ.get(ENVIRONMENT))


def farm_model(setting: Setting, tell: Tell) -> FarmModel | None:
    """The farm's model, built if need be; None where the farm has no names, or a faulty file.

    Raises:
        ModelError: it cannot be built.
    """
    if setting.farm_fault is not None:
        return None
    names = farm_names(setting.farm)
    if not names.all():
        return None
    return hearing.farm_model(names, setting.farm_path.resolve(), lambda: tell(LEARNING))


def farm_names(farm: Farm) -> FarmNames:
    """The names of a farm, as hearing takes them."""
    from voicelog.hearing.building.farm_words import FarmNames, NamedThing

    def named(things: Sequence[Place | Flock | Bird]) -> tuple[NamedThing, ...]:
        return tuple(
            NamedThing(name=thing.name, also=thing.also, sounds_like=thing.sounds_like)
            for thing in things
        )

    return FarmNames(
        places=named(farm.places),
        birds=named(farm.birds),
        flocks=named(farm.flocks),
        people=tuple(
            NamedThing(name=name, sounds_like=farm.helpers_sound_like.get(name))
            for name in farm.helpers
        ),
    )


def names_heard(farm: Farm) -> NamesHeard | None:
    """What is known of a farm's names without building anything; None where it has none.

    Raises:
        ModelError: a file of the carried model is missing or damaged.
    """
    from voicelog.hearing.building.farm_words import read_known_words, sounding, sounds_of
    from voicelog.hearing.building.pronouncing import Pronouncer

    names = farm_names(farm)
    if not names.all():
        return None
    told = sounding(names, read_known_words(carried_model()), Pronouncer(sounds_of(names)))
    return NamesHeard(names=len(names.all()), sounding=told)


def model_told(made: FarmModel) -> str:
    """One paragraph about a farm's model: which, how many words, and what could be better."""
    told = f"{made.folder.name} with the names of this farm, {made.words} words, in {made.folder}."
    return " ".join([told, *_advice(made.sounding)])


def _advice(sounding: Sounding) -> list[str]:
    found = []
    if sounding.guessed:
        found.append(
            f"How {listed(sounding.guessed)} sounds is a guess; where it is not heard, say what it "
            "sounds like in the farm file: sounds_like."
        )
    if sounding.unsaid:
        found.append(
            f"{listed(sounding.unsaid)} cannot be read aloud and is not heard; give another way "
            "it is called in the farm file: also."
        )
    return found
