"""A memo, understood: text in, records, questions, instructions and left-over words out.

    tokens ─finding─▶ Mentions ─repairs─▶ Mentions ─steering─▶ questions, instructions, wishes,
           told ─stretches─▶ Stretch ─events─▶ Event ─coupling─▶ Event ─drafts─▶ Draft

Each pass has its own module and its own type; none looks back into one before it.
"""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from voicelog.catalogue import Catalogue, load_catalogue
from voicelog.farm import EMPTY_FARM, Farm
from voicelog.types import Parse, Transcript
from voicelog.understanding.choosing import most_sensible
from voicelog.understanding.coupling import couple
from voicelog.understanding.drafts import draft_of, remark_of
from voicelog.understanding.events import Breath
from voicelog.understanding.evidence import worths
from voicelog.understanding.filling import Reader
from voicelog.understanding.finding import find_mentions
from voicelog.understanding.leftovers import (
    content_words,
    left_over,
    remarks,
    says_something,
    times_alone,
    words_of_runs,
)
from voicelog.understanding.lexicon import Lexicon
from voicelog.understanding.matching import PhraseFinder
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.passes import Passes
from voicelog.understanding.repairs import drop_corrected
from voicelog.understanding.sentences import sentences
from voicelog.understanding.steering import steer
from voicelog.understanding.stretches import Stretch, cut_into_stretches

PARSER_VERSION = "1"
"""Raised whenever the parser would understand stored memos better than before."""

REMARK = "remark"


class Parser:
    """Understands the memos of one farm; made once, used for many memos.

    `catalogue` is the package's own where none is given.
    """

    def __init__(self, farm: Farm | None = None, *, catalogue: Catalogue | None = None) -> None:
        self.farm = farm or EMPTY_FARM
        self.catalogue = catalogue or load_catalogue()
        self._zone = ZoneInfo(self.farm.timezone)
        self._worths = worths(self.catalogue)
        self._finder = PhraseFinder(Lexicon(self.catalogue, self.farm))

    def at_home(self, now: datetime) -> datetime:
        """A moment in the farm's zone: days are the farm's own, also over a change of clocks."""
        return now.astimezone(self._zone)

    def mentions(self, text: str, now: datetime) -> Mentions:
        """What a text mentions; questions are read from the same words."""
        return find_mentions(text, now, self._finder, self.catalogue, self.farm)

    def parse(self, memo: str | Transcript, now: datetime) -> Parse:
        """Understand one memo said at `now`, an aware date-time.

        A text that means nothing gives a parse without records; no text raises.
        """
        now = self.at_home(now)
        if isinstance(memo, Transcript):
            return most_sensible(memo, lambda text: self._parse(text, now), REMARK)
        return self._parse(memo, now)

    def _parse(self, text: str, now: datetime) -> Parse:
        return self.passes(text, now).parse

    def passes(self, text: str, now: datetime) -> Passes:
        """What each pass makes of a memo said at `now` (aware, in the farm's zone)."""
        found = self.mentions(text, now)
        mentions, corrected = drop_corrected(found)
        reader = Reader(mentions, self.catalogue, self.farm, self._worths)
        steered = steer(mentions, reader)
        breath, stretches = self._breath(mentions, reader, steered.told)
        events = couple(breath.events, mentions, self.catalogue)
        drafts = [draft_of(event, mentions, self.farm, now) for event in events]
        content = content_words(mentions)
        spans = remarks(breath.idle, content, beside=bool(drafts)) + list(steered.wishes)
        kept = [span for span in spans if says_something(span, content)]
        drafts += [remark_of(first, last, mentions, now, REMARK) for first, last in kept]
        if not (drafts or steered.questions or steered.instructions or steered.taken_back):
            spans = kept = times_alone(mentions)
            drafts = [remark_of(first, last, mentions, now, REMARK) for first, last in spans]
        left = left_over(events, steered, spans, corrected, content)
        parse = Parse(
            memo=text,
            now=now,
            records=tuple(drafts),
            questions=tuple(mentions.words(*span) for span in steered.questions),
            instructions=tuple(instruction for _, instruction in steered.instructions),
            unused=words_of_runs(mentions, left),
        )
        return Passes(
            found=found,
            mentions=mentions,
            corrected=corrected,
            reader=reader,
            steered=steered,
            stretches=tuple(stretches),
            events=tuple(events),
            remarks=tuple(kept),
            left=left,
            parse=parse,
        )

    def _breath(
        self, mentions: Mentions, reader: Reader, told: tuple[tuple[int, int], ...]
    ) -> tuple[Breath, list[Stretch]]:
        breath = Breath(mentions, self.farm, self.catalogue)
        cut: list[Stretch] = []
        starts = {first for first, _ in sentences(mentions)}
        for first, last in told:
            if first in starts:
                breath.new_sentence()
            before = breath.events[-1].reading if breath.events else None
            for stretch in cut_into_stretches(mentions, reader, first, last, before):
                breath.take(stretch)
                cut.append(stretch)
        return breath, cut


def parse_memo(
    memo: str | Transcript, farm: Farm | None = None, now: datetime | None = None
) -> Parse:
    """Understand one memo of a farm, said at `now` (aware; the present where not given)."""
    from voicelog.clock import now_in

    farm = farm or EMPTY_FARM
    return _parser(farm).parse(memo, now or now_in(farm.timezone))


_parsers: dict[int, tuple[Farm, Parser]] = {}


def _parser(farm: Farm) -> Parser:
    """One parser a farm, kept while the farm lives."""
    known = _parsers.get(id(farm))
    if known is None or known[0] is not farm:
        _parsers[id(farm)] = known = (farm, Parser(farm))
    return known[1]
