"""What is declared in pyproject.toml is what is imported: nothing missing, nothing unused."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NEVER_IMPORTED = {
    "tzdata": "the time zones that the standard library reads where the system has none",
    "python-multipart": "starlette reads forms with it",
    "psycopg": "SQLAlchemy talks to PostgreSQL through it",
}
"""Distributions that another one loads, and which."""


def _project() -> dict[str, list[str]]:
    """Names of the distributions declared, by extra; those always needed under the empty name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = {"": project["dependencies"], **project["optional-dependencies"]}
    return {
        extra: [_plain(re.match(r"[\w.-]+", line)[0]) for line in lines]  # type: ignore[index]
        for extra, lines in extras.items()
    }


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


USERS = {"models": "models", "test": "tests"}
"""Extras that something else than the package uses, and the folder of it."""


def _imported(folder: str = "voicelog") -> Iterator[str]:
    """Top names of all modules that a folder's files import, wherever in a file."""
    for path in sorted((ROOT / folder).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                yield from (alias.name.split(".")[0] for alias in node.names)
            elif isinstance(node, ast.ImportFrom) and node.module:
                yield node.module.split(".")[0]


def _distributions(folder: str = "voicelog") -> dict[str, set[str]]:
    """By module from elsewhere: the distributions that it may come from."""
    known = packages_distributions()
    return {
        name: {_plain(found) for found in known.get(name, [name])}
        for name in set(_imported(folder)) - set(sys.stdlib_module_names) - {"voicelog"}
    }


def test_what_is_imported_is_declared() -> None:
    declared = {name for extra, names in _project().items() if extra not in USERS for name in names}
    missing = {module: found for module, found in _distributions().items() if not found & declared}
    assert not missing


def test_what_is_declared_is_imported() -> None:
    imported = set().union(*_distributions().values()) | NEVER_IMPORTED.keys()
    for extra, names in _project().items():
        if extra not in USERS:
            assert set(names) <= imported, f"nothing imports {set(names) - imported} ({extra!r})"


def test_the_recipe_of_the_models_declares_what_it_imports() -> None:
    """Names of a module and its distribution that differ are known only where it is installed."""
    imported = _distributions("models")
    declared = set(_project()["models"]) | set(_project()[""]) | {"models", "cupy"}
    found = {name for names in imported.values() for name in names}
    assert {"torch", "num2words", "soundfile"} <= found
    missing = {
        module: names
        for module, names in imported.items()
        if module in packages_distributions() and not names & declared
    }
    assert not missing
