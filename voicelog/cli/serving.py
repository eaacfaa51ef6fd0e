"""`serve`: the screens for a browser."""

from __future__ import annotations

from importlib.util import find_spec
from typing import Annotated

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, say, talk, with_common, write
from voicelog.errors import RequestError

_NEEDED = ("starlette", "uvicorn", "python_multipart", "jinja2")
_SERVE = """
Show the screens for a browser: today with a box for a memo, ask, and the day's review.

They listen on this machine alone unless --host says otherwise: `--host 0.0.0.0` lets every device
in the same network in, a phone for example. There is no password and nothing is encrypted, so
that whoever reaches the address can read, add and change records. The address is printed first;
Ctrl-C ends it.

Needs the extra for the screens: pip install 'voicelog[web]'.
"""


def add_to(app: typer.Typer) -> None:
    """Add the command of this file to the program."""
    add_command(app, "serve", serve, _SERVE, brief="Show the screens for a browser.")


@with_common
def serve(
    desk: Desk,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Address to listen on.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port; 0 takes any that is free.")
    ] = 8484,
) -> None:
    """Show the screens."""
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise RequestError(
            f"The screens need parts that are not installed ({', '.join(missing)}).",
            kept="Nothing was changed.",
            todo="Install them with: pip install 'voicelog[web]'",
        )
    desk.now()
    from voicelog.web.running import serve as run

    def started(address: str) -> None:
        if desk.json:
            write(forms.line({"address": address}))
        else:
            say(f"Open {address}")

    try:
        run(desk.setting, host=host, port=port, tell=talk, started=started)
    except KeyboardInterrupt:
        talk("Stopped.")
