"""Whatever is said, fixed, undone, parsed again or cut short: the store keeps its promises."""

import tempfile
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    consumes,
    invariant,
    multiple,
    rule,
)

from voicelog.records import NewChange, Store, Wanted, interval_from_text, interval_text, keeping
from voicelog.records.comparing import fits
from voicelog.records.moments import begins, ticks
from voicelog.records.revisions import state_of
from voicelog.records.written import draft_from, draft_text, value_from, value_text
from voicelog.types import (
    ChangeKind,
    Draft,
    Interval,
    Parse,
    Precision,
    Quantity,
    Status,
    frozen_slots,
)

BEGIN = datetime(2027, 5, 1, 6, tzinfo=UTC)
KINDS = ("eggs", "feed", "remark")
PLACES = (None, "coop A", "Coop B")

offsets = st.integers(-14 * 4, 14 * 4).map(lambda n: timezone(timedelta(minutes=15 * n)))
moments = st.builds(
    lambda quarters, zone: (BEGIN + timedelta(minutes=15 * quarters)).astimezone(zone),
    st.integers(0, 12),
    offsets,
)
texts = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=20)
numbers = st.integers(-(10**6), 10**6) | st.floats(-1e6, 1e6)
quantities = st.builds(Quantity, value=numbers, unit=st.sampled_from(("scoop", "Bucket", "lb")))
values = numbers | st.booleans() | texts | quantities
intervals = st.builds(
    Interval,
    from_=st.none() | moments,
    to=st.none() | moments,
    precision=st.sampled_from(Precision),
)
drafts = st.builds(
    Draft,
    kind=st.sampled_from(KINDS),
    status=st.sampled_from(Status),
    when=intervals,
    when_said=st.none() | texts,
    place=st.sampled_from(PLACES),
    flock=st.none() | texts,
    birds=st.lists(texts, max_size=2).map(tuple),
    slots=st.dictionaries(st.sampled_from(("count", "amount", "note")), values).map(frozen_slots),
    text=st.sampled_from(("nine eggs", "two scoops", "nine eggs again", "the lot")),
    certainty=st.floats(0, 1),
    doubts=st.lists(texts, max_size=2).map(tuple),
    by=st.none() | texts,
)
corrections = (
    st.tuples(st.just("when"), intervals)
    | st.tuples(st.just("status"), st.sampled_from([status.value for status in Status]))
    | st.tuples(st.just("kind"), st.sampled_from(KINDS))
    | st.tuples(st.just("place"), st.sampled_from(PLACES))
    | st.tuples(st.just("birds"), st.lists(texts, max_size=2).map(tuple))
    | st.tuples(st.sampled_from(("count", "amount", "note")), st.none() | values)
)


@given(drafts)
def test_a_draft_reads_back_as_it_was_written(draft):
    assert draft_from(draft_text(draft)) == draft
    assert draft_text(draft_from(draft_text(draft))) == draft_text(draft)


@given(st.none() | values | st.lists(texts).map(tuple))
def test_a_value_reads_back_as_it_was_written(value):
    assert value_from(value_text(value)) == value


@given(intervals)
def test_an_interval_reads_back_as_it_was_written(when):
    assert interval_from_text(interval_text(when)) == when


@given(st.datetimes(timezones=offsets), st.datetimes(timezones=offsets))
def test_moments_sort_by_their_ticks(one, other):
    assert (one < other) == (ticks(one) < ticks(other))
    assert (one == other) == (ticks(one) == ticks(other))


wishes = st.builds(
    Wanted,
    kinds=st.lists(st.sampled_from(KINDS), max_size=1).map(tuple),
    statuses=st.lists(st.sampled_from(Status), max_size=2).map(tuple),
    places=st.lists(st.sampled_from((*PLACES, "COOP  b")), max_size=2).map(tuple),
    flocks=st.just(()) | st.just((None,)),
    bird=st.none() | st.sampled_from(("juno", "Wren")),
    slots=st.dictionaries(
        st.sampled_from(("count", "amount")),
        st.sampled_from((1, 2.0, "One", True, Quantity(value=1, unit="LB"))),
        max_size=1,
    ).map(frozen_slots),
    when_from=st.none() | moments,
    when_to=st.none() | moments,
    as_of=st.none() | moments,
    text=st.none() | st.sampled_from(("EGGS", "again nine", "%")),
)
likely = st.builds(
    replace,
    drafts,
    birds=st.lists(st.sampled_from(("Juno", "wren")), max_size=1).map(tuple),
    flock=st.none() | st.just("hens"),
    slots=st.dictionaries(
        st.sampled_from(("count", "amount")),
        st.sampled_from((1, 2, "one", "ONE", True, Quantity(value=1, unit="lb"))),
    ).map(frozen_slots),
)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(moments, likely), max_size=12), st.lists(wishes, min_size=5, max_size=20))
def test_python_and_sql_agree_on_what_fits(said, wanted):
    with tempfile.TemporaryDirectory() as folder, Store.open(f"{folder}/farm.db") as store:
        for moment, draft in said:
            memo = store.keep_memo(said_at=moment, text="", source="typed")
            store.keep_parse(memo.id, parse_of(memo, [draft]), parser="first")
        everything = store.find(Wanted())
        for wish in wanted:
            assert list(store.find(wish)) == [r for r in everything if fits(wish, r)]


class Cut(Exception):  # noqa: N818
    """The power went off."""


class Keeping(RuleBasedStateMachine):
    """A store through which days of notes go, beside a plain model of what it was told."""

    memos = Bundle("memos")
    waiting = Bundle("waiting")
    records = Bundle("records")

    def __init__(self):
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "farm.db"
        self.store = Store.open(str(self.path))
        self.kept = []
        self.changes = {}

    def teardown(self):
        self.store.close()
        self.folder.cleanup()

    @rule(target=waiting, said_at=moments, text=texts)
    def say(self, said_at, text):
        memo = self.store.keep_memo(said_at=said_at, text=text, source="typed")
        self.kept.append(memo)
        return memo

    @rule(memo=consumes(waiting), drafts=st.lists(drafts, max_size=3))
    def understand(self, memo, drafts):
        assert memo in self.store.unparsed()
        self._parse(memo, drafts, "first")
        assert memo not in self.store.unparsed()

    @rule(target=records, said_at=moments, drafts=st.lists(drafts, max_size=3))
    def note(self, said_at, drafts):
        memo = self.say(said_at, "noted")
        made = self._parse(memo, drafts, "first")
        assert [record.draft for record in made] == drafts
        return multiple(*[record.id for record in made])

    @rule(record_id=records, correction=corrections, at=moments)
    def fix(self, record_id, correction, at):
        field, new = correction
        self._change(record_id, kind=ChangeKind.CORRECT, at=at, field=field, new=new)

    @rule(
        record_id=records,
        kind=st.sampled_from((ChangeKind.WITHDRAW, ChangeKind.CONFIRM)),
        at=moments,
    )
    def undo_or_confirm(self, record_id, kind, at):
        self._change(record_id, kind=kind, at=at)

    @rule(record_id=records, drafts=st.lists(drafts, max_size=3))
    def parse_again(self, record_id, drafts):
        memo = self.store.memo(self.store.record(record_id).memo_id)
        before = self.store.records_of(memo.id)
        after = self._parse(memo, drafts, "second")
        for record in before:
            if record.confirmed or record.corrected or record.withdrawn:
                assert record in after

    @rule(said_at=moments, cut=st.integers(0, 2), drafts=st.lists(drafts, max_size=2))
    def crash(self, said_at, cut, drafts):
        """End in the middle of a transaction, or between two, and start again."""
        memo = self.say(said_at, "cut short")
        if cut == 1:
            with suppress(Cut):
                self._parse_and_fail(memo, drafts)
        self.store.close()
        self.store = Store.open(str(self.path), create=False)
        assert memo in self.store.unparsed()
        if cut == 2:
            self._parse(memo, drafts, "after")

    @rule()
    def carry_over(self):
        lines = list(self.store.export_lines())
        with Store.open(str(self.path.with_name("copy.db"))) as other:
            if not other.memos():
                other.import_lines(lines)
                assert list(other.export_lines()) == lines
                everything = Wanted(include_withdrawn=True)
                assert other.find(everything) == self.store.find(everything)
        for file in self.path.parent.glob("copy.db*"):
            file.unlink()

    @rule(
        kinds=st.just(()) | st.sampled_from(KINDS).map(lambda kind: (kind,)),
        places=st.just(()) | st.sampled_from(PLACES).map(lambda place: (place,)),
        as_of=moments,
    )
    def ask(self, kinds, places, as_of):
        wanted = Wanted(kinds=kinds, places=places, as_of=as_of)
        expected = sorted(
            (
                record
                for record in self._stood(as_of)
                if not record.withdrawn
                and (not kinds or record.draft.kind in kinds)
                and (not places or folded(record.draft.place) in map(folded, places))
            ),
            key=lambda record: (begins(record.draft.when, record.memo_said_at), record.id),
        )
        assert list(self.store.find(wanted, newest_first=False)) == expected
        assert list(self.store.find(wanted, limit=1)) == expected[-1:]
        assert self.store.count(wanted) == len(expected)
        assert [record for record in expected if fits(wanted, record)] == expected
        newest = {folded(record.draft.place): record for record in expected}
        latest = self.store.latest_by_place(wanted)
        assert {folded(at.place): at.record for at in latest} == newest

    @invariant()
    def every_memo_is_there_and_equal(self):
        assert sorted(self.store.memos(), key=lambda memo: memo.id) == self.kept

    @invariant()
    def every_change_is_there_and_equal(self):
        for record_id, changes in self.changes.items():
            assert list(self.store.history(record_id)) == changes

    @invariant()
    def what_stands_is_what_history_says(self):
        assert self.store.check() == ()

    def _stood(self, as_of):
        """Every record as it stood, worked out from its history alone."""
        for memo in self.kept:
            if memo.said_at > as_of:
                continue
            for record in self.store.records_of(memo.id):
                changes = [change for change in self.store.history(record.id) if change.at <= as_of]
                state = state_of(self.store.original(record.id).draft, changes)
                yield replace(
                    record,
                    draft=state.draft,
                    withdrawn=state.withdrawn,
                    confirmed=state.confirmed,
                    corrected=state.corrected,
                )

    def _parse(self, memo, drafts, parser):
        return self.store.keep_parse(memo.id, parse_of(memo, drafts), parser=parser)

    def _parse_and_fail(self, memo, drafts):
        with self.store._writing("") as connection:
            keeping.keep_parse(connection, memo.id, parse_of(memo, drafts), "first")
            raise Cut

    def _change(self, record_id, **change):
        made = self.store.keep_changes([NewChange(record_id=record_id, **change)])
        self.changes.setdefault(record_id, []).extend(made)


def parse_of(memo, drafts):
    return Parse(memo=memo.text, now=memo.said_at, records=tuple(drafts))


def folded(name):
    return None if name is None else name.casefold()


TestKeeping = Keeping.TestCase
TestKeeping.settings = settings(
    max_examples=25,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
