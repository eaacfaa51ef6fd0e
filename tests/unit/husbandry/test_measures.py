"""Amounts in other units: the farm's own measures, counts and ordinary units."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.farm import Measure
from voicelog.types import Quantity

SCOOP = Measure(unit="scoop", of="layer", holds="3.2 lb")
BAG = Measure(unit="bag", holds="50 lb")
SACK = Measure(unit="sack", holds="20 scoops")
MEASURES = (SCOOP, Measure(unit="scoop", of="grit", holds="4 lb"), BAG, SACK)

MASS = ("ounce", "pound", "gram", "kilogram", "ton", "metric ton", "hundredweight")
VOLUME = ("cup", "pint", "quart", "gallon", "litre", "millilitre", "bushel", "cubic foot")
LENGTH = ("inch", "foot", "yard", "metre", "mile")
amounts = st.floats(min_value=1e-3, max_value=1e6)


def _in(value: float, unit: str, wish: str, *of: str) -> float | None:
    return husbandry.converted(value, unit, wish, MEASURES, of)


@pytest.mark.parametrize(
    ("value", "unit", "wish", "of", "expected"),
    [
        (2, "scoop", "pound", ("layer",), 6.4),
        (2, "scoops", "lb", ("layer feed",), 6.4),
        (2, "scoop", "lb", ("grit",), 8),
        (6.4, "pound", "scoop", ("layer",), 2),
        (1, "bag", "scoop", ("layer",), 15.625),
        (1, "sack", "pound", ("layer",), 64),
        (64, "pound", "sack", ("layer",), 1),
        (1, "bag", "ounce", (), 800),
        (3, "dozen", "egg", (), 36),
        (1, "flat", "dozen", (), 2.5),
        (5, "gallon", "pint", (), 40),
        (90, "fahrenheit", "celsius", (), 32.2222),
        (250, "cent", "dollar", (), 2.5),
        (3, "scoop", "scoop", (), 3),
    ],
)
def test_an_amount_in_another_unit(
    value: float, unit: str, wish: str, of: tuple[str, ...], expected: float
) -> None:
    assert _in(value, unit, wish, *of) == pytest.approx(expected, abs=1e-4)


def test_a_measure_weighed_with_the_stuff_goes_before_one_of_anything() -> None:
    general = Measure(unit="scoop", holds="2 lb")
    assert husbandry.converted(1, "scoop", "pound", (general, SCOOP), ("layer",)) == 3.2
    assert husbandry.converted(1, "scoop", "pound", (general, SCOOP), ("wheat",)) == 2


def test_the_farms_own_count_goes_before_the_usual_one() -> None:
    of_twenty = (Measure(unit="flat", holds="20 eggs"),)
    assert husbandry.converted(3, "flat", "egg", of_twenty) == 60
    assert husbandry.converted(60, "egg", "flat", of_twenty) == 3


def test_a_word_that_a_measure_names_is_no_single_thing() -> None:
    hopper = (Measure(unit="hopper", of="layer", holds="30 lb"),)
    assert husbandry.converted(2, "hopper", "pound", hopper, ("layer",)) == 60
    assert husbandry.converted(2, "hopper", "dozen", hopper, ("wheat",)) is None


@pytest.mark.parametrize(
    ("unit", "wish"),
    [("pound", "foot"), ("scoop", "dollar"), ("dollar", "euro"), ("pound", "egg"), ("can", "jar")],
)
def test_what_does_not_convert_gives_nothing(unit: str, wish: str) -> None:
    assert _in(1, unit, wish, "layer") is None
    with pytest.raises(RequestError):
        husbandry.convert(Quantity(value=1, unit=unit), wish, MEASURES, ("layer",))


@given(value=amounts, units=st.sampled_from([MASS, VOLUME, LENGTH]), picks=st.data())
def test_there_and_back_is_the_same(
    value: float, units: tuple[str, ...], picks: st.DataObject
) -> None:
    unit, wish = picks.draw(st.sampled_from(units)), picks.draw(st.sampled_from(units))
    there = husbandry.convert(Quantity(value=value, unit=unit), wish)
    assert there.unit == wish
    assert husbandry.convert(there, unit).value == pytest.approx(value)


@given(value=amounts, more=amounts, held=st.floats(0.1, 100), picks=st.data())
def test_measures_keep_the_order_and_go_back(
    value: float, more: float, held: float, picks: st.DataObject
) -> None:
    wish = picks.draw(st.sampled_from(MASS))
    measures = (Measure(unit="scoop", holds=f"{held!r} lb"),)
    there = husbandry.convert(Quantity(value=value, unit="scoop"), wish, measures)
    assert husbandry.convert(there, "scoop", measures).value == pytest.approx(value)
    fuller = husbandry.convert(Quantity(value=value + more, unit="scoop"), wish, measures)
    assert fuller.value > there.value


@pytest.mark.parametrize(
    ("unit", "wish", "of", "told"),
    [
        ("bucket", "pound", ("layer",), "Weigh one level bucket"),
        ("pound", "bucket", ("layer",), "Weigh one level bucket"),
        ("scoop", "pound", ("wheat",), "What one scoop of wheat comes to is not known"),
        ("scoop", "pound", ("wheat",), "tells it of layer, grit"),
        ("gallon", "pound", ("layer",), "Weigh one level gallon"),
        ("pound", "quart", ("layer",), "Weigh one level quart"),
        ("pound", "foot", (), "do not measure the same"),
        ("dollar", "euro", (), "do not measure the same"),
    ],
)
def test_the_error_says_what_to_weigh(unit: str, wish: str, of: tuple[str, ...], told: str) -> None:
    with pytest.raises(RequestError) as refused:
        husbandry.convert(Quantity(value=2, unit=unit), wish, MEASURES, of)
    assert told in refused.value.paragraph()


@pytest.mark.parametrize(
    "holds", ["about three pounds", "3.2", "0 lb", "-1 lb", "nan lb", "inf lb"]
)
def test_a_measure_that_cannot_be_read_is_told(holds: str) -> None:
    broken = (Measure(unit="scoop", holds=holds),)
    with pytest.raises(RequestError) as refused:
        husbandry.convert(Quantity(value=1, unit="scoop"), "pound", broken)
    assert repr(holds) in refused.value.what


@pytest.mark.parametrize(
    ("mass", "volume"),
    [
        (Quantity(value=1, unit="foot"), Quantity(value=1, unit="gallon")),
        (Quantity(value=1, unit="pound"), Quantity(value=0, unit="gallon")),
        (Quantity(value=-1, unit="pound"), Quantity(value=1, unit="gallon")),
    ],
)
def test_a_weighed_volume_must_be_one(mass: Quantity, volume: Quantity) -> None:
    with pytest.raises(RequestError):
        husbandry.mass_per_volume(mass, volume, "pound", "gallon")


def test_weights_below_nothing_are_refused() -> None:
    with pytest.raises(RequestError):
        husbandry.case_weight(-24)
    with pytest.raises(RequestError):
        husbandry.weight_of_one(-24)


def test_the_units_library_is_loaded_only_where_it_is_needed() -> None:
    code = (
        "import sys; from voicelog import husbandry\n"
        "assert husbandry.converted(2, 'pound', 'ounce') == 32\n"
        "assert 'pint' not in sys.modules\n"
        "assert husbandry.converted(1, 'pound', 'gram')\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
