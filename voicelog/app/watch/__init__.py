"""What comes due beside the chores, and what is warned of in the moment it is said.

    ground.py      the records, the farm and the day that everything here stands on
    sitting.py     eggs set under a bird or in an incubator
    rearing.py     young birds, by their age
    kept_back.py   until when eggs are kept back after a treatment
    stock.py       what is running short
    upkeep.py      the line to be tested, ground to be left
    dues.py        all of what is due, in order
    warned.py      the gravest of what a memo warns of
    dangers.py     deaths, eggs kept back, a line that is down
    heat.py        heat, by the temperature of the air
    drinking.py    less water drunk than before
    forms.py       both as JSON has them

The words are those of `data/watching.toml` of the catalogue.
"""

from voicelog.app.watch.dangers import Warned
from voicelog.app.watch.dues import due_line, due_today, where_text
from voicelog.app.watch.forms import due_form, warning_form, with_due
from voicelog.app.watch.ground import Due
from voicelog.app.watch.warned import told_warning, warnings_about, warnings_of

__all__ = [
    "Due",
    "Warned",
    "due_form",
    "due_line",
    "due_today",
    "told_warning",
    "warning_form",
    "warnings_about",
    "warnings_of",
    "where_text",
    "with_due",
]
