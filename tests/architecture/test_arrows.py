"""The rooms know of each other in one direction only, and each heavy library in one place."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "voicelog"

BASE = {"types", "explanations", "errors", "clock", "moments"}
MAY_IMPORT = {
    "types": set(),
    "explanations": {"types"},
    "errors": set(),
    "clock": set(),
    "moments": {"types"},
    "catalogue": BASE,
    "farm": BASE | {"catalogue", "farm_reading"},
    "farm_reading": BASE | {"catalogue", "farm", "farm_agreement"},
    "farm_agreement": BASE | {"catalogue", "farm"},
    "text": BASE | {"catalogue"},
    "hearing": BASE,
    "husbandry": BASE | {"catalogue"},
    "understanding": BASE | {"catalogue", "farm", "text"},
    "records": BASE | {"catalogue"},
    "routine": BASE | {"catalogue", "farm", "records"},
    "answering": BASE
    | {"catalogue", "farm", "text", "understanding", "records", "routine", "husbandry"},
    "review": BASE | {"catalogue", "farm", "text", "understanding", "records"},
    "forms": BASE | {"catalogue"},
    "sentences": BASE | {"catalogue", "farm", "forms"},
    "demo": BASE,
    "app": None,
    "web": BASE | {"app", "catalogue", "farm", "forms", "sentences"},
    # The command `serve` starts the screens of `web`, which knows nothing of the command line.
    "cli": BASE
    | {"app", "catalogue", "farm", "farm_agreement", "forms", "sentences", "review", "demo", "web"},
}
"""Which rooms a room may import; None for the one place where all rooms meet."""

ONE_PLACE = {
    "vosk": {"hearing/vosk_engine.py"},
    "av": {"hearing/audio.py"},
    "sounddevice": {"hearing/microphone.py"},
    "pyttsx3": {"hearing/speaking.py"},
    "spacy": {"understanding/matching.py"},
    "astral": {"text/sun.py"},
    "pint": {"husbandry/measures.py"},
    "typer": {"cli"},
    "rich": {"cli"},
    "matplotlib": {
        "app/reporting/drawing.py",
        "app/reporting/sheet.py",
        "app/reporting/sheet_items.py",
    },
    "sqlalchemy": {"records"},
    "alembic": {"records"},
    "starlette": {"web"},
    "uvicorn": {"web"},
}
"""Where a library may be imported: a file, or any file of a room."""


def _files() -> Iterator[Path]:
    return (path for path in sorted(PACKAGE.rglob("*.py")))


def _imports(path: Path) -> Iterator[str]:
    """Full names of all modules a file imports, wherever in the file."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path}: relative import"
            yield node.module
            if node.module == "voicelog":
                yield from (f"voicelog.{alias.name}" for alias in node.names)


def _room(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


@pytest.mark.parametrize("path", list(_files()), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_file_imports_only_rooms_before_it(path: Path) -> None:
    room = _room(path)
    if room in ("__init__", "__main__"):
        return
    assert room in MAY_IMPORT, f"{room} has no place in the order of the rooms yet"
    allowed = MAY_IMPORT[room]
    if allowed is None:
        return
    for name in _imports(path):
        parts = name.split(".")
        if parts[0] == "voicelog" and len(parts) > 1:
            assert parts[1] in allowed | {room, "__version__"}, f"{room} may not import {name}"


@pytest.mark.parametrize("library", sorted(ONE_PLACE))
def test_a_library_is_imported_in_one_place(library: str) -> None:
    places = {
        str(path.relative_to(PACKAGE))
        for path in _files()
        if any(name.split(".")[0] == library for name in _imports(path))
    }
    allowed = ONE_PLACE[library]
    for place in places:
        assert place in allowed or place.split("/")[0] in allowed, f"{place} imports {library}"


def test_the_present_is_asked_in_one_place() -> None:
    asking = {
        str(path.relative_to(PACKAGE))
        for path in _files()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and node.attr in ("now", "today", "utcnow")
        and isinstance(node.value, ast.Name)
        and node.value.id in ("datetime", "date")
    }
    assert asking <= {"clock.py"}


def test_files_are_short_enough_to_be_read() -> None:
    long = {
        str(path.relative_to(PACKAGE)): lines
        for path in _files()
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 350
    }
    assert not long
