"""`listen`, with a recording played in for the microphone."""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from voicelog.errors import AudioError
from voicelog.hearing.listening import Heard, Partial, Unsure, Utterance
from voicelog.records import Store
from voicelog.types import Transcript, Word

Run = Callable[..., Any]


def utterance(text: str) -> Utterance:
    words = tuple(
        Word(text=word, from_s=float(at), to_s=at + 0.5, confidence=1.0)
        for at, word in enumerate(text.split())
    )
    heard = Transcript(
        text=text, words=words, alternatives=(), from_s=0.0, to_s=9.0, engine="told beforehand"
    )
    return Utterance(transcript=heard, samples=bytes(400), from_s=0.0)


@pytest.fixture
def spoken(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., tuple[str, str]]:
    """Utterances to come, and the options that let them come."""

    def to_come(*items: Heard | str) -> tuple[str, str]:
        def listen(*_: object, stopped: Callable[[], bool]) -> Iterator[Heard]:
            for item in items:
                if not stopped():
                    yield utterance(item) if isinstance(item, str) else item

        monkeypatch.setattr("voicelog.hearing.listening.listen", listen)
        from voicelog.hearing.audio import write_wav

        write_wav(tmp_path / "talk.wav", bytes(32000))
        return ("--from", str(tmp_path / "talk.wav"))

    return to_come


def test_what_is_said_is_kept_and_read_back(
    run: Run, spoken: Callable[..., tuple[str, str]], store_file: Path
) -> None:
    given = spoken("nine eggs from coop a", "juniper is limping", "what's left", "stop listening")
    ran = run("listen", *given)
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0] == "“nine eggs from coop a” — Kept: eggs gathered, coop A: eggs 9."
    assert lines[2].startswith("Caution: ")
    assert "“what's left” — " in ran.out
    assert lines[-1] == "“stop listening” — Listening has ended."
    assert "Listening; say" in ran.err
    with Store.open(str(store_file), create=False) as store:
        memos = store.memos()
        assert [memo.text for memo in memos] == ["nine eggs from coop a", "juniper is limping"]
        assert all(memo.audio for memo in memos)


def test_json_gives_an_object_a_line(run: Run, spoken: Callable[..., tuple[str, str]]) -> None:
    ran = run("listen", "--json", *spoken("nine eggs from coop a", "what's left"))
    memo, left = (json.loads(line) for line in ran.out.splitlines())
    assert (memo["sort"], memo["memo_id"], memo["records"][0]["count"]) == ("memo", 1, 9)
    assert memo["transcript"]["words"][0]["text"] == "nine"
    assert left["sort"] == "left"
    assert left["left"]


def test_words_that_are_hardly_heard_are_talked_of_and_not_kept(
    run: Run, spoken: Callable[..., tuple[str, str]], store_file: Path
) -> None:
    ran = run("listen", *spoken(Partial(text="are"), Unsure(text="are you")))
    assert (ran.code, ran.out) == (0, "")
    assert "Heard only “are you”" in ran.err
    with Store.open(str(store_file), create=False) as store:
        assert store.memos() == ()


def test_wake_words_that_cannot_be_heard_are_refused(
    run: Run, spoken: Callable[..., tuple[str, str]]
) -> None:
    ran = run("listen", "--wake", "xyzzyx", *spoken("xyzzyx nine eggs"))
    assert ran.code == 1
    assert "does not know xyzzyx" in ran.err


class ToldVoice:
    """A voice that writes down what it says."""

    def __init__(self, said: list[str], fails: bool = False) -> None:
        self._said, self._fails = said, fails

    def say(self, text: str) -> None:
        self._said.append(text)
        if self._fails:
            raise AudioError("No loudspeaker can be used.")


@pytest.mark.parametrize("fails", [False, True])
def test_aloud_says_what_the_screen_shows_and_does_without_a_voice(
    run: Run,
    spoken: Callable[..., tuple[str, str]],
    monkeypatch: pytest.MonkeyPatch,
    fails: bool,
) -> None:
    said: list[str] = []
    monkeypatch.setattr("voicelog.hearing.speaking.Voice", lambda: ToldVoice(said, fails))
    ran = run("listen", "--aloud", *spoken("nine eggs from coop a", "four eggs from coop b"))
    assert ran.code == 0
    assert said[0] == "Kept: eggs gathered, coop A: eggs 9."
    assert len(said) == (1 if fails else 2)
    assert ran.out.count("Kept:") == 2
    assert ("goes on without a voice" in ran.err) is fails


def test_aloud_without_its_extra_says_what_to_install(
    run: Run, spoken: Callable[..., tuple[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pyttsx3", None)
    ran = run("listen", "--aloud", *spoken("nine eggs"))
    assert ran.code == 1
    assert "pip install 'voicelog[voice]'" in ran.err


def test_ctrl_c_keeps_what_was_said_and_ends_well(
    run: Run, spoken: Callable[..., tuple[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    given = spoken()

    def listen(*_: object, stopped: Callable[[], bool]) -> Iterator[Heard]:
        os.kill(os.getpid(), signal.SIGINT)
        assert stopped()
        yield utterance("nine eggs from coop a")

    monkeypatch.setattr("voicelog.hearing.listening.listen", listen)
    before = signal.getsignal(signal.SIGINT)
    ran = run("listen", *given)
    assert (ran.code, "eggs 9" in ran.out) == (0, True)
    assert signal.getsignal(signal.SIGINT) is before


def test_a_device_by_number_is_a_number(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []

    class Stream:
        def __init__(self, **settings: object) -> None:
            asked.append(settings["device"])
            raise ValueError("no such device")

    stand_in = ModuleType("sounddevice")
    stand_in.RawInputStream = Stream  # type: ignore[attr-defined]
    stand_in.PortAudioError = OSError  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "sounddevice", stand_in)
    for device in ("3", "USB"):
        ran = run("listen", "--device", device)
        assert (ran.code, ran.out) == (1, "")
    assert asked == [3, "USB"]
    assert "No microphone can be opened" in ran.err


def test_a_present_that_is_none_is_told(run: Run) -> None:
    ran = run("listen", now="teatime")
    assert ran.code == 2
