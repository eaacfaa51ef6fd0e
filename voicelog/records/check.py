"""Looks a store over from end to end."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, select, text

from voicelog.records import standing
from voicelog.records.audio import AudioFolder, Blob
from voicelog.records.schema import audio
from voicelog.records.wanted import Fault


def faults(connection: Connection, folder: AudioFolder | None) -> tuple[Fault, ...]:
    """Every fault found; empty when the store is sound."""
    # What a damaged file would tell of the rest cannot be trusted.
    broken = tuple(_broken(connection))
    return broken or (*_derived(connection), *_recordings(connection, folder))


def _broken(connection: Connection) -> Iterator[Fault]:
    if connection.dialect.name != "sqlite":
        return
    for pragma in ("integrity_check", "foreign_key_check"):
        for row in connection.execute(text(f"PRAGMA {pragma}")):
            told = ", ".join(str(part) for part in row)
            if told != "ok":
                yield Fault(
                    what=f"The database is damaged: {told}.",
                    todo="Restore the last backup.",
                )


def _derived(connection: Connection) -> Iterator[Fault]:
    for record_id in standing.differing(connection):
        yield Fault(
            what=f"What stands of record {record_id} is not what its history says.",
            todo="Build it again from history; nothing that was said is touched.",
        )


def _recordings(connection: Connection, folder: AudioFolder | None) -> Iterator[Fault]:
    for row in connection.execute(select(audio).order_by(audio.c.sha256)):
        blob = Blob(sha256=row.sha256, suffix=row.suffix, bytes=row.bytes)
        fault = (
            f"The recording {blob.sha256} has no folder."
            if folder is None
            else folder.fault_of(blob)
        )
        if fault:
            yield Fault(what=fault, todo="Bring the recording back from a backup.")
    if folder is not None:
        for file in folder.unfinished():
            yield Fault(
                what=f"{file} was left behind by a copy cut short.", todo="It may be deleted."
            )
