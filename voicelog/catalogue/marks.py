"""What a record must say to be meant, written `kind`, `kind.slot` or `kind.slot.value`."""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.catalogue.schema import Catalogue, SlotType
from voicelog.types import Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What a record must say to be meant."""

    kind: str
    slot: str | None = None
    value: str | None = None
    """None: the slot says anything."""

    def on(self, draft: Draft) -> bool:
        """Whether a record says it."""
        if draft.kind != self.kind:
            return False
        if self.slot is None:
            return True
        said = draft.slots.get(self.slot)
        return said is not None if self.value is None else said == self.value


def read_mark(text: str, catalogue: Catalogue) -> Mark | None:
    """A mark as it is written; None where it names no kind or no slot of it."""
    kind, *rest = text.split(".", 2)
    if not catalogue.has_kind(kind):
        return None
    slot = catalogue.kind(kind).slot(rest[0]) if rest else None
    if rest and slot is None:
        return None
    value = rest[1] if len(rest) > 1 else None
    # A slot that holds any words has values of its own and more.
    closed = slot is not None and slot.type is SlotType.CHOICE
    if closed and value is not None and slot and value not in {v.name for v in slot.values}:
        return None
    return Mark(kind=kind, slot=rest[0] if rest else None, value=value)
