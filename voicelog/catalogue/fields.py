"""Reads fields of TOML tables and gathers faults instead of stopping at the first."""

from __future__ import annotations

import tomllib
from enum import StrEnum
from importlib.resources.abc import Traversable
from typing import Any, TypeVar

from voicelog.catalogue.faults import CatalogueFault, CatalogueFaultsError

_Choice = TypeVar("_Choice", bound=StrEnum)


class FieldReader:
    """Reads one file after the other; `faults` holds all that was wrong in any of them."""

    def __init__(self) -> None:
        self.file = ""
        self.faults: list[CatalogueFault] = []

    def open(self, file: Traversable) -> dict[str, Any]:
        """The tables of a file; an empty one, and a fault, where it cannot be read."""
        self.file = file.name
        try:
            return tomllib.loads(file.read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
            self.fault("", f"cannot be read ({problem})", "write well-formed TOML")
            return {}

    def fault(self, key: str, problem: str, hint: str) -> None:
        """Note a fault and go on."""
        self.faults.append(CatalogueFault(file=self.file, key=key, problem=problem, hint=hint))

    def refuse_faults(self, what: str) -> None:
        """Stop here if there was any fault in `what`.

        Raises:
            CatalogueFaultsError: there was; it tells all of them.
        """
        if self.faults:
            raise CatalogueFaultsError(what, self.faults)

    def known(self, row: dict[str, Any], key: str, names: set[str]) -> None:
        """Fault every key that is not one of `names`."""
        for name in row:
            if name not in names:
                where = f"{key}.{name}" if key else name
                self.fault(where, "is not known", f"known here: {', '.join(sorted(names))}")

    def text(self, row: dict[str, Any], name: str, key: str) -> str:
        """A text that must be there."""
        value = row.get(name)
        if not isinstance(value, str) or not value:
            self.fault(f"{key}.{name}".strip("."), "is missing or no text", "write it in quotes")
            return ""
        return value

    def texts(self, row: dict[str, Any], name: str, key: str) -> tuple[str, ...]:
        """A list of texts; empty where it is absent."""
        value = row.get(name, [])
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            self.fault(f"{key}.{name}".strip("."), "is no list of texts", 'write ["…", "…"]')
            return ()
        return tuple(value)

    def flag(self, row: dict[str, Any], name: str, key: str, *, default: bool = False) -> bool:
        """True or false; `default` where it is absent."""
        value = row.get(name, default)
        if not isinstance(value, bool):
            self.fault(f"{key}.{name}".strip("."), f"{value!r} is no flag", "write true or false")
            return default
        return value

    def choice(
        self, row: dict[str, Any], name: str, key: str, kind: type[_Choice], default: _Choice
    ) -> _Choice:
        """One of the values of an enumeration."""
        value = row.get(name, default.value)
        try:
            return kind(value)
        except ValueError:
            hint = f"one of {', '.join(item.value for item in kind)}"
            self.fault(f"{key}.{name}", f"{value!r} is not known", hint)
            return default
