"""Looks over everything the program needs, part by part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from voicelog.app.setting import Setting
from voicelog.errors import AudioError, StoreError, VoicelogError
from voicelog.sentences import counted


class Health(StrEnum):
    """How a part is."""

    WELL = "ok"
    ABSENT = "absent"
    """Not there, and nothing is broken by that."""
    BROKEN = "broken"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One part, and how it is."""

    part: str
    health: Health
    told: str
    """A sentence: what it is, or what to do."""


def look_over(setting: Setting) -> Iterator[Finding]:
    """Every part in turn; a fault in one does not keep the others from being looked at."""
    yield _catalogue()
    yield _farm(setting)
    yield from _store(setting)
    yield _model(setting)
    yield _microphone()


def _catalogue() -> Finding:
    from voicelog.catalogue.checking import check_catalogue

    try:
        catalogue = check_catalogue()
    except VoicelogError as problem:
        return _broken("catalogue", problem)
    return _well("catalogue", f"{len(catalogue.kinds)} kinds of record.")


def _farm(setting: Setting) -> Finding:
    if not (setting.farm_exists or setting.farm_named):
        return Finding(
            part="farm file",
            health=Health.ABSENT,
            told=f"There is none at {setting.farm_path}; make one with `voicelog farm new`.",
        )
    try:
        farm = setting.farm
    except VoicelogError as problem:
        return _broken("farm file", problem)
    return _well("farm file", f"{setting.farm_path}, {counted(len(farm.places), 'place')}.")


def _store(setting: Setting) -> Iterator[Finding]:
    from voicelog.records import Store

    if not setting.store_exists:
        told = f"There is none at {setting.store} yet; the first memo makes it."
        yield Finding(part="store", health=Health.ABSENT, told=told)
        return
    try:
        where, recordings = setting.store, setting.recordings_apart
        with Store.open(where, create=False, audio=recordings) as store:
            faults = store.check()
            waiting = len(store.unparsed())
    except VoicelogError as problem:
        yield _broken("store", _without_calling_the_doctor(problem))
        return
    for fault in faults:
        told = f"{fault.what} {fault.todo}"
        yield Finding(part="store", health=Health.BROKEN, told=told)
    if not faults:
        yield _well("store", f"{setting.store}; what stands is what its history says.")
    if waiting:
        told = f"{counted(waiting, 'memo')} not understood yet; the next command takes them up."
        yield Finding(part="store", health=Health.ABSENT, told=told)


def _without_calling_the_doctor(problem: VoicelogError) -> VoicelogError:
    """The same problem, sending nobody to the command that tells it."""
    if "voicelog doctor" not in problem.todo:
        return problem
    todo = "Restore the last backup with `voicelog restore`; what is there now is set aside."
    return StoreError(problem.what, kept=problem.kept, todo=todo)


def _model(setting: Setting) -> Finding:
    """The model that would be used; the farm's is built where that was not done yet."""
    from voicelog import hearing
    from voicelog.app.farm_model import farm_model, is_asked_for, model_told

    try:
        made = None if is_asked_for(None) else farm_model(setting, _silent)
        told = hearing.check_model() if made is None else model_told(made)
    except VoicelogError as problem:
        return _broken("speech model", problem)
    return _well("speech model", told)


def _silent(_: str) -> None:
    """What is built is told of when it is done."""


def _microphone() -> Finding:
    from voicelog.hearing.microphone import microphone_name

    try:
        return _well("microphone", f"{microphone_name()}.")
    except AudioError as problem:
        return Finding(part="microphone", health=Health.ABSENT, told=problem.paragraph())


def _well(part: str, told: str) -> Finding:
    return Finding(part=part, health=Health.WELL, told=told)


def _broken(part: str, problem: VoicelogError) -> Finding:
    return Finding(part=part, health=Health.BROKEN, told=problem.paragraph())
