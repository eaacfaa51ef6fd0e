"""No module lists words of the trade: they are declared in the catalogue's data alone."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from voicelog.catalogue import expand, load_catalogue

PACKAGE = Path(__file__).resolve().parents[2] / "voicelog"
SLOTS_OF_THE_TRADE = {
    "feed": ("feed_type", "container"),
    "water": ("container",),
    "litter": ("target", "material"),
    "health": ("sign",),
    "predator": ("animal",),
    "treat": ("what",),
    "treatment": ("what",),
    "repair": ("item",),
}
"""Slots whose values are things of the trade; actions and counts share their words with English."""

SHARED = frozenset(
    # Names of fields that every record has, and words the language needs for other things.
    """
    bird birds flock flocks mash run well corn something unknown dull sick ill wrong torn
    lay net reading breakfast supper electric forecast outside layer layers hide down
    right better worse hook handle lid board window rope valve wheel gate roof door
    dish pan nest bread rice leaves sand chips dry weather second clear fresh present
    """.split()  # noqa: SIM905
)


def _declared() -> frozenset[str]:
    """Single words by which the catalogue names things of the trade."""
    catalogue = load_catalogue()
    notations: list[str] = [word for group in catalogue.classes for word in group.words]
    notations += catalogue.breeds
    for kind in catalogue.kinds:
        notations += kind.about
        for name in SLOTS_OF_THE_TRADE.get(kind.name, ()):
            slot = kind.slot(name)
            assert slot is not None
            notations += [word for value in slot.values for word in value.words]
    words = {form for notation in notations for form in expand(notation)}
    return frozenset({word for word in words if word.isalpha() and len(word) > 2} - SHARED)


def _strings(path: Path) -> list[tuple[int, str]]:
    """Texts in a file that are no docstring and no list of the names it exports."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    docs |= {
        id(name)
        for node in tree.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
        for name in ast.walk(node.value)
    }
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
    ]


def _listed_words(text: str) -> list[str]:
    """The words of a text that is a word, or a list of bare words to be split."""
    bare = re.fullmatch(r"[a-z_]+(\s+[a-z_]+)*", text.strip())
    return re.split(r"[\s_]+", text.strip()) if bare else []


FILES = sorted(path for path in PACKAGE.rglob("*.py"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_module_lists_no_word_of_the_trade(path: Path) -> None:
    declared = _declared()
    found = [
        f"line {line}: {word!r}"
        for line, text in _strings(path)
        for word in _listed_words(text)
        if word in declared
    ]
    assert not found, f"words of the trade belong into the catalogue's data: {found}"
