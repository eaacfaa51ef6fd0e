"""`export`, `import`, `backup`, `restore`, `demo` and `doctor`: the store looked after."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, say, stdin_lines, talk, with_common, write
from voicelog.errors import RequestError
from voicelog.sentences import counted

_EXPORT = """
Print everything that was ever kept, as JSON Lines: memos, what was understood, every change.

Equal stores give equal exports. Recordings are named, not contained; `backup` copies them too.
"""
_IMPORT = """
Add what `export` printed: all of it or nothing. Memos that are there already are left alone.
"""
_BACKUP = """
Copy the store and its recordings to a new file, while the store may be in use.

The copy is a store itself and may be opened with --store.
"""
_RESTORE = """
Make the store from a backup. A store that is there is set aside under another name, not lost.
"""
_DEMO = """
Fill a store with an invented farm's month of memos, to try the program on.

The store and the farm file are made in FOLDER, or where --store says; a store that holds memos is
left alone.
"""
_DOCTOR = """
Look over everything the program needs, and say for each part that it is well or what to do.

Ends with exit code 1 if something is broken. Parts that are merely not there, such as a
microphone, are told and break nothing.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    add_command(app, "export", export, _EXPORT, brief="Print everything kept, as JSON Lines.")
    add_command(app, "import", import_, _IMPORT, brief="Add what an export printed.")
    add_command(app, "backup", backup, _BACKUP, brief="Copy the store and its recordings.")
    add_command(app, "restore", restore, _RESTORE, brief="Make the store from a backup.")
    add_command(app, "demo", demo, _DEMO, brief="Fill a store to try the program on.")
    add_command(app, "doctor", doctor, _DOCTOR, brief="Look over everything the program needs.")


@with_common
def export(
    desk: Desk,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FILE", help="Write to a new file.")
    ] = None,
) -> None:
    """Print everything kept."""
    _need_store(desk)
    lines = desk.notebook.reading.export_lines()
    if output is None:
        for line in lines:
            write(line.encode("utf-8", "replace") + b"\n")
        return
    try:
        with output.open("x", encoding="utf-8", newline="\n") as file:
            file.writelines(f"{line}\n" for line in lines)
    except OSError as problem:
        raise RequestError(
            f"The file {output} cannot be written: {problem.strerror}.",
            kept="The store is as it was.",
            todo="Name a new file in a folder that can be written.",
        ) from problem
    talk(f"Exported to {output}.")


@with_common
def import_(
    desk: Desk,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An export; - for standard input.")],
    audio: Annotated[
        Path | None, typer.Option("--audio", metavar="FOLDER", help="Recordings to copy in.")
    ] = None,
) -> None:
    """Add an export."""
    from voicelog.app.notebook import import_store

    lines = stdin_lines() if str(file) == "-" else _lines_of(file)
    added = import_store(desk.notebook, lines, audio)
    if desk.json:
        form = {
            "memos": added.memos,
            "records": added.records,
            "already_there": added.already_there,
        }
        write(forms.line(form))
    else:
        say(
            f"{counted(added.memos, 'memo')} with {counted(added.records, 'record')} added; "
            f"{counted(added.already_there, 'memo')} there already."
        )


def _lines_of(file: Path) -> Iterator[str]:
    try:
        with file.open("rb") as lines:
            for line in lines:
                yield line.decode("utf-8").rstrip("\r\n")
    except OSError as problem:
        raise RequestError(
            f"The file {file} cannot be read: {problem.strerror}.", kept="Nothing was imported."
        ) from problem
    except UnicodeDecodeError as problem:
        raise RequestError(
            f"The file {file} is no text.", kept="Nothing was imported."
        ) from problem


@with_common
def backup(
    desk: Desk, to: Annotated[Path, typer.Argument(metavar="FILE", help="A file not there yet.")]
) -> None:
    """Copy the store."""
    _need_store(desk)
    desk.notebook.reading.backup(to)
    _tell_files(desk, "backup", to, f"The store is copied to {to}.")


@with_common
def restore(
    desk: Desk, source: Annotated[Path, typer.Argument(metavar="BACKUP", help="The backup.")]
) -> None:
    """Make the store from a backup."""
    from voicelog.app.notebook import restore_store

    aside = restore_store(desk.setting, source)
    _tell_files(
        desk,
        "set_aside",
        aside,
        f"The store {desk.setting.store} is restored from {source}."
        + (f" The one before is set aside at {aside}." if aside else ""),
    )


def _tell_files(desk: Desk, name: str, path: Path | None, text: str) -> None:
    if desk.json:
        form = {"store": desk.setting.store, name: None if path is None else str(path)}
        write(forms.line(form))
    else:
        say(text)


def _need_store(desk: Desk) -> None:
    if not desk.setting.store_exists:
        raise RequestError(
            f"There is no store at {desk.setting.store}.",
            todo="Name another with --store, or type a first memo with `voicelog note`.",
        )


@with_common
def demo(
    desk: Desk,
    folder: Annotated[Path, typer.Argument(metavar="[FOLDER]")] = Path("voicelog-demo"),
) -> None:
    """Fill a store with the demonstration month."""
    from voicelog.app.demonstration import demo_lines, demo_setting, fill
    from voicelog.cli.screens import progress

    setting = demo_setting(desk.setting, folder)
    lines = demo_lines()
    noted = fill(setting, progress(lines, "filling"), talk)
    if desk.json:
        form = {"store": setting.store, "farm": str(setting.farm_path), "memos": noted}
        write(forms.line(form))
        return
    say(f"{counted(noted, 'memo')} kept in {setting.store}; the farm file is {setting.farm_path}.")
    last = lines[-1].said
    say(f"Try: voicelog left --store {setting.store} --now {last}")


@with_common
def doctor(desk: Desk) -> None:
    """Look everything over."""
    from voicelog.app.checkup import Health, look_over

    findings = []
    for finding in look_over(desk.setting):
        findings.append(finding)
        if desk.json:
            continue
        say(f"{finding.health.value:7}  {finding.part}: {finding.told}")
        sys.stdout.flush()
    broken = any(finding.health is Health.BROKEN for finding in findings)
    if desk.json:
        form = {
            "ok": not broken,
            "parts": [{"part": f.part, "health": f.health.value, "text": f.told} for f in findings],
        }
        write(forms.line(form))
    if broken:
        raise typer.Exit(1)
