"""Whole lines said to the review or the chat, in lower case.

They stand here and not in the catalogue because no memo is to be read by them.
"""

from __future__ import annotations

UNDO = frozenset(
    {
        "u",
        "undo",
        "undo that",
        "undo it",
        "undo my last change",
        "undo the last change",
        "take that back",
        "take it back",
    }
)
"""Take back my own last change."""
BRING_BACK = frozenset(
    {
        "b",
        "bring back",
        "bring it back",
        "bring that back",
        "unwithdraw",
        "unwithdraw it",
        "back",
        "back again",
        "put back",
        "put it back",
        "put that back",
        "restore",
        "restore it",
        "undo",
        "undelete",
        "undelete it",
    }
)
"""Bring back a record that was withdrawn; some only mean it after a number."""
GO_BACK = frozenset({"p", "previous", "back", "go back", "the one before", "previous one"})
"""Go to the record before."""
CONFIRM_ALL = frozenset(
    {
        "c all",
        "confirm all",
        "confirm all of them",
        "confirm everything",
        "all are right",
        "they are all right",
        "they're all right",
        "all of them are right",
        "all are correct",
        "all of them are correct",
        "everything is right",
        "everything is correct",
        "the rest is right",
        "the rest are right",
    }
)
"""Confirm every record that is not in doubt."""
AGREEING = frozenset(
    {"ok", "okay", "all right", "alright", "all good", "right then", "all okay", "all ok"}
)
"""Said in passing; it confirms nothing by itself."""
NOT_RIGHT = frozenset(
    {
        "no",
        "nope",
        "not right",
        "not correct",
        "no that's not right",
        "no it isn't",
        "it isn't",
        "isn't right",
        "that isn't right",
        "it isn't right",
        "not quite",
        "not quite right",
    }
)
"""Something is wrong, and not yet said what."""
CHAT_HELP = frozenset(
    {"h", "help", "help me", "what can i say", "what can you do", "how does this work"}
)
"""What can be said here?"""
GREETINGS = frozenset(
    {
        "hello",
        "hi",
        "hey",
        "hello there",
        "hi there",
        "good morning",
        "good afternoon",
        "good evening",
        "good night",
        "morning",
        "thanks",
        "thank you",
    }
)
"""Nothing to keep."""
