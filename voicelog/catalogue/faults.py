"""A fault in a data file: where it is, what is wrong, what would be right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from voicelog.errors import CatalogueError


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


class CatalogueFaultsError(CatalogueError):
    """A reading of data files found faults; all of them are told."""

    def __init__(self, what: str, faults: Sequence[CatalogueFault]) -> None:
        """Tell the faults of `what`: the catalogue, a table, a file."""
        self.faults = tuple(faults)
        lines = "\n".join(f"  {fault.line()}" for fault in self.faults)
        super().__init__(
            f"{what} has {len(self.faults)} fault(s):\n{lines}\n",
            kept="Nothing was read from it.",
            todo="Mend the files named.",
        )
