"""Reads everything that is declared, for those who want to know all faults at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from importlib.resources.abc import Traversable

from voicelog.catalogue.asking import read_asking
from voicelog.catalogue.faults import CatalogueFault, CatalogueFaultsError
from voicelog.catalogue.laying import read_laying
from voicelog.catalogue.loader import read_catalogue, read_word_lists
from voicelog.catalogue.predation import read_predation
from voicelog.catalogue.schema import Catalogue
from voicelog.catalogue.species import read_species
from voicelog.catalogue.stated import STATED, read_stated
from voicelog.catalogue.trade_questions import read_trade_questions
from voicelog.catalogue.watching import read_watching


def check_catalogue(folder: Traversable | None = None) -> Catalogue:
    """The catalogue, after every data file of a folder (the package's own) has been read.

    What asking.toml, laying.toml and watching.toml say of kinds and slots is looked at once those
    are sound.

    Raises:
        CatalogueFaultsError: files have faults; all of them are told.
    """
    folder = folder or files("voicelog.catalogue") / "data"
    faults: list[CatalogueFault] = []
    catalogue: Catalogue | None = None
    with _gathering(faults):
        catalogue = read_catalogue(folder)
    with _gathering(faults):
        read_word_lists(folder)
    if catalogue is not None:
        with _gathering(faults):
            read_asking(folder / "asking.toml", catalogue)
        with _gathering(faults):
            read_laying(folder / "laying.toml", catalogue)
        with _gathering(faults):
            read_trade_questions(folder / "trade_questions.toml", catalogue)
        with _gathering(faults):
            read_watching(folder / "watching.toml", catalogue)
        _check_tables(folder / "husbandry", catalogue, faults)
    if catalogue is None or faults:
        raise CatalogueFaultsError("The catalogue", faults)
    return catalogue


def _check_tables(folder: Traversable, catalogue: Catalogue, faults: list[CatalogueFault]) -> None:
    """Read the tables of figures, birds and animals."""
    for name in STATED:
        with _gathering(faults):
            read_stated(folder / f"{name}.toml", catalogue)
    with _gathering(faults):
        read_species(folder / "species.toml")
    with _gathering(faults):
        read_predation(folder / "predators.toml", catalogue)


@contextmanager
def _gathering(faults: list[CatalogueFault]) -> Iterator[None]:
    try:
        yield
    except CatalogueFaultsError as problem:
        faults.extend(problem.faults)
