"""Sentences, voices and paces of the jobs."""

import random

import pytest
from speech_jobs import (
    HIGHEST,
    LOWEST,
    jobs,
    language,
    mixture,
    opened,
    speed,
    stretched,
    written,
)

VOICES = ["af_one", "am_two", "bf_three", "jf_four", "zm_five", "ef_six"]


def test_a_sentence_is_written_as_one_would():
    chance = random.Random(1)
    assert written("i think i'm late", chance) == "I think I'm late."
    assert written("over at coop a", chance) == "Over at coop A."
    asked = {written("did they lay today", chance) for _ in range(40)}
    assert asked == {"Did they lay today?", "Did they lay today."}


def test_a_pause_may_stand_before_a_joining_word_and_changes_no_word():
    chance = random.Random(2)
    seen = {written("four here and six there", chance) for _ in range(100)}
    assert seen == {"Four here and six there.", "Four here, and six there."}


def test_weights_of_a_mixture_add_up_and_stay_in_bounds():
    chance = random.Random(3)
    made = [mixture(VOICES, chance) for _ in range(3000)]
    for voices in made:
        assert sum(weight for _, weight in voices) == pytest.approx(1, abs=1e-6)
        assert all(LOWEST - 0.005 <= weight <= HIGHEST + 0.005 for _, weight in voices)
        assert len({name for name, _ in voices}) == len(voices)
    singles = [voices[0][0] for voices in made if len(voices) == 1]
    english = sum(name[0] in "ab" for name in singles)
    assert english / len(made) == pytest.approx(0.25, abs=0.03)
    assert (len(singles) - english) / len(made) == pytest.approx(0.15, abs=0.03)
    assert any(weight < 0 for voices in made for _, weight in voices)


def test_stretching_keeps_the_sum_and_stops_at_the_bounds():
    got = stretched([0.9, 0.1], 3.0)
    assert sum(got) == pytest.approx(1)
    assert got == pytest.approx([1.2, -0.2])


def test_paces_lie_in_their_range():
    chance = random.Random(4)
    paces = [speed(chance) for _ in range(2000)]
    assert min(paces) >= 0.75
    assert max(paces) <= 1.35


def test_the_strongest_voice_sets_the_pronunciation():
    assert language([("bf_three", 0.6), ("af_one", 0.4)]) == "en-gb"
    assert language([("bf_three", 0.4), ("jf_four", 0.6)]) == "en-us"


def test_the_same_seed_makes_the_same_jobs_and_every_text_has_its_turn():
    pytest.importorskip("kokoro_onnx")
    texts = ["one fine day", "two fine days", "what a day"]
    first = list(jobs(texts, VOICES, 6, seed=5))
    assert first == list(jobs(texts, VOICES, 6, seed=5))
    assert sorted(job.text for job in first) == sorted(texts * 2)
    assert all(0 < len(job.tokens) <= 400 for job in first)
    assert first[0].id == "5-000000"


def test_a_file_is_compressed_by_its_name(tmp_path):
    for name in ("a.jsonl", "a.jsonl.gz"):
        with opened(tmp_path / name, "w") as file:
            file.write("é\n")
        with opened(tmp_path / name, "r") as file:
            assert file.read() == "é\n"
    assert (tmp_path / "a.jsonl.gz").read_bytes()[:2] == b"\x1f\x8b"
