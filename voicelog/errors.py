"""What can stop a request, and how it is told.

    VoicelogError            anything below; one paragraph: what, what was kept, what to do
    ├── CatalogueError       a fault in the declared vocabulary
    ├── FarmFileError        a fault in the farm file
    ├── AudioError           a recording that cannot be heard
    ├── ModelError           a speech model that cannot be used
    ├── StoreError           a store that cannot be opened, read or written
    └── RequestError         a request that cannot be met as it was put

A doubt in a memo is no error: it is a value on the record, stored, shown and settled later.
"""

from __future__ import annotations


class VoicelogError(Exception):
    """A request could not be met."""

    def __init__(self, what: str, *, kept: str = "", todo: str = "") -> None:
        """Tell `what` was wrong, what was `kept` safe and what the person can do (`todo`)."""
        self.what = what
        self.kept = kept
        self.todo = todo
        super().__init__(self.paragraph())

    def paragraph(self) -> str:
        """The whole error as one paragraph of sentences."""
        return " ".join(part for part in (self.what, self.kept, self.todo) if part)


class CatalogueError(VoicelogError):
    """The catalogue's data has faults; all of them are told at once."""


class FarmFileError(VoicelogError):
    """The farm file is missing or has faults; all of them are told at once."""


class AudioError(VoicelogError):
    """A recording cannot be read, or is not one that can be heard."""


class ModelError(VoicelogError):
    """A speech model folder is incomplete or cannot be loaded."""


class StoreError(VoicelogError):
    """A store cannot be opened, read or written."""


class RequestError(VoicelogError):
    """A request that cannot be met as it was put."""
