"""A farm file made, and parts added to it; what stands in it, comments too, is left as it is."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from voicelog.errors import FarmFileError, RequestError
from voicelog.farm import Farm, load_farm, read_farm

TomlValue = str | int | float | date | list[str] | Mapping[str, str]


def new_farm(
    path: Path, *, name: str, timezone: str, latitude: float | None, longitude: float | None
) -> Farm:
    """Write a farm file that holds only the farm itself.

    Raises:
        RequestError: there is a file already, or the time zone is not known.
        FarmFileError: it cannot be written.
    """
    if path.exists():
        raise RequestError(
            f"There is a farm file at {path} already.",
            kept="It was left as it was.",
            todo="Add to it with `voicelog farm add`, or name another file with --farm.",
        )
    _check_zone(timezone)
    fields: dict[str, TomlValue] = {"name": name, "timezone": timezone}
    if latitude is not None:
        fields["latitude"] = latitude
    if longitude is not None:
        fields["longitude"] = longitude
    text = "".join(f"{key} = {_toml(value)}\n" for key, value in fields.items())
    return _write(path, text)


def add_part(path: Path, part: str, fields: Mapping[str, TomlValue | None]) -> Farm:
    """Add a table such as `[[place]]` at the end of a farm file.

    Args:
        path: the file; it must be there.
        part: the table's name.
        fields: its keys in order; None and empty lists are left out.

    Raises:
        FarmFileError: the file, as it is or as it would be, has faults; then it is not changed.
    """
    load_farm(path)
    text = path.read_text(encoding="utf-8")
    said = {key: value for key, value in fields.items() if value not in (None, [], {})}
    lines = [f"[[{part}]]", *(f"{key} = {_toml(value)}" for key, value in said.items())]
    return _write(path, f"{text.rstrip()}\n\n" + "\n".join(lines) + "\n")


def _check_zone(timezone: str) -> None:
    try:
        ZoneInfo(timezone)
    except (ValueError, OSError, LookupError) as problem:
        near = [zone for zone in sorted(available_timezones()) if timezone.lower() in zone.lower()]
        hint = f"Did you mean {' or '.join(near[:3])}?" if near else "Write one like Europe/Oslo."
        raise RequestError(f"The time zone {timezone!r} is not known.", todo=hint) from problem


def _write(path: Path, text: str) -> Farm:
    """Write the file whole or not at all, and only when it has no faults."""
    farm = read_farm(text, file=path.name)
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with unfinished.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as problem:
        # Where nothing may be written, nothing may be removed either.
        with suppress(OSError):
            unfinished.unlink()
        raise FarmFileError(
            f"The farm file {path} cannot be written: {problem.strerror}.",
            kept="It was left as it was.",
            todo="Give yourself the right to write there, or name another file with --farm.",
        ) from problem
    return farm


def _toml(value: Any) -> str:
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {_toml(item)}" for key, item in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_toml(item) for item in value)}]"
    return value.isoformat() if isinstance(value, date) else repr(value)


def farm_form(farm: Farm) -> dict[str, Any]:
    """A farm as JSON has it: the keys of the farm file."""
    return {
        "name": farm.name,
        "timezone": farm.timezone,
        "latitude": farm.latitude,
        "longitude": farm.longitude,
        "currency": farm.currency,
        "helpers": list(farm.helpers),
        "helpers_sound_like": dict(farm.helpers_sound_like),
        "place": [
            {"name": p.name, "kind": p.kind, "also": list(p.also), "sounds_like": p.sounds_like}
            for p in farm.places
        ],
        "flock": [
            {
                "name": flock.name,
                "class": flock.class_,
                "count": flock.count,
                "since": flock.since and flock.since.isoformat(),
                "hatched": flock.hatched and flock.hatched.isoformat(),
                "place": flock.place,
                "also": list(flock.also),
                "sounds_like": flock.sounds_like,
            }
            for flock in farm.flocks
        ],
        "bird": [
            {
                "name": bird.name,
                "flock": bird.flock,
                "breed": bird.breed,
                "also": list(bird.also),
                "sounds_like": bird.sounds_like,
            }
            for bird in farm.birds
        ],
        "measure": [{"unit": m.unit, "of": m.of, "holds": m.holds} for m in farm.measures],
        "chore": [
            {
                "record": chore.record,
                "places": list(chore.places),
                "every": f"{chore.every.count} {chore.every.unit}",
                "by": chore.by and chore.by.isoformat("minutes"),
                "match": dict(chore.match),
                "words": chore.words,
            }
            for chore in farm.chores
        ],
    }
