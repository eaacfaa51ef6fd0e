"""Speech is changed in the ways and shares that are meant, by seed, and its silence is exact."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from models.training import made_noise  # noqa: E402
from models.training.augmentation import (  # noqa: E402
    augment,
    hidden_cells,
    random_warps,
)
from models.training.dice import Dice  # noqa: E402
from models.training.features import UNWARPED  # noqa: E402
from models.training.placement import (  # noqa: E402
    LENGTH_STEP,
    PlacedSpeech,
    as_recorded,
    place,
    random_placement,
)
from models.training.recorded_noise import RecordedNoise  # noqa: E402
from models.training.sound_store import SoundStore, Utterance, load_store  # noqa: E402
from tests.unit.models.training.sounding_store import write_store  # noqa: E402

CPU = torch.device("cpu")


def _dice(seed: int = 1) -> Dice:
    return Dice(seed, CPU)


def _store_of(sound: np.ndarray) -> SoundStore:
    samples = torch.zeros(len(sound) + 64, dtype=torch.int16)
    samples[32:-32] = torch.from_numpy(np.round(sound * 32_767).astype(np.int16))
    one = Utterance(
        name="one",
        words=("mi",),
        start=32,
        samples=len(sound),
        source="s",
        speaker="",
        split="train",
    )
    return SoundStore(samples=samples, utterances=(one,), noises=(), pronunciations={}, dropped={})


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> SoundStore:
    return load_store(write_store(tmp_path_factory.mktemp("store")), CPU)


@pytest.fixture
def placed(store: SoundStore) -> PlacedSpeech:
    numbers = [number % len(store.utterances) for number in range(40)]
    return place(store, random_placement(store, numbers, np.random.default_rng(3)))


def test_as_recorded_is_the_recording_itself(store: SoundStore) -> None:
    placed = place(store, as_recorded(store, [2, 5]))
    for row, number in enumerate((2, 5)):
        one = store.utterances[number]
        sound = store.samples[one.start : one.start + one.samples] / 32_768
        assert torch.allclose(placed.sound[row, : one.samples], sound, atol=1e-6)
        assert placed.sound[row, one.samples :].abs().max() == 0
        assert int(placed.totals[row]) == one.samples


def test_a_faster_tone_is_higher_and_clean() -> None:
    time = np.arange(15 * 16_000) / 16_000
    tone = _store_of(0.5 * np.sin(2 * np.pi * 1000 * time))
    for seed in range(4):
        plan = random_placement(tone, [0], np.random.default_rng(seed))
        sound = place(tone, plan).sound[0, plan.leads[0] : plan.leads[0] + plan.bodies[0]].numpy()
        end = sound[-17_000:-1000] * np.hanning(16_000)
        spectrum = np.abs(np.fft.rfft(end, 160_000)) ** 2
        hertz = np.arange(len(spectrum)) / 10
        assert abs(hertz[spectrum.argmax()] - 1000 * plan.speeds[0]) < 1
        beside = spectrum[np.abs(hertz - 1000 * plan.speeds[0]) > 30].sum()
        assert beside < 1e-6 * spectrum.sum()


def test_a_placement_keeps_to_its_limits(store: SoundStore) -> None:
    plan = random_placement(store, list(range(12)) * 20, np.random.default_rng(1))
    assert 0.85 <= plan.speeds.min() < 0.87
    assert 1.15 < plan.speeds.max() <= 1.18
    assert plan.leads.min() >= 0
    assert 9000 < plan.leads.max() <= 9600
    assert plan.unprocessed.mean() == pytest.approx(0.15, abs=0.005)
    assert np.all(plan.speeds[plan.unprocessed] == 1)
    assert plan.samples % LENGTH_STEP == 0
    assert plan.samples >= plan.totals.max()


def test_the_same_seed_gives_the_same_sound(store: SoundStore, placed: PlacedSpeech) -> None:
    noises = RecordedNoise(store)
    first, again, other = (augment(placed, noises, _dice(seed)) for seed in (1, 1, 2))
    assert torch.equal(first, again)
    assert not torch.equal(first, other)


def test_sound_stays_on_the_grid_of_16_bits(store: SoundStore, placed: PlacedSpeech) -> None:
    sound = augment(placed, RecordedNoise(store), _dice())
    numbers = sound * 32_768
    assert torch.isfinite(sound).all()
    assert torch.equal(numbers, numbers.round())
    assert numbers.min() >= -32_768
    assert numbers.max() <= 32_767


def test_unprocessed_rows_stay_as_placed_and_the_others_do_not(
    store: SoundStore, placed: PlacedSpeech
) -> None:
    change = (augment(placed, RecordedNoise(store), _dice()) - placed.sound).abs().amax(1)
    assert int(placed.unprocessed.sum()) == 6
    assert change[placed.unprocessed].max() < 1e-4
    assert change[~placed.unprocessed].min() > 1e-3


def test_loudness_spans_more_than_thirty_decibels(placed: PlacedSpeech) -> None:
    peaks = augment(placed, None, _dice()).abs().amax(1)[~placed.unprocessed]
    assert peaks.max() / peaks.min() > 30


def test_some_rows_are_exactly_silent_around_the_speech_and_between_words() -> None:
    time = np.arange(16_000) / 16_000
    words = np.where((time < 0.4) | (time > 0.6), 0.3 * np.sin(2 * np.pi * 700 * time), 0.0)
    store = _store_of(words + 1e-4 * np.random.default_rng(1).standard_normal(16_000))
    plan = random_placement(store, [0] * 80, np.random.default_rng(2))
    placed = place(store, plan)
    sound = augment(placed, None, _dice())
    processed = ~placed.unprocessed
    around = torch.stack(
        [(row[~own] == 0).all() for row, own in zip(sound, placed.spoken, strict=True)]
    )
    middles = torch.stack(
        [
            (row[lead + body // 2 - 400 : lead + body // 2 + 400] == 0).all()
            for row, lead, body in zip(sound, plan.leads, plan.bodies, strict=True)
        ]
    )
    assert 0.2 < around[processed].float().mean() < 0.7
    assert 0.1 < middles[processed].float().mean() < 0.35
    loud = torch.stack(
        [
            row[lead + body // 5 : lead + body // 4].abs().max()
            for row, lead, body in zip(sound, plan.leads, plan.bodies, strict=True)
        ]
    )
    assert loud.min() > 1e-3


def test_noise_sorts_come_equally_often_and_short_clips_start_again(store: SoundStore) -> None:
    noises = RecordedNoise(store)
    assert noises.sorts == ("rain", "wind")
    sound = noises.stretches(400, 9000, _dice())
    assert sound.square().mean() == pytest.approx(1, rel=0.02)
    repeats = (sound[:, 4000:8000] == sound[:, :4000]).all(1)
    assert 0.4 < repeats.float().mean() < 0.6


@pytest.mark.parametrize("make", [made_noise.wind, made_noise.rain, made_noise.clatter])
def test_made_noise_has_unit_power(make: object) -> None:
    sound = make(30, 32_000, _dice())  # type: ignore[operator]
    assert sound.shape == (30, 32_000)
    assert torch.allclose(sound.square().mean(1), torch.ones(30), atol=1e-2)


def test_wind_is_low_and_drops_are_not() -> None:
    def low_share(sound: torch.Tensor) -> torch.Tensor:
        power = torch.fft.rfft(sound).abs().square().sum(0)
        return power[: 500 * 2].sum() / power.sum()

    assert low_share(made_noise.wind(20, 32_000, _dice())) > 0.9
    assert low_share(made_noise.rain(20, 32_000, _dice())) < 0.5


def test_masks_and_warps_are_mild_and_spare_the_unprocessed() -> None:
    hidden = hidden_cells(200, 300, _dice())
    assert 0.05 < hidden.float().mean() < 0.25
    unprocessed = torch.arange(300) < 100
    warps = random_warps(unprocessed, _dice())
    assert (warps[:100] == UNWARPED).all()
    assert warps[100:].unique().numel() == 9
