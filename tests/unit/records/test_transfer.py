import json
import random

import pytest

from voicelog.errors import StoreError
from voicelog.records import Imported, NewChange, Store, Wanted
from voicelog.types import ChangeKind, Parse, Quantity, Transcript


@pytest.fixture
def full(store, say, at, draft, tmp_path):
    """A store with a row in every table."""
    recording = tmp_path / "memo.wav"
    recording.write_bytes(b"sound")
    transcript = Transcript(
        text="two", words=(), alternatives=(), from_s=0.0, to_s=1.5, engine="one"
    )
    store.keep_memo(
        said_at=at(3), text="two", source="audio", transcript=transcript, audio=recording
    )
    first, second = say(
        at(4),
        draft(count=9, birds=("Juno",), text="nine"),
        draft("feed", text="ü ☂", amount=Quantity(value=2.5, unit="scoop")),
    )
    changes = [
        NewChange(record_id=first.id, kind=ChangeKind.CORRECT, at=at(4, 9), field="count", new=12),
        NewChange(
            record_id=first.id,
            kind=ChangeKind.CORRECT,
            at=at(4, 9),
            field="birds",
            new=("Wren", "Juno"),
            memo_id=1,
        ),
        NewChange(record_id=first.id, kind=ChangeKind.CONFIRM, at=at(4, 10)),
    ]
    store.keep_changes(changes)
    again = Parse(memo="", now=at(4), records=(first.draft, draft("treat", text="corn")))
    store.keep_parse(second.memo_id, again, parser="second")
    return store


def lines_of(store):
    return list(store.export_lines())


def test_an_export_imported_is_the_same_store(full, tmp_path):
    lines = lines_of(full)
    assert {json.loads(line)["row"] for line in lines} == {
        "voicelog", "audio", "memo", "parse", "record", "superseded", "change"
    }  # fmt: skip
    recordings = tmp_path / "farm.db.audio"
    with Store.open(str(tmp_path / "other.db")) as other:
        assert other.import_lines(lines, audio=recordings) == Imported(
            memos=2, records=3, already_there=0
        )
        assert lines_of(other) == lines
        assert other.memos() == full.memos()
        everything = Wanted(include_withdrawn=True)
        assert other.find(everything) == full.find(everything)
        assert other.history(1) == full.history(1)
        assert other.check() == ()
        memo = other.memo(1)
        assert other.audio_file(memo.audio).read_bytes() == b"sound"
        assert other.keep_memo(said_at=memo.said_at, text="more", source="typed").id == 3


def test_importing_twice_adds_nothing(full):
    before = lines_of(full)
    assert full.import_lines(before) == Imported(memos=0, records=0, already_there=2)
    assert lines_of(full) == before


def test_an_import_beside_other_memos_gets_new_ids(full, at, draft, tmp_path):
    with Store.open(str(tmp_path / "other.db")) as other:
        for text in ("a", "b", "c"):
            memo = other.keep_memo(said_at=at(1), text=text, source="typed")
            other.keep_parse(
                memo.id, Parse(memo=text, now=at(1), records=(draft(text=text),)), parser="x"
            )
        other.import_lines(lines_of(full))
        assert [memo.text for memo in other.memos()] == ["a", "b", "c", "two", "nine and ü ☂"]
        nine = next(r for r in other.find(Wanted()) if r.draft.text == "nine")
        assert (nine.id, nine.memo_id) == (4, 5)
        assert nine.draft.slots["count"] == 12
        assert [change.memo_id for change in other.history(nine.id)] == [None, 4, None]
        assert ["recording" in fault.what for fault in other.check()] == [True]
        assert other.import_lines(lines_of(full)).already_there == 2


def test_equal_memos_of_one_export_are_all_kept(store, at, tmp_path):
    for _ in range(2):
        store.keep_memo(said_at=at(1), text="same", source="typed")
    lines = lines_of(store)
    with Store.open(str(tmp_path / "other.db")) as other:
        other.import_lines(lines[:2])
        assert other.import_lines(lines) == Imported(memos=1, records=0, already_there=1)
        assert len(other.memos()) == 2


@pytest.mark.parametrize(
    "lines",
    [
        [],
        ["", " "],
        ["eggs"],
        ["[]"],
        ["{}"],
        ["null"],
        ['{"row":"memo"}'],
        ['{"row":"voicelog","form":2}'],
        ['{"row":"voicelog","form":1}', '{"row":"voicelog","form":1}'],
        ['{"row":"voicelog","form":1}', '{"row":"nest"}'],
        ['{"row":"voicelog","form":1}', "[" * 100_000],
    ],
)
def test_what_is_no_export_is_refused(store, lines):
    with pytest.raises(StoreError, match=r"export"):
        store.import_lines(lines)
    assert store.memos() == ()


OTHER_VALUES = [None, True, -1, 2**70, 1.5, "x", "\x00", [], {}, [1], {"a": 1}, "2027-05-04"]


def _places(value, path=()):
    """Every place in a JSON value, as a path of keys."""
    yield path
    if isinstance(value, dict | list):
        for key, part in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _places(part, (*path, key))


def _spoiled(line, chance):
    plain = json.loads(line)
    path = chance.choice([path for path in _places(plain) if path])
    holder = plain
    for key in path[:-1]:
        holder = holder[key]
    if isinstance(holder, dict) and chance.random() < 0.3:
        del holder[path[-1]]
    else:
        holder[path[-1]] = chance.choice(OTHER_VALUES)
    return json.dumps(plain)


@pytest.mark.parametrize("seed", range(150))
def test_a_spoiled_export_is_refused_or_comes_in_sound(full, tmp_path, seed):
    chance = random.Random(seed)
    lines = lines_of(full)
    spoiled = chance.randrange(len(lines))
    lines[spoiled] = _spoiled(lines[spoiled], chance)
    with Store.open(str(tmp_path / "other.db")) as other:
        told = refusal(other, lines)
        if told is not None:
            assert "Nothing was imported" in told
            assert other.memos() == ()
        else:
            assert [fault for fault in other.check() if "recording" not in fault.what] == []
            came_in = lines_of(other)
            with Store.open(str(tmp_path / "third.db")) as third:
                third.import_lines(came_in)
                assert lines_of(third) == came_in


def refusal(store, lines):
    try:
        store.import_lines(lines)
    except StoreError as error:
        return str(error)
    return None


def test_a_recording_of_another_content_is_not_taken_in(full, tmp_path):
    recordings = tmp_path / "farm.db.audio"
    (file,) = (file for file in recordings.rglob("*") if file.is_file())
    file.write_bytes(b"noise")
    with Store.open(str(tmp_path / "other.db")) as other:
        with pytest.raises(StoreError, match="not what its name says"):
            other.import_lines(lines_of(full), audio=recordings)
        assert other.memos() == ()


def test_a_name_that_leaves_the_folder_is_refused(full, tmp_path):
    lines = [line.replace('".wav"', '"/../../../x"') for line in lines_of(full)]
    with Store.open(str(tmp_path / "other.db")) as other, pytest.raises(StoreError, match="Line 2"):
        other.import_lines(lines, audio=tmp_path / "farm.db.audio")
