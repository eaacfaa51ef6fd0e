"""The models of farms, built once for each set of names and kept in the user's cache folder.

A model is found by a hash of all that it is made from. It is built in a process of its own, in a
folder beside the others that is renamed when it is whole: one that is stopped in the middle, or two
that build the same, leave nothing half-made to be used.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path
from typing import Self

from voicelog.errors import ModelError
from voicelog.hearing.building.farm_words import FarmNames, Sounding
from voicelog.hearing.model_folder import carried_model, missing_files

VERSION = 1
"""Raised where the same names and files are to give another model than before."""

KEPT = 3
"""Models of a farm that are kept: names that were mended may be changed back."""

REPORT_FILE = "farm.json"
"""In the model folder of a farm: what was learned, and how large each file of the graph is."""

USERS_FILE = "farms.txt"
"""In the model folder of a farm: the farm files it was built or used for, one a line."""

_UNFINISHED = ".unfinished-"
_HOUR_S, _DAY_S = 3600.0, 86400.0
_UNUSED_DAYS = 60
_LONGEST_S = 120.0
"""Seconds after which building is given up; it takes one to three."""

_TODO = "Everything else works; names that the speech model does not know come out as other words."


@dataclass(frozen=True, slots=True, kw_only=True)
class FarmModel:
    """A model that knows a farm's names."""

    folder: Path
    words: int
    """How many words it knows."""
    sounding: Sounding

    @classmethod
    def read(cls, folder: Path) -> Self | None:
        """The model in a folder; None where there is none, or not all of it."""
        if missing_files(folder):
            return None
        try:
            report = json.loads((folder / REPORT_FILE).read_text("utf-8"))
            for name, size in report["sizes"].items():
                # The recogniser does not survive every file that is cut short.
                if (folder / "graph" / name).stat().st_size != size:
                    return None
            told = Sounding(guessed=tuple(report["guessed"]), unsaid=tuple(report["unsaid"]))
            return cls(folder=folder, words=int(report["words"]), sounding=told)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return None


def farm_model(names: FarmNames, farm: Path, building: Callable[[], None]) -> FarmModel:
    """The model that knows a farm's names; see `voicelog.hearing.farm_model`."""
    try:
        home = cache_folder() / "models"
        folder = home / f"{carried_model().name}-{_fingerprint(names, carried_model())}"
        found = FarmModel.read(folder)
        if found is None:
            building()
            found = _built(names, folder)
        with suppress(OSError):
            _note_use(folder, farm)
            _forget_old(home, farm, keep=folder)
    except (OSError, RuntimeError, subprocess.SubprocessError) as problem:
        # RuntimeError: this user has no home folder.
        raise _unbuilt(str(problem)) from problem
    return found


def cache_folder() -> Path:
    """`$XDG_CACHE_HOME/voicelog`, by default `~/.cache/voicelog`; on Windows `%LOCALAPPDATA%`."""
    if os.name == "nt":
        base = os.environ.get("LOCALAPPDATA")
        return (Path(base) if base else Path.home() / "AppData" / "Local") / "voicelog" / "cache"
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "voicelog"


def _fingerprint(names: FarmNames, model: Path) -> str:
    """The same for the same names, files and version of this code."""
    digest = blake2b(f"{VERSION} {names.as_json()}".encode(), digest_size=8)
    for folder in ("am", "conf", "language"):
        for file in sorted((model / folder).iterdir()):
            digest.update(f"{file.name} {file.stat().st_size} ".encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()


def _built(names: FarmNames, folder: Path) -> FarmModel:
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(
        prefix=_UNFINISHED, dir=folder.parent, ignore_cleanup_errors=True
    ) as beside:
        fresh = Path(beside) / folder.name
        fresh.mkdir()
        _run_builder(names, fresh)
        if FarmModel.read(fresh) is None:
            raise _unbuilt("not all of it was written")
        _rename(fresh, folder)
    found = FarmModel.read(folder)
    if found is None:
        raise _unbuilt("it was taken away again")
    return found


def _run_builder(names: FarmNames, folder: Path) -> None:
    """Build in another process, whose memory is given back before anything is heard."""
    package = str(Path(__file__).parents[3])
    before = os.environ.get("PYTHONPATH")
    path = os.pathsep.join([package, before] if before else [package])
    ran = subprocess.run(
        # -P: a file of the folder one stands in is not taken for a library.
        [sys.executable, "-P", "-m", "voicelog.hearing.building", str(folder)],
        input=names.as_json(),
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        timeout=_LONGEST_S,
        check=False,
    )
    if ran.returncode:
        told = ran.stderr.strip().splitlines()
        raise _unbuilt(told[-1] if told else f"its process ended with {ran.returncode}")


def _rename(fresh: Path, folder: Path) -> None:
    """Put a whole model where it belongs, unless another process has just done so."""
    if folder.exists() and FarmModel.read(folder) is None:
        shutil.rmtree(folder, ignore_errors=True)
    try:
        fresh.rename(folder)
    except OSError:
        if FarmModel.read(folder) is None:
            raise


def _note_use(folder: Path, farm: Path) -> None:
    """Remember when a model was last used, and for which farm file."""
    os.utime(folder)
    if str(farm) not in _farms_of(folder):
        with (folder / USERS_FILE).open("a", encoding="utf-8") as file:
            file.write(f"{farm}\n")


def _farms_of(folder: Path) -> list[str]:
    try:
        return (folder / USERS_FILE).read_text("utf-8").splitlines()
    except (OSError, ValueError):
        return []


def _forget_old(home: Path, farm: Path, keep: Path) -> None:
    """Remove models that only this farm file used and that it has left behind, and what is stale.

    One that cannot be removed, because it is in use or not ours, is left.
    """
    mine = [model for model in _by_last_use(home) if str(farm) in _farms_of(model)]
    left_behind = [model for model in mine[KEPT:] if set(_farms_of(model)) == {str(farm)}]
    for model in (*left_behind, *_stale(home)):
        if model != keep:
            shutil.rmtree(model, ignore_errors=True)


def _by_last_use(home: Path) -> list[Path]:
    dated = [(model.stat().st_mtime, model) for model in home.iterdir() if _is_model(model)]
    return [model for _, model in sorted(dated, reverse=True)]


def _is_model(folder: Path) -> bool:
    return folder.is_dir() and not folder.name.startswith(_UNFINISHED)


def _stale(home: Path) -> Iterator[Path]:
    """What a stopped process left, and models that nobody has used for long."""
    for folder in home.iterdir():
        with suppress(OSError):
            age_s = time.time() - folder.stat().st_mtime
            if age_s > (_UNUSED_DAYS * _DAY_S if _is_model(folder) else _HOUR_S):
                yield folder


def _unbuilt(why: str) -> ModelError:
    return ModelError(
        f"A speech model with the names of this farm could not be made: {why.rstrip('.')}.",
        kept="The one that comes with voicelog is used.",
        todo=_TODO,
    )
