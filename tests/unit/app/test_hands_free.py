"""A conversation by voice, its utterances told beforehand."""

from __future__ import annotations

import wave
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from voicelog.app import Notebook, find_setting
from voicelog.app.chatting import Sort
from voicelog.app.hands_free import HandsFree, Said, wake_words
from voicelog.errors import RequestError
from voicelog.hearing.listening import Heard, Partial, Unsure, Utterance
from voicelog.types import Transcript, Word
from voicelog.understanding import Parser

FARM = """\
name = "Plum Hollow"
timezone = "America/New_York"

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"

[[chore]]
record = "eggs"
places = ["coop A", "coop B"]
every = "day"
"""


def utterance(text: str) -> Utterance:
    words = tuple(
        Word(text=word, from_s=float(at), to_s=at + 0.5, confidence=1.0)
        for at, word in enumerate(text.split())
    )
    heard = Transcript(
        text=text, words=words, alternatives=(), from_s=0.0, to_s=9.0, engine="told beforehand"
    )
    return Utterance(transcript=heard, samples=text.encode().ljust(200, b" "), from_s=0.0)


@pytest.fixture
def notebook(tmp_path: Path) -> Iterator[Notebook]:
    farm = tmp_path / "farm.toml"
    farm.write_text(FARM)
    setting = find_setting(str(tmp_path / "store.db"), farm, "2027-05-04T18:00")
    with Notebook(setting) as opened:
        yield opened


Talk = Callable[..., list[Said]]


@pytest.fixture
def talk(notebook: Notebook) -> Talk:
    def said(*texts: str, wake: tuple[str, ...] = ()) -> list[Said]:
        return list(HandsFree(notebook, wake=wake).take(utterance(text) for text in texts))

    return said


def standing(notebook: Notebook) -> list[tuple[str, object]]:
    found = [
        record
        for memo in notebook.reading.memos()
        for record in notebook.reading.records_of(memo.id)
        if not record.withdrawn
    ]
    return [(r.draft.place or "", r.draft.slots.get("count")) for r in found]


def test_each_memo_is_kept_with_its_sound_and_read_back_in_one_line(
    talk: Talk, notebook: Notebook
) -> None:
    first, second = talk("nine eggs from coop a", "four eggs from coop b")
    assert first.line == "Kept: eggs gathered, coop A: eggs 9."
    assert second.line == "Kept: eggs gathered, coop B: eggs 4."
    memos = notebook.reading.memos()
    assert [memo.text for memo in memos] == ["nine eggs from coop a", "four eggs from coop b"]
    assert {memo.source for memo in memos} == {"audio"}
    for memo in memos:
        assert memo.audio is not None
        with wave.open(str(notebook.reading.audio_file(memo.audio))) as file:
            assert file.readframes(100).decode().strip() == memo.text


def test_corrections_and_withdrawals_work(talk: Talk, notebook: Notebook) -> None:
    said = talk(
        "nine eggs from coop a", "make that twelve", "four eggs from coop b", "scratch that"
    )
    assert "is 12" in said[1].line
    assert "withdrawn" in said[3].line
    assert standing(notebook) == [("coop A", 12)]


def test_questions_are_answered(talk: Talk, notebook: Notebook) -> None:
    said = talk("nine eggs from coop a", "how many eggs today")
    assert "9" in said[1].line
    assert said[1].turn is not None
    assert said[1].turn.sort is Sort.QUESTION
    assert standing(notebook) == [("coop A", 9)]


def test_what_is_left_is_told_and_is_no_memo(talk: Talk, notebook: Notebook) -> None:
    said = talk("nine eggs from coop a", "what's left")
    assert "coop B" in said[1].line
    assert "coop A" not in said[1].line
    assert len(notebook.reading.memos()) == 1


def test_what_a_memo_warns_of_is_read_back_first(talk: Talk) -> None:
    (said,) = talk("tested the fence at one point nine kilovolts")
    warned, kept = said.line.split(" Kept: ")
    assert warned.startswith("Warning: 1.9 kV: the fence is down")
    assert "tested" in kept


def test_what_is_due_besides_is_told_with_what_is_left(talk: Talk) -> None:
    said = talk("we are low on grit", "what's left")
    assert said[1].line.endswith("Also due: buy grit.")


def test_the_list_can_be_shown_and_corrected_by_number(talk: Talk, notebook: Notebook) -> None:
    said = talk("nine eggs from coop a", "show me today", "number one twelve")
    assert said[1].line == "1 record, 0 in doubt."
    assert standing(notebook) == [("coop A", 12)]
    assert said[2].line


def test_it_ends_when_told_and_hears_nothing_after(talk: Talk, notebook: Notebook) -> None:
    said = talk("nine eggs from coop a", "stop listening", "four eggs from coop b")
    assert [one.text for one in said] == ["nine eggs from coop a", "stop listening"]
    assert said[1].line == "Listening has ended."
    assert len(notebook.reading.memos()) == 1


def test_with_wake_words_only_memos_that_begin_with_them_are_kept(
    talk: Talk, notebook: Notebook
) -> None:
    said = talk(
        "nine eggs from coop a",
        "dear diary four eggs from coop b",
        "dear diary",
        "dear diary stop listening",
        wake=("dear", "diary"),
    )
    assert [one.text for one in said] == ["four eggs from coop b", "stop listening"]
    assert [memo.text for memo in notebook.reading.memos()] == ["four eggs from coop b"]


def test_words_so_far_and_unsure_ones_are_shown_and_not_kept(notebook: Notebook) -> None:
    shown: list[str] = []
    unsure: list[str] = []
    heard: list[Heard] = [Partial(text="nine"), Unsure(text="are you"), Partial(text="")]
    hands_free = HandsFree(notebook, partly=shown.append, unsure=unsure.append)
    assert list(hands_free.take(heard)) == []
    assert (shown, unsure) == (["nine", ""], ["are you"])
    assert not notebook.setting.store_exists


def test_with_wake_words_talk_to_others_is_not_shown(notebook: Notebook) -> None:
    shown: list[str] = []
    hands_free = HandsFree(notebook, wake=("dear", "diary"), partly=shown.append)
    texts = ("hello", "dear", "dear you", "dear diary four")
    assert list(hands_free.take(Partial(text=text) for text in texts)) == []
    assert shown == ["", "dear", "", "dear diary four"]


def test_a_memo_that_breaks_the_parser_is_kept_and_listening_goes_on(
    talk: Talk, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    parse = Parser.parse

    def broken(self: Parser, said: Transcript | str, *rest: object) -> object:
        if "boom" in (said if isinstance(said, str) else said.text):
            raise ZeroDivisionError("no such thing")
        return parse(self, said, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(Parser, "parse", broken)
    first, second = talk("boom nine eggs", "four eggs from coop b")
    assert first.turn is None
    assert "kept as memo 1" in first.line
    assert second.line == "Kept: eggs gathered, coop B: eggs 4."
    assert len(notebook.reading.memos()) == 2


def test_a_fault_in_the_farm_file_keeps_the_memo(talk: Talk, notebook: Notebook) -> None:
    notebook.setting.farm_path.write_text(FARM.replace('kind = "coop"', 'kind = "castle"'))
    (said,) = talk("nine eggs from coop a")
    assert "kept whole as memo 1" in said.line
    assert said.turn is None


class Vocabulary:
    """Stands for a recogniser."""

    def knows(self, word: str) -> bool:
        return word in {"dear", "diary", "o'clock"}


def test_wake_words_must_be_in_the_vocabulary() -> None:
    known = Vocabulary()
    assert wake_words("  Dear DIARY ", known) == ("dear", "diary")  # type: ignore[arg-type]
    assert wake_words("o’clock", known) == ("o'clock",)  # type: ignore[arg-type]
    with pytest.raises(RequestError, match="does not know xyzzy"):
        wake_words("dear xyzzy", known)  # type: ignore[arg-type]
    with pytest.raises(RequestError, match="No word"):
        wake_words(" ", known)  # type: ignore[arg-type]
