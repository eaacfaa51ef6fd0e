"""Answers the sum that is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from voicelog.answering.ground import Ground
from voicelog.answering.trade_replies import (
    bedding,
    daylight,
    drinking,
    fence,
    hatching,
    heat,
    killing,
    laying,
    losing,
    money,
    paddocks,
    supplies,
    young,
)
from voicelog.answering.trade_replies.asked import Asked
from voicelog.answering.trade_replies.footing import Footing
from voicelog.catalogue.trade_questions import load_trade_questions
from voicelog.errors import RequestError
from voicelog.types import Answer

SUMS: Mapping[str, Callable[[Footing], Answer]] = MappingProxyType(
    {
        "laying_rate": laying.rate,
        "laying_drop": laying.drop,
        "supply_lasts": supplies.days_left,
        "supply_ends": supplies.runs_out,
        "supply_buy": supplies.buy_by,
        "hatch": hatching.hatch,
        "candle": hatching.candle,
        "lockdown": hatching.lockdown,
        "ground_rested": paddocks.rested,
        "ground_ready": paddocks.ready,
        "ground_next": paddocks.next_one,
        "killed_by": killing.suspects,
        "thirst": drinking.water,
        "too_hot": heat.too_hot,
        "line_tested": fence.tested_and_how,
        "line_how": fence.how,
        "line_falling": fence.falling,
        "line_enough": fence.enough,
        "losses_many": losing.is_that_many,
        "livability": losing.livability,
        "dozen_cost": money.dozen_cost,
        "earned": money.earned,
        "filling": bedding.boxes,
        "young_age": young.age,
        "young_next": young.next_steps,
        "day_length": daylight.length,
        "day_below": daylight.falls_below,
    }
)
"""By the name of the sum in the file of questions."""


def trade_reply(ground: Ground, asked: Asked) -> Answer:
    """The answer to a question for a sum of the trade.

    Raises:
        StoreError: the store cannot be read.
    """
    footing = Footing(ground=ground, declared=load_trade_questions(), asked=asked)
    try:
        return SUMS[asked.sum](footing)
    except RequestError as problem:
        # Numbers that do not fit into each other are told, not reckoned with.
        return footing.untold([footing.say("does_not_fit"), problem.what, problem.todo])
