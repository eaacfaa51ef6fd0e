"""The dictionary that is carried along, packed small and read fast.

Two files of a model's `language` folder:

    lexicon.gz        CMUdict without stress: the words, a line each, then after one zero byte
                      their pronunciations, a line each, a character a phone, spaces between
                      several; phone k of the ARPAbet in alphabetical order is character k of
                      `CODE`
    lexicon_own.tsv   words that CMUdict lacks or has otherwise: word, tab, phones; a word with
                      several pronunciations has several lines, the most common first

Source and licence of the first: CMUdict, Copyright (C) 1993-2015 Carnegie Mellon University,
BSD-style (see NOTICE). The second is the project's own.
"""

from __future__ import annotations

import gzip
import string
import zlib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from voicelog.errors import ModelError
from voicelog.hearing.building.phones import ARPABET, Pronunciation

LEXICON_FILE = "lexicon.gz"
OWN_FILE = "lexicon_own.tsv"

CODE = (string.ascii_uppercase + string.ascii_lowercase)[: len(ARPABET)]
"""The characters that stand for the phones."""

_PHONE_OF = dict(zip(CODE, ARPABET, strict=True))


class Lexicon:
    """Words and how they are said: the project's own entries before those of CMUdict."""

    def __init__(self, folder: Path) -> None:
        """Read both files of a `language` folder.

        Raises:
            ModelError: a file is missing or damaged.
        """
        self._own = _read_own(folder / OWN_FILE)
        self._packed = _read_packed(folder / LEXICON_FILE)
        self._bare: dict[str, str] | None = None

    def __contains__(self, word: str) -> bool:
        """Whether the word in lower case has an entry."""
        return word in self._own or word in self._packed

    def is_own(self, word: str) -> bool:
        """Whether the word has an entry of the project's own."""
        return word in self._own

    def find(self, word: str) -> tuple[Pronunciation, ...]:
        """All pronunciations of a word in lower case, most common first; none if unknown."""
        own = self._own.get(word)
        if own is not None:
            return own
        packed = self._packed.get(word)
        return () if packed is None else _unpacked(packed)

    def listed(self) -> Iterator[tuple[str, tuple[Pronunciation, ...]]]:
        """All words of CMUdict with their pronunciations there."""
        return ((word, _unpacked(packed)) for word, packed in self._packed.items())

    def find_bare(self, word: str) -> tuple[Pronunciation, ...]:
        """Pronunciations of the word that is spelled so without its apostrophe ("dont")."""
        if self._bare is None:
            self._bare = {
                known.replace("'", ""): known for known in self._packed if "'" in known[:-1]
            }
        known = self._bare.get(word)
        return () if known is None else self.find(known)


def pack_lexicon(entries: Iterable[tuple[str, Sequence[Pronunciation]]], path: Path) -> None:
    """Write the packed file from words and their pronunciations, the same bytes each time."""
    char_of = {phone: char for char, phone in _PHONE_OF.items()}
    rows = sorted(entries)
    words = "\n".join(word for word, _ in rows)
    sounds = "\n".join(
        " ".join("".join(char_of[phone] for phone in phones) for phones in spoken)
        for _, spoken in rows
    )
    path.write_bytes(gzip.compress(f"{words}\0{sounds}".encode("ascii"), 9, mtime=0))


def _unpacked(packed: str) -> tuple[Pronunciation, ...]:
    return tuple([tuple([_PHONE_OF[char] for char in sound]) for sound in packed.split()])


def _read_packed(path: Path) -> dict[str, str]:
    try:
        words, sounds = gzip.decompress(path.read_bytes()).decode("ascii").split("\0")
        return dict(zip(words.split("\n"), sounds.split("\n"), strict=True))
    except (OSError, ValueError, EOFError, zlib.error) as error:
        raise _damaged(path, str(error)) from error


def _read_own(path: Path) -> dict[str, tuple[Pronunciation, ...]]:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError) as error:
        raise _damaged(path, str(error)) from error
    spoken: dict[str, list[Pronunciation]] = {}
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.startswith("#"):
            continue
        word, _, sound = line.partition("\t")
        phones = tuple(sound.split())
        if not phones or not set(phones) <= set(ARPABET):
            raise _damaged(path, f"line {number} is not a word, a tab and ARPAbet phones")
        spoken.setdefault(word, []).append(phones)
    return {word: tuple(sounds) for word, sounds in spoken.items()}


def _damaged(path: Path, problem: str) -> ModelError:
    return ModelError(
        f"The dictionary {path} cannot be read: {problem}.",
        todo="Install the program again, or copy the model's language folder again.",
    )
