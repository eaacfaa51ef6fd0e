"""Words to sounds, for the recogniser's dictionary.

    pronouncer = Pronouncer(sounds_like={"Xanthe": "zan thee"})
    pronouncer.pronounce("Xanthe")        (("Z", "AE", "N", "DH", "IY"), ...)
    pronouncer.pronounce_all(words)       the same for many at once, which is quicker

A word's sounds come from the first of these that knows it: what the caller says it sounds like,
the project's own entries, CMUdict, the regular endings of known words, the names of its letters
where it has no vowel, and the spelling model, which reads any word of letters.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain, islice, product
from pathlib import Path

from voicelog.errors import ModelError
from voicelog.hearing.building.phones import Pronunciation
from voicelog.hearing.building.pronouncing_lexicon import Lexicon
from voicelog.hearing.building.pronouncing_rules import Parts, take_apart, with_ending
from voicelog.hearing.building.spelling_to_sound import Said, load_spelling_model
from voicelog.hearing.model_folder import carried_model

MOST = 4
"""Pronunciations given for a word at most."""

SPELLING_FILE = "spelling_to_sound.npz"

_CLOSE = 0.25
"""A way the spelling model finds is given too if it is so likely, relative to the best."""

_AGREED = 0.1
"""From this chance by its letters on, a sound made by rule goes first."""

_PLAIN = str.maketrans({"’": "'", "‘": "'", "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l"})

Sounds = tuple[Pronunciation, ...]


class Pronouncer:
    """How words are said; remembers what it has said."""

    def __init__(
        self, sounds_like: Mapping[str, str] | None = None, folder: Path | None = None
    ) -> None:
        """Ready at once; the files are read when the first word is asked for.

        Args:
            sounds_like: for words said otherwise than they look, common words that sound so.
            folder: the `language` folder of a model; without one that of the carried model.
        """
        self._folder = folder or carried_model() / "language"
        self._lexicon: Lexicon | None = None
        self._known: dict[str, Sounds] = {}
        self._sounds_like = {
            plain_spelling(word): plain_spelling(like) for word, like in (sounds_like or {}).items()
        }

    def pronounce(self, word: str) -> Sounds:
        """The distinct pronunciations of a word, most common first, one to `MOST` of them.

        Words joined by hyphens or spaces are said one after the other. Case and accents do not
        matter; numbers must be spelled out.

        Raises:
            ModelError: the word holds other characters, or no letter; or a file is damaged.
        """
        return self.pronounce_all([word])[0]

    def pronounce_all(self, words: Sequence[str]) -> tuple[Sounds, ...]:
        """The pronunciations of each word; see `pronounce`."""
        parts = [self._parts(plain_spelling(word)) for word in words]
        self._learn(chain.from_iterable(parts))
        return tuple(
            self._known[each[0]] if len(each) == 1 else _joined([self._known[p] for p in each])
            for each in parts
        )

    def knows(self, word: str) -> bool:
        """Whether something surer than the spelling model says how the word sounds.

        Raises:
            ModelError: as of `pronounce`.
        """
        return all(self._look_up(part) for part in self._parts(plain_spelling(word)))

    def _parts(self, word: str) -> list[str]:
        """The words to look up for a word as given."""
        if word in self._sounds_like:
            return self._sounds_like[word].replace("-", " ").split()
        if word.isalpha() or word in self._dictionary():
            return [word]
        return [
            part
            for piece in word.replace("-", " ").split()
            for part in ([piece] if piece in self._dictionary() else _letters_apart(piece))
        ]

    def _dictionary(self) -> Lexicon:
        if self._lexicon is None:
            self._lexicon = Lexicon(self._folder)
        return self._lexicon

    def _learn(self, words: Iterable[str]) -> None:
        """Remember the sounds of words; those that must be read are read together."""
        unread = []
        for word in dict.fromkeys(words):
            if word not in self._known:
                sounds = self._look_up(word)
                if sounds:
                    self._known[word] = sounds[:MOST]
                else:
                    unread.append(word)
        if unread:
            self._read(unread)

    def _look_up(self, word: str) -> Sounds:
        """The sounds of a word that needs no reading; none if it does."""
        lexicon = self._dictionary()
        for parts in take_apart(word) if self._sounds_like else ():
            if parts.ending and parts.known[0] in self._sounds_like:
                return self._by_rule(parts)
        quoted = lexicon.find(word) or lexicon.find(word.strip("'"))
        if sounds := quoted or lexicon.find_bare(word):
            return sounds
        for parts in take_apart(word):
            certain = (parts.sure and "'" in word) or lexicon.is_own(parts.known[0])
            if certain and (sounds := self._by_rule(parts)):
                return sounds
        stem, ending = _stem_of(word)
        if not set(stem) & set("aeiouy"):
            named = _joined([lexicon.find(letter) for letter in stem])
            return tuple(way for name in named for way in with_ending(name, ending))
        return ()

    def _read(self, words: Sequence[str]) -> None:
        """Read words by their letters, and weigh that against what the rules say.

        A word with an apostrophe is read as the word before it with its ending, or without it.
        """
        stems = [_stem_of(word) for word in words]
        model = load_spelling_model(self._folder / SPELLING_FILE)
        for word, (stem, ending), said in zip(
            words, stems, model.say([stem for stem, _ in stems]), strict=True
        ):
            found = self._weighed(stem, said)
            spoken = (way for sound in found for way in with_ending(sound, ending))
            self._known[word] = tuple(islice(dict.fromkeys(spoken), MOST))

    def _weighed(self, word: str, said: Sequence[Said]) -> Sounds:
        """What is likely by the letters, what the rules say where the letters bear it out first."""
        chance = {way.phones: way.chance for way in said}
        by_rule = [
            (sound, parts.sure) for parts in take_apart(word) for sound in self._by_rule(parts)
        ]
        first = [s for s, sure in by_rule if sure and chance.get(s, 0.0) >= _AGREED]
        close = [way.phones for way in said if way.chance >= _CLOSE * said[0].chance]
        borne_out = [s for s, sure in by_rule if sure or chance.get(s, 0.0) >= _AGREED]
        ranked = sorted(first, key=lambda sound: -chance[sound]) + close + borne_out
        return tuple(islice(dict.fromkeys(ranked), MOST))

    def _by_rule(self, parts: Parts) -> Sounds:
        """The sounds of a word made of known ones; none where one is not known."""
        sounds = [
            self.pronounce(known) if known in self._sounds_like else self._dictionary().find(known)
            for known in parts.known
        ]
        if not all(sounds):
            return ()
        made = (way for stem in _joined(sounds)[:2] for way in with_ending(stem, parts.ending))
        return tuple(dict.fromkeys(made))


def plain_spelling(word: str) -> str:
    """A word in lower case, without accents and outer blanks, with plain apostrophes.

    Raises:
        ModelError: it holds a character that is no letter, apostrophe, hyphen, full stop or
            blank, or it holds no letter.
    """
    letters = word.replace("'", "")
    if letters.isascii() and letters.isalpha():
        return word.lower()
    lower = unicodedata.normalize("NFKD", word.strip().lower())
    plain = "".join(char for char in lower if not unicodedata.combining(char)).translate(_PLAIN)
    strange = sorted({char for char in plain if not (char.isascii() and _may_stand(char))})
    if strange or not any(char.isalpha() for char in plain):
        reason = f"it has {' '.join(strange)!r}" if strange else "it has no letter"
        raise ModelError(
            f"The word {word!r} cannot be pronounced: {reason}; expected letters, apostrophes "
            "and hyphens.",
            todo="Spell out numbers and signs, or say with common words what it sounds like.",
        )
    return plain


def _may_stand(char: str) -> bool:
    return char.isalpha() or char in "'-. "


def _letters_apart(piece: str) -> list[str]:
    """A word without full stops; one letter after the other where stops part single ones."""
    bare = [run for run in piece.split(".") if run.strip("'")]
    return bare if all(len(run) == 1 for run in bare) else ["".join(bare)]


def _stem_of(word: str) -> tuple[str, str]:
    """The letters to be read and the ending to be said after them."""
    for parts in take_apart(word) if "'" in word else ():
        if parts.ending != "in":
            return parts.known[0].replace("'", ""), parts.ending
    return word.replace("'", ""), ""


def _joined(sounds: Sequence[Sounds]) -> Sounds:
    """Words said one after the other: the most common ways of each first."""
    spoken: Sounds = ((),)
    for ways in sounds:
        ranked = sorted(
            product(enumerate(spoken), enumerate(ways)), key=lambda pair: pair[0][0] + pair[1][0]
        )
        spoken = tuple(dict.fromkeys(before + way for (_, before), (_, way) in ranked))[:MOST]
    return tuple(way for way in spoken if way)
