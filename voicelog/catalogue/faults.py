"""A fault in a data file: where it is, what is wrong, what would be right."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueFault:
    """One fault, told together with all the others of the same reading."""

    file: str
    key: str
    """Dotted path of the entry, such as `slot.count.type`."""
    problem: str
    hint: str

    def line(self) -> str:
        """The fault as one line of text."""
        return f"{self.file}: {self.key}: {self.problem}; {self.hint}"
