"""Where the rooms meet: one farm, its store, and what a person can ask of both.

    Setting     which store, which farm, what time it is
    Notebook    note, hear, ask, left, review on that setting
    report, checkup, recordings, live_talk, farm_edits    single jobs that only one command needs

Screens call this package and nothing behind it. Nothing heavy is imported before it is used:
`left` loads neither the parser nor the recogniser.
"""

from voicelog.app.notebook import Notebook, Noted
from voicelog.app.setting import Setting, find_setting

__all__ = ["Notebook", "Noted", "Setting", "find_setting"]
