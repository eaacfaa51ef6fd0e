"""What a newer parse of a memo may replace, and what a person has settled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from voicelog.records.comparing import folded
from voicelog.records.history import Source
from voicelog.types import Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """What becomes of the drafts of a parse and of the records there already."""

    added: tuple[int, ...]
    """Positions of the drafts that become records."""
    replaced: tuple[int, ...]
    """Ids of the records that stand no more."""


def place(sources: Sequence[Source], drafts: Sequence[Draft]) -> Placement:
    """Settle which drafts become records beside those that already stand for the memo.

    A record that was confirmed, corrected or withdrawn stays, and the draft that says the
    same thing again is not added beside it. A record equal to a draft stays too, so that its
    id goes on being good. Every other record is replaced. A memo whose every record was
    withdrawn stays without: what was taken back does not return because a parser got better.
    """
    there = [source for source in sources if not source.superseded]
    if there and all(source.state.withdrawn for source in there):
        return Placement(added=(), replaced=())
    settled = [source for source in there if source.state.settled]
    free = _without_pairs(settled, drafts)
    replaced = []
    for source in there:
        if source.state.settled:
            continue
        same = next((n for n in free if drafts[n] == source.draft), None)
        if same is None:
            replaced.append(source.record_id)
        else:
            free.remove(same)
    return Placement(added=tuple(free), replaced=tuple(replaced))


def _without_pairs(settled: Sequence[Source], drafts: Sequence[Draft]) -> list[int]:
    """Positions of the drafts left when each settled record has taken the likest one."""
    pairs = sorted(
        (-likeness, index, position)
        for index, source in enumerate(settled)
        for position, draft in enumerate(drafts)
        if (likeness := max(_likeness(source.draft, draft), _likeness(source.state.draft, draft)))
    )
    taken: set[int] = set()
    paired: set[int] = set()
    for _, index, position in pairs:
        if index not in paired and position not in taken:
            paired.add(index)
            taken.add(position)
    return [position for position in range(len(drafts)) if position not in taken]


def _likeness(kept: Draft, new: Draft) -> int:
    """How much two drafts speak of the same thing; 0 where they do not."""
    words, others = set(folded(kept.text).split()), set(folded(new.text).split())
    same_words = words == others
    shared = 2 * len(words & others) > min(len(words), len(others))
    same_kind = kept.kind == new.kind
    if not (same_words or (same_kind and shared)):
        return 0
    return 1 + 8 * same_kind + 4 * same_words + 2 * (kept.place == new.place) + (kept == new)
