"""What every command shares: its options, where it writes, and how it ends.

stdout is data, stderr is talk. Exit codes: 0 done, 1 the request could not be met, 2 the
command line is wrong.
"""

from __future__ import annotations

import functools
import inspect
import os
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Concatenate, ParamSpec, cast, get_type_hints

import typer

from voicelog.app.notebook import Notebook
from voicelog.app.setting import Setting, find_setting
from voicelog.cli.dashes import WordsCommand
from voicelog.errors import RequestError, VoicelogError
from voicelog.sentences import printable

P = ParamSpec("P")

StoreOption = Annotated[
    str | None,
    typer.Option(
        "--store",
        metavar="PATH_OR_URL",
        help="SQLite file or database address of the store. [env: VOICELOG_STORE]",
        rich_help_panel="Common options",
    ),
]
FarmOption = Annotated[
    Path | None,
    typer.Option(
        "--farm",
        metavar="FILE",
        help="The farm file (TOML). [env: VOICELOG_FARM]",
        rich_help_panel="Common options",
    ),
]
NowOption = Annotated[
    str | None,
    typer.Option(
        "--now",
        metavar="TIME",
        help="Take this for the present, such as 2027-05-04T08:10.",
        rich_help_panel="Common options",
    ),
]
JsonOption = Annotated[
    bool,
    typer.Option("--json", help="Print JSON, one object a line.", rich_help_panel="Common options"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """Common options as they stood on the command line."""

    store: str | None = None
    farm: Path | None = None
    now: str | None = None
    json: bool = False

    def over(self, earlier: Given) -> Given:
        """These options, and where one was not given, the earlier ones'."""
        return Given(
            store=self.store if self.store is not None else earlier.store,
            farm=self.farm if self.farm is not None else earlier.farm,
            now=self.now if self.now is not None else earlier.now,
            json=self.json or earlier.json,
        )

    def setting(self) -> Setting:
        """The setting meant, with the environment for what was not given."""
        farm = os.environ.get("VOICELOG_FARM")
        recordings = os.environ.get("VOICELOG_RECORDINGS")
        return find_setting(
            self.store or os.environ.get("VOICELOG_STORE"),
            self.farm or (Path(farm) if farm else None),
            self.now,
            Path(recordings) if recordings else None,
        )


class Desk:
    """One run of one command."""

    def __init__(self, given: Given) -> None:
        self.setting = given.setting()
        self.json = given.json
        self._notebook: Notebook | None = None

    @property
    def notebook(self) -> Notebook:
        """The notebook, opened at first use and closed when the command ends."""
        if self._notebook is None:
            self._notebook = Notebook(self.setting, talk)
            if not (self.json or self.setting.farm_named or self.setting.farm_exists):
                talk(
                    f"There is no farm file at {self.setting.farm_path}; names of places and "
                    "birds are not known. Make one with `voicelog farm new`."
                )
        return self._notebook

    def now(self) -> datetime:
        """The time to go by.

        Raises:
            typer.BadParameter: `--now` is no date-time.
        """
        try:
            return self.setting.now()
        except RequestError as problem:
            raise typer.BadParameter(problem.paragraph(), param_hint="--now") from problem

    def close(self) -> None:
        """Let go of the store."""
        if self._notebook is not None:
            self._notebook.__exit__(None, None, None)

    def kept(self) -> str:
        """What was kept, for the word about a fault of the program."""
        memo = None if self._notebook is None else self._notebook.last_kept
        if memo is None:
            return "Nothing was kept by this command."
        return f"The memo itself is kept in {self.setting.store} as number {memo.id}."


def with_common(command: Callable[Concatenate[Desk, P], None]) -> Callable[..., None]:
    """A command with the common options, its errors told in sentences."""

    @functools.wraps(command)
    def run(*_: Any, **arguments: Any) -> None:
        context: typer.Context = arguments.pop("context")
        given = Given(
            store=arguments.pop("store_given"),
            farm=arguments.pop("farm_given"),
            now=arguments.pop("now_given"),
            json=arguments.pop("json_given"),
        )
        earlier = context.obj
        desk = Desk(given.over(earlier) if isinstance(earlier, Given) else given)
        with _ending(desk):
            cast(Any, command)(desk, **arguments)

    hints = get_type_hints(command, include_extras=True)
    own = list(inspect.signature(command).parameters.values())[1:]
    shared = {
        "context": typer.Context,
        "store_given": StoreOption,
        "farm_given": FarmOption,
        "now_given": NowOption,
        "json_given": JsonOption,
    }
    defaults = {"context": inspect.Parameter.empty, "json_given": False}
    parameters = [item.replace(annotation=hints[item.name]) for item in own] + [
        inspect.Parameter(
            name,
            inspect.Parameter.KEYWORD_ONLY,
            annotation=annotation,
            default=defaults.get(name),
        )
        for name, annotation in shared.items()
    ]
    made = cast(Any, run)
    del made.__wrapped__
    made.__signature__ = inspect.Signature(
        [item.replace(kind=inspect.Parameter.KEYWORD_ONLY) for item in parameters]
    )
    made.__annotations__ = {item.name: item.annotation for item in parameters}
    return run


@contextmanager
def _ending(desk: Desk) -> Iterator[None]:
    try:
        yield
        sys.stdout.flush()
    except VoicelogError as problem:
        talk(problem.paragraph())
        raise typer.Exit(1) from problem
    except BrokenPipeError as problem:
        # Whoever read our output has gone; what is still in the buffer is for nobody.
        _drop_output()
        raise typer.Exit(1) from problem
    except KeyboardInterrupt as problem:
        talk("Stopped.")
        raise typer.Exit(1) from problem
    except (typer.Exit, typer.Abort, typer.BadParameter):
        raise
    except Exception as problem:
        if _is_usage_error(problem):
            raise
        talk(
            f"A fault in the program stopped this: {type(problem).__name__}: {problem}. "
            f"{desk.kept()} Set VOICELOG_TRACE=1 and try again to see where."
        )
        if os.environ.get("VOICELOG_TRACE"):
            traceback.print_exc()
        raise typer.Exit(1) from problem
    finally:
        desk.close()


def _is_usage_error(problem: Exception) -> bool:
    return hasattr(problem, "exit_code")


def _drop_output() -> None:
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
    except (OSError, ValueError):
        return


def say(text: str = "") -> None:
    """A line of data for people, on stdout."""
    typer.echo(text.encode("utf-8", "replace") + b"\n", nl=False)


def write(line: bytes) -> None:
    """A line of JSON, with its line feed, on stdout."""
    typer.echo(line, nl=False)


def talk(text: str) -> None:
    """A line of talk, on stderr."""
    lines = (printable(line) for line in text.splitlines())
    typer.echo("\n".join(lines).encode("utf-8", "replace") + b"\n", err=True, nl=False)


def typed(words: list[str]) -> str:
    """The words of a command line as one text, bytes that are no UTF-8 replaced."""
    text = " ".join(words)
    try:
        return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    except UnicodeEncodeError:
        return text.encode("utf-8", "replace").decode("utf-8")


def stdin_lines() -> Iterator[str]:
    """Lines of standard input: split at line feeds only, CR LF counting as one."""
    for line in sys.stdin.buffer:
        text = line.removesuffix(b"\n")
        if len(text) != len(line):
            text = text.removesuffix(b"\r")
        yield text.decode("utf-8", "replace")


@functools.cache
def _examples() -> dict[str, list[str]]:
    import tomllib

    return tomllib.loads((files("voicelog.demo") / "examples.toml").read_text("utf-8"))


def example(name: str) -> str:
    """The first command line shown as an example of a command."""
    return _examples()[name][0]


def take_common(
    context: typer.Context,
    store: StoreOption = None,
    farm: FarmOption = None,
    now: NowOption = None,
    json: JsonOption = False,
) -> None:
    """Keep the common options that stand before the name of a command inside another."""
    given = Given(store=store, farm=farm, now=now, json=json)
    context.obj = given.over(context.obj) if isinstance(context.obj, Given) else given


def page(name: str, text: str) -> str:
    """The help of a command: its text and its examples."""
    examples = "\n".join(f"  {line}" for line in _examples().get(name, ()))
    return f"{inspect.cleandoc(text)}\n\n\b\nExamples:\n{examples}" if examples else text


def add_command(
    app: typer.Typer, name: str, command: Callable[..., None], text: str, *, brief: str
) -> None:
    """Add a command with its page of help and its one line in the list of commands."""
    app.command(name, cls=WordsCommand, help=page(name, text), short_help=brief)(command)
