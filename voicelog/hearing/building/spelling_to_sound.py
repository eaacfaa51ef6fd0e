"""How an unknown word is said: n-grams of letters with their sounds, and a beam search.

A word is read letter by letter; each letter makes none, one or two phones. A token is a letter
with what it makes, and the model gives the chance of each token after up to seven before it
(Bisani and Ney 2008). It is trained by `models/pronunciation` and carried as one file of arrays:

    letters  the tokens' letters, one byte each; token ids count from 1
    sounds   the tokens' phones, joined by spaces and line feeds
    tokens_N the last tokens of the N-grams, sorted; children_N how many longer ones follow each
    chance_N, backoff_N  levels (natural logarithms in steps of `STEP` below nought)

Knows only letters; which words need reading is said by `pronouncing`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voicelog.errors import ModelError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Phones = tuple[str, ...]

BEGIN = 0
"""The token before a word."""

END = 255
"""The token after a word."""

STEP = 0.06
"""Natural logarithm between two levels of a stored chance."""

RISE = 60
"""A backoff weight may be above one: its level counts from so many steps above nought."""

_BEAM = 12
"""Readings kept of a word while it is read."""

_UNSEEN = -12.0
"""Natural logarithm of a chance too small to have a level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One way a word may be said."""

    phones: Phones
    chance: float
    """Of all ways found, 0 to 1."""


class SpellingModel:
    """Letters to sounds."""

    def __init__(self, arrays: dict[str, NDArray[Any]]) -> None:
        """From the arrays of a file."""
        import numpy as np

        self._letters = bytes(arrays["letters"]).decode("ascii")
        lines = bytes(arrays["sounds"]).decode("ascii").split("\n")
        self._sounds: list[Phones] = [(), *(tuple(line.split()) for line in lines)]
        widest = max(self._letters.count(letter) for letter in set(self._letters))
        self._choices = np.zeros((128, widest), dtype=np.uint64)
        filled = dict.fromkeys(self._letters, 0)
        for token, letter in enumerate(self._letters, start=1):
            self._choices[ord(letter), filled[letter]] = token
            filled[letter] += 1
        self._orders = _unpacked(arrays)

    def say(self, words: Sequence[str]) -> list[tuple[Said, ...]]:
        """The likeliest ways to say each word, best first; all words are read at once.

        Args:
            words: of letters a to z only, at least one.

        Raises:
            ModelError: a word has another character, or none.
        """
        for word in words:
            if not word or not set(word) <= set(self._letters):
                raise ModelError(
                    f"The word {word!r} cannot be read: expected letters a to z only.",
                    todo="Write the word as it sounds with such letters.",
                )
        order = sorted(range(len(words)), key=lambda at: len(words[at]))
        said: list[tuple[Said, ...]] = [()] * len(words)
        start = 0
        while start < len(order):
            size = len(words[order[start]])
            batch = [at for at in order[start : start + 512] if len(words[at]) == size]
            for at, found in zip(batch, self._read([words[at] for at in batch]), strict=True):
                said[at] = found
            start += len(batch)
        return said

    def _read(self, words: Sequence[str]) -> list[tuple[Said, ...]]:
        """Words of one length, by beam search."""
        import numpy as np

        letters = np.frombuffer("".join(words).encode(), np.uint8).reshape(len(words), -1)
        rows = np.arange(len(words))[:, None]
        history = np.zeros((len(words), 1), dtype=np.uint64)
        length = 1
        score = np.zeros((len(words), 1))
        path = np.zeros((len(words), 1, 0), dtype=np.uint8)
        for column in range(letters.shape[1]):
            choices = self._choices[letters[:, column]]
            wide = np.broadcast_to(choices[:, None, :], (*score.shape, choices.shape[1]))
            gain = self._chances(history[:, :, None], wide, length)
            total = np.where(wide > 0, score[:, :, None] + gain, -np.inf)
            flat = total.reshape(len(words), -1)
            keep = min(_BEAM, flat.shape[1])
            best = np.argsort(-flat, axis=1, kind="stable")[:, :keep]
            score = flat[rows, best]
            before, taken = np.divmod(best, choices.shape[1])
            token = choices[rows, taken]
            path = np.concatenate([path[rows, before], token[:, :, None].astype(np.uint8)], axis=2)
            history = (history[rows, before] << np.uint64(8)) | token
            length += 1
        last = np.full((*score.shape, 1), END, dtype=np.uint64)
        score = score + self._chances(history[:, :, None], last, length)[:, :, 0]
        return [self._joined(path[at], score[at]) for at in range(len(words))]

    def _chances(
        self, history: NDArray[np.uint64], token: NDArray[np.uint64], length: int
    ) -> NDArray[np.float64]:
        """Natural logarithm of the chance of each token after its history of `length` tokens."""
        import numpy as np

        shape = token.shape
        flat = np.broadcast_to(history, shape).ravel()
        tokens = token.ravel()
        gain = np.zeros(flat.size)
        todo = np.arange(flat.size)
        for size in range(min(len(self._orders), length + 1), 0, -1):
            order = self._orders[size - 1]
            mask = np.uint64((1 << (8 * (size - 1))) - 1)
            context = flat[todo] & mask
            key = (context << np.uint64(8)) | tokens[todo]
            at, found = order.find(key)
            gain[todo[found]] += order.chance[at[found]]
            todo, context = todo[~found], context[~found]
            if size == 1 or not todo.size:
                break
            below = self._orders[size - 2]
            at, found = below.find(context)
            gain[todo[found]] += below.backoff[at[found]]
        else:
            gain[todo] += _UNSEEN
        return gain.reshape(shape)

    def _joined(self, paths: NDArray[np.uint8], scores: NDArray[np.float64]) -> tuple[Said, ...]:
        """The different sounds of a word's readings; readings that sound alike are added up."""
        import numpy as np

        weights = np.exp(scores - scores.max())
        chances: dict[Phones, float] = {}
        for path, weight in zip(paths.tolist(), weights.tolist(), strict=True):
            phones = tuple(phone for token in path for phone in self._sounds[token])
            if phones:
                chances[phones] = chances.get(phones, 0.0) + weight
        total = sum(chances.values()) or 1.0
        ranked = sorted(chances.items(), key=lambda item: (-item[1], item[0]))
        return tuple(Said(phones=phones, chance=weight / total) for phones, weight in ranked)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Order:
    keys: NDArray[np.uint64]
    chance: NDArray[np.float64]
    backoff: NDArray[np.float64]

    def find(self, key: NDArray[np.uint64]) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
        """Where each key would stand, and whether it stands there."""
        import numpy as np

        at = np.minimum(np.searchsorted(self.keys, key), len(self.keys) - 1)
        return at, self.keys[at] == key


@lru_cache(maxsize=1)
def load_spelling_model(path: Path) -> SpellingModel:
    """The model of a file, kept once read.

    Raises:
        ModelError: it is missing or damaged.
    """
    import zipfile

    import numpy as np

    try:
        with np.load(path) as arrays:
            return SpellingModel(dict(arrays))
    except (OSError, ValueError, KeyError, IndexError, EOFError, zipfile.BadZipFile) as error:
        raise ModelError(
            f"The spelling model {path} cannot be read: {error}.",
            todo="Install the program again.",
        ) from error


def _unpacked(arrays: dict[str, NDArray[Any]]) -> list[_Order]:
    """The n-grams with their whole keys, each from its history and its last token."""
    import numpy as np

    orders = []
    histories = np.zeros(1, dtype=np.uint64)
    children = np.array([len(arrays["tokens_1"])])
    for size in range(1, sum(name.startswith("tokens_") for name in arrays) + 1):
        keys = np.repeat(histories, children) << np.uint64(8) | arrays[f"tokens_{size}"]
        rise = (arrays[f"backoff_{size}"].astype(np.float64) - RISE) * -STEP
        orders.append(_Order(keys=keys, chance=arrays[f"chance_{size}"] * -STEP, backoff=rise))
        histories, children = keys, arrays[f"children_{size}"]
    return orders
