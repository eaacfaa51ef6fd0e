"""One farm's notebook: what can be said to it and asked of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import TYPE_CHECKING, Self

from voicelog.app.setting import Setting
from voicelog.errors import FarmFileError, RequestError, StoreError
from voicelog.explanations import MemoWhy, QuestionWhy
from voicelog.types import Answer, Change, DayPlan, HeardMemo, Memo, Parse, Record, Transcript

if TYPE_CHECKING:
    from voicelog.records import Imported, Store
    from voicelog.understanding import Parser


def _silent(_: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """A memo that was kept, and what came of it."""

    memo: Memo
    parse: Parse
    records: tuple[Record, ...]
    """Its records as they stand."""
    changes: tuple[Change, ...] = ()
    """What its instructions changed in earlier records."""
    problems: tuple[str, ...] = ()
    """Instructions that could not be carried out, as sentences."""
    heard_before: bool = False
    """True where the recording was a memo already, and nothing was kept again."""


class Notebook:
    """A farm and its store, opened when first used; close it, or use it as a context."""

    def __init__(self, setting: Setting, tell: Callable[[str], None] = _silent) -> None:
        """Args:
        setting: which store and farm.
        tell: takes sentences that belong beside the answer, such as that there is no store yet.
        """
        self.setting = setting
        self.last_kept: Memo | None = None
        """The memo kept last, to name it where something breaks after that."""
        self._tell = tell
        self._open = ExitStack()
        self._taken_up = False

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._open.close()

    @cached_property
    def parser(self) -> Parser:
        """The parser for this farm; loading it takes about a second."""
        from voicelog.understanding import Parser

        return Parser(self.setting.farm)

    def model_to_hear(self, model: Path | None = None) -> Path | None:
        """The speech model folder to hear with; None for the carried one. A faulty one is told.

        Args:
            model: one that was asked for, which is then taken as it is.
        """
        from voicelog.app.farm_model import model_to_hear

        return model_to_hear(self.setting, model, self._tell)

    @cached_property
    def _store(self) -> Store:
        from voicelog.records import Store

        self.setting.make_folder()
        opened = Store.open(self.setting.store, audio=self.setting.recordings_apart)
        return self._open.enter_context(opened)

    @cached_property
    def _empty_store(self) -> Store:
        from voicelog.records import Store

        folder = self._open.enter_context(TemporaryDirectory(prefix="voicelog-"))
        return self._open.enter_context(Store.open(str(Path(folder) / "empty.db")))

    @property
    def reading(self) -> Store:
        """The store to ask; where there is none yet, an empty one, and that is told."""
        if "_store" in self.__dict__ or self.setting.store_exists:
            # What waits to be understood is asked for too, and so is taken up first.
            return self.writing
        if "_empty_store" not in self.__dict__:
            self._tell(f"There is no store at {self.setting.store} yet; nothing is recorded.")
        return self._empty_store

    @property
    def writing(self) -> Store:
        """The store to write to, made where there is none.

        Memos that were kept but never understood, as a crash between the two or a fault in the
        farm file leaves them, are taken up first.
        """
        if not self._taken_up and self.setting.farm_fault is None:
            self._taken_up = True
            self._take_up()
        return self._store

    def parse(self, memo: str | Transcript, now: datetime) -> Parse:
        """Understand a memo; nothing is stored."""
        return self.parser.parse(memo, now)

    def why_parsed(self, memo: str | Transcript, now: datetime) -> MemoWhy:
        """Why a memo is understood as it is."""
        from voicelog.understanding.explaining import explain

        return explain(self.parser, memo, now)

    def note(
        self,
        text: str,
        said_at: datetime,
        *,
        source: str = "typed",
        transcript: Transcript | None = None,
        audio: Path | None = None,
    ) -> Noted:
        """Keep a memo whole, then understand it, then keep what was understood.

        Raises:
            StoreError: the error says whether the memo was kept.
            FarmFileError: the farm file has faults; the memo is kept, to be understood later.
        """
        with _said_to_be_kept("Nothing of the memo was kept."):
            memo = self.writing.keep_memo(
                said_at=said_at, text=text, source=source, transcript=transcript, audio=audio
            )
        self.last_kept = memo
        return self._understood((memo,))[0]

    def note_heard(self, audio: Path, heard: Sequence[HeardMemo]) -> tuple[Noted, ...]:
        """Keep all memos heard in one recording, then understand them in order.

        Raises:
            StoreError: the error says whether the memos were kept.
            FarmFileError: the farm file has faults; the memos are kept, to be understood later.
        """
        with _said_to_be_kept("Nothing of the recording was kept."):
            memos = self.writing.keep_heard(audio, heard)
        self.last_kept = memos[-1]
        return self._understood(memos)

    def heard_before(self, file: Path) -> tuple[Noted, ...]:
        """The memos heard in a recording with the same bytes, as they stand; none if it is new.

        Raises:
            StoreError: the store cannot be read.
            FarmFileError: the farm file has faults; the memos heard before are still kept.
        """
        if not self.setting.store_exists:
            return ()
        memos = self.reading.memos_of_recording(file)
        waiting = tuple(memo for memo in memos if self.reading.parse_of(memo.id) is None)
        fresh = {noted.memo.id: noted for noted in self._understood(waiting)}
        found = (fresh.get(memo.id) or self._as_it_stands(memo) for memo in memos)
        return tuple(replace(noted, heard_before=True) for noted in found)

    def _as_it_stands(self, memo: Memo) -> Noted:
        parse = self.reading.parse_of(memo.id)
        assert parse is not None
        return Noted(
            memo=memo,
            parse=parse,
            records=self.reading.records_of(memo.id),
            changes=self.reading.changes_by(memo.id),
        )

    def _understood(self, memos: Sequence[Memo]) -> tuple[Noted, ...]:
        """What comes of memos that are kept; an error about the farm file names them."""
        fault = self.setting.farm_fault
        if fault is not None and memos:
            raise _kept_for_later(memos, fault) from fault
        return tuple([self._understand(memo) for memo in memos])

    def ask(self, question: str, now: datetime) -> Answer:
        """Answer a question from the records."""
        from voicelog.answering import answer

        return answer(question, self.reading, self.setting.farm, now)

    def why_answered(self, question: str, now: datetime) -> QuestionWhy:
        """Why a question is answered as `ask` does."""
        from voicelog.answering.explaining import explain

        return explain(question, self.reading, self.setting.farm, now)

    def left(self, now: datetime) -> DayPlan:
        """Where every chore of the farm stands."""
        from voicelog.routine import day_plan

        farm = self.setting.farm
        return day_plan(farm.chores, self.reading, now, flocks=farm.flocks)

    def past_plans(self, first: date, now: datetime) -> tuple[DayPlan, ...]:
        """Where every chore stood at the end of each day from `first` to yesterday."""
        from voicelog.routine import past_plans

        farm = self.setting.farm
        return past_plans(farm.chores, self.reading, first, now, flocks=farm.flocks)

    def told(self, plan: DayPlan) -> str:
        """What is left in one line that can be spoken."""
        from voicelog.routine import summary

        return summary(plan)

    def _take_up(self) -> None:
        for memo in self._store.unparsed():
            try:
                self._understand(memo)
            except StoreError as problem:
                self._tell(f"Memo {memo.id} is kept, and not understood yet: {problem.paragraph()}")
            except Exception as problem:
                # One memo that breaks the parser must not keep the others from being written.
                self._tell(
                    f"Memo {memo.id} is kept, but could not be understood "
                    f"({type(problem).__name__}: {problem})."
                )
            else:
                self._tell(f"Memo {memo.id}, kept earlier, is understood now.")

    def _understand(self, memo: Memo) -> Noted:
        from voicelog.app.instructions import asked_of
        from voicelog.understanding import PARSER_VERSION

        store = self._store
        parse = self.parser.parse(memo.transcript or memo.text, memo.said_at)
        asked = asked_of(store, memo, parse.instructions)
        problems = asked.problems
        try:
            records = store.keep_parse(memo.id, parse, parser=PARSER_VERSION, changes=asked.changes)
        except RequestError as problem:
            # An instruction that does not fit must not cost the memo its records.
            records = store.keep_parse(memo.id, parse, parser=PARSER_VERSION)
            problems = (*problems, problem.paragraph())
        changed = dict.fromkeys(change.record_id for change in asked.changes)
        changes = [change for record_id in changed for change in store.history(record_id)]
        return Noted(
            memo=memo,
            parse=parse,
            records=records,
            changes=tuple(change for change in changes if change.memo_id == memo.id),
            problems=problems,
        )


def import_store(notebook: Notebook, lines: Iterable[str], audio: Path | None) -> Imported:
    """Add an export to the store; where there is none yet, a bad export makes none.

    Raises:
        StoreError: a line is not what an export writes; nothing was imported.
    """
    from voicelog.records import Store

    if not notebook.setting.store_exists:
        lines = list(lines)
        with (
            TemporaryDirectory(prefix="voicelog-") as folder,
            Store.open(str(Path(folder) / "trial.db")) as trial,
        ):
            trial.import_lines(lines)
    return notebook.writing.import_lines(lines, audio=audio)


@contextmanager
def _said_to_be_kept(kept: str) -> Iterator[None]:
    """Say what was kept in an error about the store that does not say it."""
    try:
        yield
    except StoreError as problem:
        if problem.kept:
            raise
        raise StoreError(problem.what, kept=kept, todo=problem.todo) from problem


def _kept_for_later(memos: Sequence[Memo], fault: FarmFileError) -> FarmFileError:
    first, *faults = (line.strip() for line in fault.what.splitlines())
    if len(memos) == 1:
        kept = f"The memo is kept whole as memo {memos[0].id}, and is not understood yet."
    else:
        numbers = f"{memos[0].id} to {memos[-1].id}"
        kept = f"Its memos are kept whole as memos {numbers}, and are not understood yet."
    return FarmFileError(
        " ".join([first, "; ".join(faults)]).strip(),
        kept=kept,
        todo="Mend the farm file (`voicelog farm check` tells what is left to mend); the next "
        "command then takes the memo up.",
    )


def restore_store(setting: Setting, source: Path) -> Path | None:
    """Make the store from a backup; where one is set aside to that was there, else None.

    Raises:
        StoreError: the backup is not there or not sound, or the store is in use.
    """
    from voicelog.records import Store

    if not source.exists():
        raise StoreError(
            f"There is no backup at {source}.",
            kept="Nothing was restored.",
            todo="Check its name and folder.",
        )
    setting.make_folder()
    return Store.restore(source, setting.store, audio=setting.recordings_apart)
