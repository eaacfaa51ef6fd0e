"""Questions of every sort in many words, each answered from the records alone."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from voicelog.answering import answer
from voicelog.farm import Farm
from voicelog.records import Store
from voicelog.types import Quantity

NOW = "10 12:00"
"""A Thursday at noon, unless a row says otherwise; that day's eggs are not gathered yet."""


def at(text: str) -> datetime:
    """A moment of June 2027 on the farm's clock."""
    moment = datetime.fromisoformat(f"2027-06-{text}")
    return moment.replace(tzinfo=ZoneInfo("America/Halifax"))


NUMBERS = [
    ("what's the total of eggs from gull this week", 36, "egg"),
    ("tell me how many eggs tern gave on sunday", 7, "egg"),
    ("number of eggs gathered on june fourth", 21, "egg"),
    ("how many eggs were collected between june first and june third", 51, "egg"),
    ("how many eggs did the hens lay yesterday", 20, "egg"),
    ("how many broken eggs were there this week", 2, "egg"),
    ("how many dirty ones did we find this week", 3, "egg"),
    ("how much layer has gull eaten this week", 12, "scoop"),
    ("how many pounds of feed went to the chick pen on tuesday", 6, "pound"),
    ("how many pounds of layer did tern get last week", 24, "pound"),
    ("how many gallons of water did gull coop get this week", 25, "gallon"),
    ("how much water did we haul this week", 5, "bucket"),
    ("how much did we spend on feed", 78.5, "dollar"),
    ("how much did the straw cost", 14, "dollar"),
    ("what did we pay for layer feed", 60, "dollar"),
    ("how much have we spent this month", 92.5, "dollar"),
    ("how much did we earn from eggs", 37, "dollar"),
    ("how much money did we take in this week", 12, "dollar"),
    ("how many eggs did we sell this month", 90, "egg"),
    ("how many dozen did we sell in june", 7.5, "dozen"),
    ("how many bags of layer feed did we buy", 3, "bag"),
    ("how many hens did we lose this month", 2, "hen"),
    ("how many chicks have died", 3, "chick"),
    ("how many birds have we lost", 5, "bird"),
    ("how many chicks arrived", 24, "chick"),
    ("how far did we move gull on tuesday", 40, "foot"),
    ("how many eggs is thimble sitting on", 11, "egg"),
    ("what was the last fence reading", 3.9, "kV"),
    ("what did the fence read on monday", 6.4, "kV"),
    ("how hot is the brooder", 87, "degree"),
    ("what is the temperature in the brooder", 87, "degree"),
    ("what was the brooder temperature on monday", 90, "degree"),
    ("how many days of withdrawal does saffron's antibiotic have", 10, "day"),
    ("how many times did we test the fence this week", 2, "time"),
    ("how often has saffron had the antibiotic", 2, "time"),
    ("how many times was the gull coop moved this month", 2, "time"),
    ("how frequently did we feed tern this week", 3, "time"),
    ("on average how many eggs a day did we get last week", 15, "egg"),
    ("average eggs per day from tern last week", 6.4286, "egg"),
    ("what's the average fence reading this month", 4.8333, "kV"),
    ("what was the lowest fence voltage this month", 3.9, "kV"),
    ("what was the strongest reading on the fence", 6.4, "kV"),
    ("what is the most eggs we got in one day", 23, "egg"),
    ("how long ago was gull last moved", 2, "day"),
    ("how many days since we cleaned out tern", 2, "day"),
    ("how long has it been since the drinker in gull was scrubbed", 4, "day"),
    ("how long since we lost any hens", 6, "day"),
    ("days since the last owl", 3, "day"),
    ("how many more eggs did gull lay than tern last week", 15, "egg"),
    ("what's the difference between gull and tern in eggs last week", 15, "egg"),
    ("compare eggs from tern and gull yesterday", -4, "egg"),
    ("did we get more eggs yesterday than on monday", 0, "egg"),
    ("how much more layer did gull get than tern last week", 6, "scoop"),
]


@pytest.mark.parametrize(("question", "value", "unit"), NUMBERS, ids=[row[0] for row in NUMBERS])
def test_a_number(question: str, value: float, unit: str, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert (got.value, got.unit) == (value, unit), got.text
    assert got.evidence


TIMES = [
    ("when was the gull coop last moved", "08 12:00"),
    ("when did we last clean out tern", "08 11:00"),
    ("what day did the chicks come", "01 09:00"),
    ("when did thimble go broody", "02 12:00"),
    ("when was nettle broken up", "07 12:00"),
    ("when did we last see an owl", "07 21:00"),
    ("when did you last give the hens melon", "06 15:00"),
    ("do you know when the fence was last switched off", "08 07:00"),
    ("when was straw last bought", "05 14:05"),
    ("what time did we shut in last night", "09 20:40"),
    ("when did we let them out this morning", "10 06:40"),
    ("when did saffron start sneezing", "05 15:00"),
    ("when did we first test the fence", "05 09:00"),
    ("when were the nest boxes in the east row last done", "05 10:00"),
    ("when did we last sell eggs", "09 11:00"),
    ("when was the last time we fed grower", "08 08:00"),
    ("when will tern be moved", "12 00:00"),
    ("when is tern going to the marsh paddock", "12 00:00"),
    ("when are the pullets coming", "14 00:00"),
    ("when are we supposed to fix the latch on gull", "08 00:00"),
    ("which day last week had the most eggs", "04 00:00"),
    ("what day had the fewest eggs this month", "03 00:00"),
    ("when did gull lay the most eggs", "08 00:00"),
]


@pytest.mark.parametrize(("question", "moment"), TIMES, ids=[row[0] for row in TIMES])
def test_a_time(question: str, moment: str, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert isinstance(got.value, datetime), got.text
    assert got.value == at(moment), got.text
    assert got.unit is None
    assert got.evidence


NAMES = [
    ("which coops haven't been fed today", {"Tern coop", "Plover coop"}),
    ("what coops still need feeding today", {"Tern coop", "Plover coop"}),
    ("which coops were not moved this week", {"Tern coop", "Plover coop"}),
    ("which nest rows haven't been done this week", {"east row"}),
    ("which hens have not been broody", {"Saffron"}),
    ("which birds have never been ill", {"Thimble", "Nettle"}),
    ("where is the gull coop", {"dune paddock"}),
    ("which paddock is gull in", {"dune paddock"}),
    ("where's the fence now", {"marsh paddock"}),
    ("where is thimble", {"boat shed"}),
    ("where did the owl turn up", {"dune paddock"}),
    ("where did we lose the chicks", {"brooder"}),
    ("who has been sneezing", {"Saffron"}),
    ("which bird has a pale comb", {"Admiral"}),
    ("which hens have gone broody this month", {"Thimble", "Nettle"}),
    ("who got the antibiotic", {"Saffron"}),
    ("who fixed the ramp", {"Odile"}),
    ("who cleaned out tern", {"Fenn"}),
    ("who shut the hens in last night", {"Odile"}),
    ("what predators have we had", {"owl", "fox"}),
    ("what animals came by this week", {"owl"}),
    ("what are we low on", {"straw"}),
    ("what did we buy on saturday", {"starter", "straw"}),
    ("what have we bought this month", {"layer feed", "starter", "straw"}),
    ("which treats did the hens get this month", {"melon", "kale"}),
    ("what treats did we give this week", {"kale"}),
    ("what did gull get as a treat", {"kale"}),
    ("what is wrong with admiral", {"pale_comb"}),
    ("what was saffron treated with", {"antibiotic"}),
    ("what did we fix this week", {"ramp"}),
    ("what was the weather like yesterday", {"hot"}),
    ("what killed the hens", {"predator"}),
    ("which coop laid the least eggs last week", {"Tern coop"}),
    ("which coop gives the most eggs", {"Gull coop"}),
    ("which coops were fed today", {"Gull coop"}),
    ("what do we have to buy", {"oyster shell"}),
    ("what needs fixing", {"latch"}),
    ("what is coming up next week", {"arrival"}),
    ("what's planned for tern", {"move"}),
    ("what have we got planned for gull", {"repair"}),
    ("what is planned for plover", set()),
    ("which way did we move gull on tuesday", {"ne"}),
    ("where did the water come from on monday", {"pond"}),
]


@pytest.mark.parametrize(("question", "names"), NAMES, ids=[row[0] for row in NAMES])
def test_names(question: str, names: set[str], kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert isinstance(got.value, tuple), got.text
    assert set(got.value) == names, got.text
    assert got.unit is None
    assert got.evidence or not names


WHETHER = [
    ("did we feed gull today", True),
    ("did anyone feed tern this morning", False),
    ("has tern been fed today", False),
    ("has plover been fed today", None),
    ("did we move tern yesterday", False),
    ("have we moved gull this week", True),
    ("is the fence live", True),
    ("is the fence off", False),
    ("is the shade still up at tern", True),
    ("is nettle still broody", False),
    ("is thimble broody", True),
    ("are the hens out", True),
    ("was the fence off on tuesday", True),
    ("did we see a fox this month", True),
    ("have you seen a bear", None),
    ("did the hens get melon on sunday", True),
    ("did saffron get her antibiotic on monday", True),
    ("did anybody buy grit", None),
    ("are we out of straw", True),
    ("are we low on starter", False),
    ("have thimble's eggs hatched", None),
    ("did we scrub the drinker in gull this week", None),
    ("was there any fog this week", True),
    ("did everybody get shut in last night", True),
    ("is tern being moved this saturday", True),
    ("are any pullets coming", True),
]


@pytest.mark.parametrize(("question", "value"), WHETHER, ids=[row[0] for row in WHETHER])
def test_whether(question: str, value: bool | None, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert got.value is value, got.text
    assert bool(got.evidence) is (value is not None)
    assert got.understood
    assert value is not None or "no record" in got.text.lower()


NOTHING = [
    "how many eggs did plover lay this week",
    "when did saffron go broody",
    "how much did we pay for grit",
    "how many eggs did we get in may",
    "when is the brooder going to be cleaned out",
    "who fed gull today",
    "how long since we saw a weasel",
    "what was the fence reading on tuesday",
    "how many cocks have we lost",
    "where did we see coyote tracks",
    "what is admiral's withdrawal time",
]


@pytest.mark.parametrize("question", NOTHING)
def test_nothing_recorded(question: str, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert got.value is None, got.text
    assert got.unit is None
    assert got.understood
    assert "no record" in got.text.lower()
    assert got.evidence == ()


NOT_UNDERSTOOD = [
    "sing me a song about the sea",
    "what is the meaning of life",
    "why is the sky blue",
    "how do i get to the station",
    "who won the match",
    "",
    "???",
]


@pytest.mark.parametrize("question", NOT_UNDERSTOOD)
def test_not_understood(question: str, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert not got.understood
    assert got.value is None
    assert "not understand" in got.text


def test_two_things_asked_for(kept: Store, saltgrass: Farm) -> None:
    got = answer("how many eggs and how many dirty ones from tern yesterday", kept, saltgrass,
                 at(NOW))  # fmt: skip
    assert got.value == (Quantity(value=8, unit="egg"), Quantity(value=3, unit="egg"))
    assert got.unit is None


def test_what_is_said_later_is_not_seen(kept: Store, saltgrass: Farm) -> None:
    question = "what was the highest egg count from gull on one day"
    assert answer(question, kept, saltgrass, at(NOW)).value == 13
    assert answer(question, kept, saltgrass, at("21 12:00")).value == 99


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("can we eat saffron's eggs", False),
        ("is it safe to eat the eggs", False),
        ("are the eggs still in withdrawal", True),
    ],
)
def test_eggs_kept_back(question: str, value: bool, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, at(NOW))
    assert got.value is value, got.text
    # Three days from the sixth end on the eighth; ten days more are the eighteenth.
    assert got.to == at("19 00:00")
    assert "label" in got.text
    assert "vet" in got.text
    assert got.evidence


def test_until_when_eggs_are_kept_back(kept: Store, saltgrass: Farm) -> None:
    got = answer("when can we eat the eggs again", kept, saltgrass, at(NOW))
    assert got.value == at("19 00:00")
    left = answer("how many days of withdrawal are left", kept, saltgrass, at(NOW))
    assert (left.value, left.unit) == (9, "day")


def test_what_is_left(kept: Store, saltgrass: Farm) -> None:
    got = answer("what's left to do today", kept, saltgrass, at(NOW))
    assert isinstance(got.value, tuple)
    assert any("Plover coop" in task for task in got.value)
    assert not any("Gull coop" in task and "feed" in task for task in got.value)


def test_at_most_twenty_memos_are_shown_newest_first(kept: Store, saltgrass: Farm) -> None:
    got = answer("how many times have we let them out or fed gull this month", kept, saltgrass,
                 at(NOW))  # fmt: skip
    shown = [one.when.from_ for one in answer("how many eggs this month", kept, saltgrass,
                                              at("11 12:00")).evidence]  # fmt: skip
    assert len(shown) == 20
    assert shown == sorted(shown, reverse=True)
    assert got.value
