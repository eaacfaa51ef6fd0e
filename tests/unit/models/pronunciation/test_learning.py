"""Letters find their sounds, n-grams stay chances, and the figures count what they say."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from models.pronunciation.alignment import Alignment
from models.pronunciation.dictionary import Entry, is_held_out, is_spelled_by_rule
from models.pronunciation.evaluate import compare, distance, held_out, letter_by_letter
from models.pronunciation.ngrams import Order, estimate, prune
from voicelog.hearing.building.pronouncing import SPELLING_FILE
from voicelog.hearing.building.spelling_to_sound import load_spelling_model
from voicelog.hearing.model_folder import carried_model

S, H, IH, P, K, SH = range(1, 7)
PAIRS = [
    ("ship", [SH, IH, P]),
    ("hip", [H, IH, P]),
    ("sip", [S, IH, P]),
    ("fish", [K, IH, SH]),
    ("pix", [P, IH, K, S]),
    ("hix", [H, IH, K, S]),
    ("six", [S, IH, K, S]),
]


def test_letters_are_aligned_with_their_phones() -> None:
    alignment = Alignment(phone_count=6)
    first = alignment.learn(PAIRS, 1)
    assert alignment.learn(PAIRS, 10) > first
    best = alignment.best([("ship", [SH, IH, P]), ("pix", [P, IH, K, S])])
    assert best[0] in ([(SH,), (), (IH,), (P,)], [(), (SH,), (IH,), (P,)])
    assert best[1] == [(P,), (IH,), (K, S)]


def test_a_word_with_too_many_phones_has_no_alignment() -> None:
    alignment = Alignment(phone_count=6)
    alignment.learn(PAIRS, 5)
    alignment.drop_rare(PAIRS, 0.5)
    assert alignment.best([("p", [P, IH, K, S])]) == [None]


def _chance(orders: list[Order], tokens: tuple[int, ...]) -> float:
    """The chance of the last token after the others, by what backing off means; slow and plain."""
    weight = 0.0
    for start in range(len(tokens)):
        part = tokens[start:]
        order = orders[len(part) - 1]
        at = np.flatnonzero(order.keys == int.from_bytes(bytes(part), "big"))
        if at.size:
            return float(np.exp(weight + order.chance[at[0]]))
        below = orders[len(part) - 2]
        at = np.flatnonzero(below.keys == int.from_bytes(bytes(part[:-1]), "big"))
        weight += float(below.backoff[at[0]]) if at.size else 0.0
    raise AssertionError(f"token {tokens[-1]} has no chance of its own")


@pytest.mark.parametrize("least", [0.0, 0.5, 2.0])
def test_the_chances_after_each_history_add_up_to_one(least: float) -> None:
    random = np.random.default_rng(5)
    sequences = [
        bytes(random.choice([1, 1, 2, 3, 4], size=random.integers(2, 7)).tolist())
        for _ in range(200)
    ]
    whole = estimate(sequences, 3, vocabulary=5)
    orders = prune(whole, least)
    kept, all_of_them = (sum(len(order.keys) for order in each) for each in (orders, whole))
    assert (kept < all_of_them) == (least > 0)
    for size in (1, 2):
        for key in orders[size - 1].keys:
            history = tuple(int(key).to_bytes(size, "big"))
            if history[-1] != 255:
                total = sum(_chance(orders, (*history, token)) for token in (1, 2, 3, 4, 255))
                assert total == pytest.approx(1.0, abs=1e-6), history


def test_distance_counts_changes() -> None:
    assert distance("kitten", "sitting") == 3
    assert distance((), ("K", "UW", "P")) == 3
    assert distance(("HH", "EH", "N"), ("HH", "EH", "N")) == 0


def test_errors_are_counted_against_the_nearest_listed_way() -> None:
    entries = [
        Entry(word="one", sounds=(("W", "AH", "N"), ("W", "AO", "N"))),
        Entry(word="two", sounds=(("T", "UW"),)),
    ]
    said = [[("W", "AO", "N")], [("T", "W", "OW"), ("T", "UW")]]
    figures = compare(entries, said)
    assert (figures.words, figures.wrong_words, figures.wrong_twice) == (2, 1, 0)
    assert (figures.phones, figures.wrong_phones) == (5, 2)


def test_the_baseline_gives_each_letter_its_usual_sound() -> None:
    say = letter_by_letter([("hen", [("HH",), ("EH",), ("N",)]), ("he", [("HH",), ("IY",)]),
                            ("we", [("W",), ("IY",)])])  # fmt: skip
    assert say("hewn") == ("HH", "IY", "W", "N")


@pytest.mark.parametrize(
    ("word", "sound", "kept"),
    [
        ("hen", "HH EH N", True),
        ("bbc", "B IY B IY S IY", False),
        ("usa", "Y UW EH S EY", False),
        ("hen's", "HH EH N Z", False),
        ("a", "AH", False),
        ("hmm", "HH M", False),
    ],
)
def test_abbreviations_and_signs_are_left_out(word: str, sound: str, kept: bool) -> None:
    assert is_spelled_by_rule(Entry(word=word, sounds=(tuple(sound.split()),))) is kept


def test_one_word_in_twenty_is_held_out_whatever_its_case() -> None:
    pairs = product("abcdefghijklmnopqrst", "aeiouhlrwy", "bdfgklmnpt")
    words = ["".join(letters) for letters in pairs]
    share = sum(map(is_held_out, words)) / len(words)
    assert 0.03 < share < 0.07
    assert [is_held_out(word.upper()) for word in words] == [is_held_out(word) for word in words]


def test_the_carried_model_reads_words_it_never_saw() -> None:
    entries = held_out()[::6]
    model = load_spelling_model(carried_model() / "language" / SPELLING_FILE)
    said = [[way.phones for way in ways] for ways in model.say([e.word for e in entries])]
    figures = compare(entries, said)
    assert figures.wrong_words / figures.words < 0.30
    assert figures.wrong_phones / figures.phones < 0.075
