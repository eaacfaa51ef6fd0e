"""Whole model folders: for any words and sentences, and for one farm's names."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from voicelog.errors import ModelError
from voicelog.hearing.building.cache import REPORT_FILE
from voicelog.hearing.building.farm_words import (
    FarmNames,
    Sounding,
    names_to_hear,
    read_default_names,
    sounding,
    sounds_of,
)
from voicelog.hearing.building.graph_folder import write_graph
from voicelog.hearing.building.language_file import LANGUAGE_FILE, read_language
from voicelog.hearing.building.names import grammar_of
from voicelog.hearing.building.ngram import train
from voicelog.hearing.building.pronouncing import Pronouncer, Sounds
from voicelog.hearing.building.spoken_form import spoken_words
from voicelog.hearing.building.whole_sentences import with_whole_sentences
from voicelog.hearing.model_folder import carried_model

if TYPE_CHECKING:
    from voicelog.hearing.building.grammar import Grammar

SHARED = ("am", "conf")
"""Folders of a model that do not depend on its words."""

_SHOWN = 5
"""Words named in an error."""


def build_model(sentences: Iterable[str], words: Iterable[str], out: Path) -> None:
    """Write a model that hears these sentences, and others of the same words less readily.

    See `voicelog.hearing.build_model`.
    """
    said = [line for line in (" ".join(spoken_words(text)) for text in sentences) if line]
    listed = [word for text in words for word in spoken_words(text)]
    vocabulary = sorted({*listed, *(word for line in said for word in line.split())})
    if not vocabulary:
        raise ModelError(
            "There are no words to make a speech model of.",
            todo="Give sentences, or words, as they are said.",
        )
    lexicon = _pronounced(vocabulary)
    # Without sentences any word may follow any other.
    grammar = with_whole_sentences(grammar_of(train(said or vocabulary, vocabulary)), said)
    with _put_in_place(out) as folder:
        for name in SHARED:
            shutil.copytree(carried_model() / name, folder / name)
        write_graph(folder / "graph", lexicon, grammar)


def write_base_graph(model: Path) -> None:
    """Write the `graph/` of a model from its `language/`, for a farm without names.

    Raises:
        ModelError: a file of `language/` is missing or damaged.
    """
    grammar, lexicon, _ = _farm_parts(FarmNames(), model)
    with _put_in_place(model / "graph", checked=False) as folder:
        write_graph(folder, lexicon, grammar)


def write_farm_model(names: FarmNames, folder: Path) -> None:
    """Write the model of a farm into a new folder.

    The acoustic model is linked where this is possible, since it is large and the same for all.

    Raises:
        ModelError: a file of the carried model is missing or damaged.
        OSError: the folder cannot be written.
    """
    model = carried_model()
    grammar, lexicon, told = _farm_parts(names, model)
    write_graph(folder / "graph", lexicon, grammar)
    for name in SHARED:
        shutil.copytree(model / name, folder / name, copy_function=_link)
    sizes = {file.name: file.stat().st_size for file in (folder / "graph").glob("*.*")}
    report = {"words": len(lexicon), "sizes": sizes, **asdict(told)}
    (folder / REPORT_FILE).write_text(json.dumps(report), "utf-8")


def _farm_parts(names: FarmNames, model: Path) -> tuple[Grammar, Mapping[str, Sounds], Sounding]:
    language = read_language(model / "language" / LANGUAGE_FILE)
    known = frozenset(language.words)
    default = read_default_names(model / "language")
    grammar = grammar_of(language, names_to_hear(names, known, default))
    likes = sounds_of(names)
    pronouncer = Pronouncer(likes, model / "language")
    lexicon = dict(zip(grammar.words, pronouncer.pronounce_all(grammar.words), strict=True))
    ordinary = [word for word in likes if word in known]
    if ordinary:
        # An ordinary word is still said as it always was where it is no name.
        usual = Pronouncer(folder=model / "language").pronounce_all(ordinary)
        for word, sounds in zip(ordinary, usual, strict=True):
            lexicon[word] = tuple(dict.fromkeys((*lexicon[word], *sounds)))
    return grammar, lexicon, sounding(names, known, pronouncer)


def _pronounced(words: Sequence[str]) -> dict[str, Sounds]:
    pronouncer = Pronouncer()
    try:
        return dict(zip(words, pronouncer.pronounce_all(words), strict=True))
    except ModelError:
        strange = [word for word in words if not _can_be_said(word, pronouncer)]
        if not strange:
            raise
    more = f" and {len(strange) - _SHOWN} more" if len(strange) > _SHOWN else ""
    raise ModelError(
        f"Words that cannot be pronounced: {', '.join(map(repr, strange[:_SHOWN]))}{more}.",
        kept="No model was written.",
        todo="Write words with the letters a to z as they are said.",
    )


def _can_be_said(word: str, pronouncer: Pronouncer) -> bool:
    try:
        return bool(pronouncer.pronounce(word))
    except ModelError:
        return False


@contextmanager
def _put_in_place(out: Path, *, checked: bool = True) -> Iterator[Path]:
    """A new folder beside `out`, which takes its place when all is written in it."""
    target = out.expanduser().resolve()
    if checked:
        _check_replaceable(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{target.name}.", dir=target.parent) as beside:
            fresh, old = Path(beside) / "new", Path(beside) / "old"
            fresh.mkdir()
            yield fresh
            if target.exists():
                target.rename(old)
            try:
                fresh.rename(target)
            except OSError:
                with suppress(OSError):
                    old.rename(target)
                raise
    except OSError as problem:
        raise ModelError(
            f"The speech model {out} cannot be written: {problem.strerror or problem}.",
            kept="What was there before is left as it was.",
            todo="Make room, or give yourself the right to write there, or name another folder.",
        ) from problem


def _check_replaceable(target: Path) -> None:
    """Only a model, or nothing, is replaced; and never the one everything is made from."""
    if not target.exists():
        return
    a_model = any((target / name).is_file() for name in ("am/final.mdl", "final.mdl"))
    empty = target.is_dir() and not any(target.iterdir())
    if target != carried_model().resolve() and (a_model or empty):
        return
    reason = "is the model that comes with voicelog" if a_model else "is there and is no model"
    raise ModelError(
        f"A speech model cannot be written to {target}, which {reason}.",
        kept="It was left as it was.",
        todo="Name a folder that is not there yet, that is empty, or that has another model.",
    )


def _link(source: str, target: str) -> None:
    for link in (os.link, os.symlink):
        with suppress(OSError, NotImplementedError):
            link(Path(source).resolve(), target)
            return
    shutil.copy2(source, target)
