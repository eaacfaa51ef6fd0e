"""The web screens: today, ask and review, for any browser that reaches this machine.

    guard.py        who may ask: host names, same origin, sizes, headers
    posted.py       a posted form, read within its limits
    shared.py       one notebook for all requests, used by one thread at a time
    replies.py      what came of a post, told once however often it is sent
    pages.py        templates and how errors look
    today.py, asking.py, reviewing.py    the three screens
    api.py          the same for other programs, as JSON
    screens.py      all of it as one application
    running.py      the server and what it tells at its start

Needs the extra `web`; nothing here is imported before `serve` is called. The screens work
without scripts and ask nothing of any other machine.
"""
