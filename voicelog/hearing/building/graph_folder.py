"""The files of a Vosk model folder besides the acoustic model: the `graph/` and the settings.

The graph is in two networks (`HCLr.fst`, `Gr.fst`), which the recogniser joins while it listens.
Writing is not atomic: write into a new folder and move it into its place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from voicelog.errors import ModelError
from voicelog.hearing.building import phones
from voicelog.hearing.building.fst_files import const_file, lookahead_file
from voicelog.hearing.building.grammar import grammar_transducer
from voicelog.hearing.building.lexicon_graph import lexicon_graph

if TYPE_CHECKING:
    from voicelog.hearing.building.grammar import Grammar
    from voicelog.hearing.building.phones import Pronunciation

SOUND_SETTINGS = (
    ("use-energy", "false"),
    ("num-mel-bins", "40"),
    ("num-ceps", "40"),
    ("low-freq", "20"),
    ("high-freq", "7600"),
    ("allow-upsample", "true"),
    ("allow-downsample", "true"),
    ("dither", "0.0"),
)
"""How sound becomes what the acoustic model was trained on: `conf/mfcc.conf`. Frequencies in Hz."""

SEARCH_SETTINGS = (
    ("min-active", "200"),
    ("max-active", "3000"),
    ("beam", "11.0"),
    ("lattice-beam", "6.0"),
    ("acoustic-scale", "1.0"),
    ("frame-subsampling-factor", "3"),
    ("endpoint.silence-phones", str(phones.SILENCE_NUMBER)),
    ("endpoint.rule2.min-trailing-silence", "0.5"),
    ("endpoint.rule3.min-trailing-silence", "1.0"),
    ("endpoint.rule4.min-trailing-silence", "2.0"),
)
"""How words are looked for: `conf/model.conf`. Beams in nats, times in seconds.

Of 87 memos with noise 5 dB below them and 78 demonstration memos as many words were wrong with beam
11 and 3,000 states as with 13 or 15 and 5,000 (12.5 and 1.7 %; of the 87 clean ones a word more),
and noisy memos took a sixth less time. A lattice beam of 8 or 10 changed the errors of the best of
30 readings by 0.1 % at most, and 10 took 1.6 GB of memory where speech is hard to tell.
"""


def write_graph(
    folder: Path, lexicon: Mapping[str, Sequence[Pronunciation]], grammar: Grammar
) -> None:
    """Write the files of a model's `graph/` folder into `folder`, which is made if need be.

    Words of the lexicon that the grammar lacks are not heard, unless a recogniser is given a list
    of phrases instead of the grammar.

    Raises:
        ModelError: a word of the lexicon cannot be written or pronounced, or one of the grammar
            is missing in the lexicon. Nothing has been written then.
    """
    _check_words(lexicon)
    sounds = lexicon_graph(lexicon)
    order_of_words = grammar_transducer(grammar, sounds.words)
    (folder / "phones").mkdir(parents=True, exist_ok=True)
    (folder / "HCLr.fst").write_bytes(lookahead_file(sounds.transducer, sounds.reachable))
    (folder / "Gr.fst").write_bytes(const_file(order_of_words))
    words = zip(("<eps>", *sounds.words), range(len(sounds.words) + 1), strict=True)
    _write_table(folder / "words.txt", words)
    _write_table(folder / "phones.txt", phones.phone_names())
    _write_table(folder / "phones" / "word_boundary.int", phones.word_boundaries())
    # No transition is a mere sign in this graph. A file without any byte is taken for a lost one.
    (folder / "disambig_tid.int").write_bytes(b"\n")


def write_settings(folder: Path) -> None:
    """Write the files of a model's `conf/` folder into `folder`, which is made if need be."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, settings in (("mfcc.conf", SOUND_SETTINGS), ("model.conf", SEARCH_SETTINGS)):
        text = "".join(f"--{key}={value}\n" for key, value in settings)
        (folder / name).write_bytes(text.encode())


def _check_words(words: Iterable[str]) -> None:
    """A list of words is a line each, up to the first blank."""
    for word in words:
        if not word or word == "<eps>" or any(letter.isspace() for letter in word):
            raise ModelError(
                f"{word!r} cannot be a word of a speech model.",
                todo="A word has letters and no blank; give several words as a sentence.",
            )


def _write_table(file: Path, lines: Iterable[tuple[object, object]]) -> None:
    text = "".join(f"{one} {other}\n" for one, other in lines)
    file.write_bytes(text.encode())
