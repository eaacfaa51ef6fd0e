"""A day's records, gone over one by one: typed or spoken words in, changes out.

    day.py       the day's records, those in doubt first, each with its number
    reply.py     a typed line: which record, and what about it
    which.py     the words that pick a record from the numbered list
    phrases.py   whole lines that steer the review and the chat
    said.py      the words that give a field's new value
    values.py    a value in the form that a field holds

Nothing here reads or writes a store or knows of a screen.
"""

from voicelog.review.day import DayLog, Item, day_log
from voicelog.review.reply import KEYS, Action, Reply, plain_words, read_reply
from voicelog.review.values import COMMON_FIELDS, NewValue, fit

__all__ = [
    "COMMON_FIELDS",
    "KEYS",
    "Action",
    "DayLog",
    "Item",
    "NewValue",
    "Reply",
    "day_log",
    "fit",
    "plain_words",
    "read_reply",
]
