"""What the package declares: every kind and slot of the contract, and every word in a sentence."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from voicelog.catalogue import Kind, SlotType, expand, load_catalogue, loader
from voicelog.understanding import Parser

DATA = Path(loader.__file__).with_name("data")
CONTRACT = {
    "feed": "feed_type amount container left_over",
    "water": "amount source container action",
    "litter": "target material action amount",
    "eggs": "count cracked dirty floor other",
    "move": "subject distance direction to",
    "fence": "action voltage fault",
    "doors": "action head_count",
    "broody": "action eggs_under chicks",
    "health": "sign severity count",
    "treatment": "what dose days withdrawal_days",
    "loss": "count cause",
    "arrival": "count how age",
    "predator": "animal sign direction",
    "treat": "what amount",
    "shade": "action",
    "brooder": "temperature action",
    "supply": "item action amount cost",
    "sale": "item amount price",
    "repair": "item action",
    "weather": "condition temperature",
    "remark": "",
}
VALUES = {
    "feed.feed_type": "layer starter grower finisher scratch grit oyster_shell",
    "feed.left_over": "empty some full",
    "water.source": "creek pond house tank rain",
    "water.action": "filled changed scrubbed checked",
    "litter.target": "nest_box floor brooder",
    "litter.material": "pine_shavings straw",
    "litter.action": "refreshed topped_up cleaned_out spot_cleaned",
    "fence.action": "off on tested repaired cleared",
    "doors.action": "let_out shut_in",
    "broody.action": "seen set moved broken_up candled hatched",
    "health.sign": "limping sneezing pale_comb mites injured pasty_vent",
    "loss.cause": "predator found_dead culled escaped sold unknown",
    "arrival.how": "hatched bought given",
    "predator.animal": "bear fox coyote raccoon weasel hawk owl snake rat dog unknown",
    "predator.sign": "sighting track scat digging hair feathers kill damage",
    "shade.action": "set_up taken_down",
    "brooder.action": "raised_lamp lowered_lamp checked",
    "supply.action": "bought used_up low opened",
}
KINDS = load_catalogue().kinds
FILES = sorted((DATA / "kinds").glob("*.toml"))


def test_every_kind_of_the_contract_is_declared() -> None:
    assert {kind.name for kind in KINDS} == set(CONTRACT)


@pytest.mark.parametrize("name", CONTRACT)
def test_every_slot_of_the_contract_is_declared(name: str) -> None:
    assert set(CONTRACT[name].split()) <= {slot.name for slot in load_catalogue().kind(name).slots}


@pytest.mark.parametrize("path", VALUES)
def test_every_value_of_the_contract_is_declared(path: str) -> None:
    kind, _, name = path.partition(".")
    slot = load_catalogue().kind(kind).slot(name)
    assert slot is not None
    assert slot.type is SlotType.CHOICE
    assert set(VALUES[path].split()) <= {value.name for value in slot.values}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_what_a_file_says_is_what_is_loaded(file: Path) -> None:
    said = tomllib.loads(file.read_text(encoding="utf-8"))
    kind = load_catalogue().kind(said.pop("kind"))
    said.pop("implies", None)
    for name, row in said.pop("slot", {}).items():
        slot = kind.slot(name)
        assert slot is not None
        for key in ("values", "alone", "helps", "only_fills"):
            row.pop(key, None)
        assert {key: _plain(getattr(slot, key)) for key in row} == row
    assert {key: _plain(getattr(kind, key)) for key in said} == said


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    if hasattr(value, "items"):
        return {key: _plain(inner) for key, inner in value.items()}
    return value


@pytest.fixture(scope="module")
def parser() -> Parser:
    return Parser()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_declared_word_can_be_said(kind: Kind, parser: Parser) -> None:
    now = datetime(2027, 5, 4, 8, 10, tzinfo=UTC)
    notations = [*kind.verbs, *kind.says, *kind.about]
    notations += [word for slot in kind.slots for value in slot.values for word in value.words] + [
        word for slot in kind.slots for word in (*slot.labels, *slot.before)
    ]
    for notation in notations:
        words = expand(notation)[0].replace("_", "the thing")
        text = f"{words} two hens"
        assert all(draft.text in text for draft in parser.parse(text, now).records)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_title_is_words_and_a_range_is_one(kind: Kind) -> None:
    for slot in kind.slots:
        assert slot.title
        assert "_" not in slot.title
        if slot.low is not None and slot.high is not None:
            assert slot.low < slot.high


def test_a_caution_says_its_source() -> None:
    catalogue = load_catalogue()
    assert {kind.caution for kind in KINDS if kind.caution} <= {c.name for c in catalogue.cautions}
    assert all(caution.text and caution.source for caution in catalogue.cautions)


def test_what_is_not_declared_has_no_name() -> None:
    with pytest.raises(KeyError):
        load_catalogue().kind("dragon")
    with pytest.raises(KeyError):
        load_catalogue().caution("dragon")
    assert KINDS[0].slot("dragon") is None
