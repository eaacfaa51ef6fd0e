"""The program's own page and the list of its commands."""

from __future__ import annotations

from typing import Annotated

import typer

from voicelog import __version__
from voicelog.cli.ask_left_report import add_to as add_asking
from voicelog.cli.common import FarmOption, Given, JsonOption, NowOption, StoreOption, page, say
from voicelog.cli.farm_file import add_to as add_farm
from voicelog.cli.listening import add_to as add_listening
from voicelog.cli.memos import add_to as add_memos
from voicelog.cli.reporting import add_to as add_reporting
from voicelog.cli.reviewing import add_to as add_reviewing
from voicelog.cli.serving import add_to as add_serving
from voicelog.cli.store_care import add_to as add_store_care

_PAGE = """
Speak the chores of a small flock while doing them; ask, see what is left, review in the evening.

Everything stays on this machine. A memo is kept word for word before it is understood; records
are read out of it, and may be corrected or withdrawn without losing what was said.

The common options may stand before or after the command's name. The store is by default
`voicelog.db` in the user's data folder (`~/.local/share/voicelog`, or as XDG_DATA_HOME says);
the farm file is `farm.toml` beside the store. Recordings are kept in a folder beside the store;
for a store on a database server, VOICELOG_RECORDINGS names the folder.

What a program reads is on stdout, what is only for people on stderr. Exit codes: 0 done,
1 the request could not be met, 2 the command line is wrong.
"""

app = typer.Typer(
    name="voicelog",
    rich_markup_mode=None,
    no_args_is_help=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"], "max_content_width": 100},
)


@app.callback(invoke_without_command=True, help=page("", _PAGE))
def program(
    context: typer.Context,
    store: StoreOption = None,
    farm: FarmOption = None,
    now: NowOption = None,
    json: JsonOption = False,
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    """Take the common options that stand before a command's name."""
    context.obj = Given(store=store, farm=farm, now=now, json=json)
    if version:
        say(f"voicelog {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        say(context.get_help())
        raise typer.Exit


for _add in (
    add_memos,
    add_listening,
    add_asking,
    add_reporting,
    add_reviewing,
    add_farm,
    add_store_care,
    add_serving,
):
    _add(app)
