"""`farm`: the farm file shown, checked, made and added to."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from voicelog import forms
from voicelog.app.farm_edits import add_part, farm_form, new_farm
from voicelog.app.farm_model import names_heard
from voicelog.cli.common import Desk, page, say, take_common, talk, with_common, write
from voicelog.errors import FarmFileError, ModelError, RequestError
from voicelog.farm import Farm
from voicelog.sentences import counted, number_text

_FARM = """
Show, check and change the farm file: places, flocks, birds, measures and chores.

Its names are the ones that memos are read by and that the recogniser knows. The file is TOML and
may as well be changed in an editor; `voicelog farm check` tells every fault at once.
"""

AlsoOption = Annotated[
    list[str] | None, typer.Option("--also", help="Another way it is called; repeatable.")
]
SoundsLikeOption = Annotated[
    str | None,
    typer.Option(
        "--sounds-like", help='Common words that sound like the name, such as "zan thee".'
    ),
]
NameArgument = Annotated[str, typer.Argument(metavar="NAME")]
DayOption = Annotated[datetime | None, typer.Option(formats=["%Y-%m-%d"])]


class _AddCommand(TyperCommand):
    """A command whose page ends with the names that the catalogue declares for it."""

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """Read the catalogue only where the page is asked for."""
        title, names = _declared(ctx.command.name or "")
        if names:
            formatter.write_paragraph()
            formatter.write_text(f"{title}: {', '.join(names)}.")


def _declared(part: str) -> tuple[str, list[str]]:
    from voicelog.catalogue import load_catalogue

    catalogue = load_catalogue()
    if part == "place":
        return "Kinds of place", [kind.name for kind in catalogue.places]
    if part == "flock":
        return "Classes", [group.name for group in catalogue.classes]
    return "Kinds of record", [kind.name for kind in catalogue.kinds if part == "chore"]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    farm = typer.Typer(
        callback=take_common, help=page("", _FARM).split("\n\n\b")[0], no_args_is_help=True
    )
    farm.command("show", help=page("farm show", "Show the farm file."))(show)
    farm.command("check", help=page("farm check", "Tell every fault of the farm file."))(check)
    farm.command("new", help=page("farm new", "Make a farm file."))(new)
    add = typer.Typer(
        callback=take_common,
        help=page("farm add", "Add to the farm file."),
        no_args_is_help=True,
    )
    for part, text, command in (
        ("place", "Add a place.", add_place),
        ("flock", "Add a flock.", add_flock),
        ("bird", "Add a bird with a name.", add_bird),
        ("measure", "Add what a measure of this farm holds.", add_measure),
        ("chore", "Add something that is to be done again and again.", add_chore),
    ):
        add.command(part, cls=_AddCommand, help=page(f"farm add {part}", text))(command)
    farm.add_typer(add, name="add")
    app.add_typer(farm, name="farm", short_help="Show, check and change the farm file.")


@with_common
def show(desk: Desk) -> None:
    """Show the farm file."""
    farm = _farm(desk)
    if desk.json:
        write(forms.line(farm_form(farm)))
    else:
        _show_tables(desk, farm)


@with_common
def check(desk: Desk) -> None:
    """Tell the faults of the farm file."""
    from voicelog.catalogue import load_catalogue
    from voicelog.farm_agreement import remarks_on

    farm = _farm(desk)
    for remark in remarks_on(farm, load_catalogue()):
        talk(remark)
    if desk.json:
        write(forms.line({"file": str(desk.setting.farm_path), "ok": True}))
    else:
        say(f"{desk.setting.farm_path} has no faults: {_counts(farm)}.")


@with_common
def new(
    desk: Desk,
    name: Annotated[str, typer.Option("--name", help="What the farm is called.")] = "farm",
    timezone: Annotated[
        str | None, typer.Option("--timezone", help="Such as America/Chicago; else this machine's.")
    ] = None,
    latitude: Annotated[float | None, typer.Option("--latitude", help="Degrees north.")] = None,
    longitude: Annotated[float | None, typer.Option("--longitude", help="Degrees east.")] = None,
) -> None:
    """Make a farm file."""
    from voicelog.app.setting import zone_of_machine

    zone = timezone or zone_of_machine()
    path = desk.setting.farm_path
    farm = new_farm(path, name=name, timezone=zone, latitude=latitude, longitude=longitude)
    _tell_written(desk, farm, "Made")


@with_common
def add_place(
    desk: Desk,
    name: NameArgument,
    kind: Annotated[str, typer.Option("--kind", help="What sort of place.")] = "other",
    also: AlsoOption = None,
    sounds_like: SoundsLikeOption = None,
) -> None:
    """Add a place."""
    fields = {"name": name, "kind": kind, "also": also, "sounds_like": sounds_like}
    _add(desk, "place", fields)


@with_common
def add_flock(
    desk: Desk,
    name: NameArgument,
    class_: Annotated[str, typer.Option("--class", help="What sort of birds.")] = "other",
    count: Annotated[int | None, typer.Option("--count", help="How many there are.")] = None,
    since: DayOption = None,
    hatched: DayOption = None,
    place: Annotated[str | None, typer.Option("--place", help="Where they live.")] = None,
    also: AlsoOption = None,
    sounds_like: SoundsLikeOption = None,
) -> None:
    """Add a flock."""
    fields = {
        "name": name,
        "class": class_,
        "count": count,
        "since": since and since.date(),
        "hatched": hatched and hatched.date(),
        "place": place,
        "also": also,
        "sounds_like": sounds_like,
    }
    _add(desk, "flock", fields)


@with_common
def add_bird(
    desk: Desk,
    name: NameArgument,
    flock: Annotated[str | None, typer.Option("--flock", help="The flock it belongs to.")] = None,
    breed: Annotated[str | None, typer.Option("--breed", help="Its breed.")] = None,
    also: AlsoOption = None,
    sounds_like: SoundsLikeOption = None,
) -> None:
    """Add a bird."""
    fields = {
        "name": name,
        "flock": flock,
        "breed": breed,
        "also": also,
        "sounds_like": sounds_like,
    }
    _add(desk, "bird", fields)


@with_common
def add_measure(
    desk: Desk,
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="The measure's name.")],
    holds: Annotated[str, typer.Option("--holds", help='Such as "3.2 lb".')],
    of: Annotated[str | None, typer.Option("--of", help="Only of this stuff.")] = None,
) -> None:
    """Add a measure."""
    _add(desk, "measure", {"unit": unit, "of": of, "holds": holds})


@with_common
def add_chore(
    desk: Desk,
    record: Annotated[str, typer.Argument(metavar="KIND", help="The record that shows it done.")],
    place: Annotated[
        list[str] | None, typer.Option("--place", help="One chore for each; repeatable.")
    ] = None,
    every: Annotated[str, typer.Option("--every", help='"day", "2 days", "week" …')] = "day",
    by: Annotated[str | None, typer.Option("--by", help="Time of day, such as 12:00.")] = None,
    match: Annotated[
        list[str] | None,
        typer.Option("--match", metavar="SLOT=VALUE", help="What the record must say; repeatable."),
    ] = None,
    words: Annotated[str | None, typer.Option("--words", help="How the list calls it.")] = None,
) -> None:
    """Add a chore."""
    matches = dict(_pair(item) for item in match or ())
    fields = {
        "record": record,
        "places": place,
        "every": every,
        "by": by,
        "match": matches,
        "words": words,
    }
    _add(desk, "chore", fields)


def _pair(item: str) -> tuple[str, str]:
    name, sign, value = item.partition("=")
    if not sign:
        raise typer.BadParameter(f"{item!r} is not SLOT=VALUE.", param_hint="--match")
    return name.strip(), value.strip()


def _add(desk: Desk, part: str, fields: dict[str, Any]) -> None:
    path = desk.setting.farm_path
    if not path.exists():
        raise RequestError(
            f"There is no farm file at {path}.", todo="Make one with `voicelog farm new`."
        )
    _tell_written(desk, add_part(path, part, fields), f"Added a {part} to")


def _tell_written(desk: Desk, farm: Farm, done: str) -> None:
    if desk.json:
        write(forms.line(farm_form(farm)))
    else:
        say(f"{done} {desk.setting.farm_path}: {_counts(farm)}.")


def _farm(desk: Desk) -> Farm:
    if not desk.setting.farm_exists:
        raise FarmFileError(
            f"There is no farm file at {desk.setting.farm_path}.",
            todo="Make one with `voicelog farm new`, or name one with --farm.",
        )
    return desk.setting.farm


def _counts(farm: Farm) -> str:
    return ", ".join(
        counted(len(parts), name)
        for parts, name in (
            (farm.places, "place"),
            (farm.flocks, "flock"),
            (farm.birds, "bird"),
            (farm.measures, "measure"),
            (farm.chores, "chore"),
        )
    )


def _show_tables(desk: Desk, farm: Farm) -> None:
    from voicelog.cli.screens import row, table
    from voicelog.cli.screens import show as show_table

    say(f"{farm.name} ({desk.setting.farm_path})")
    where = ", ".join(str(d) for d in (farm.latitude, farm.longitude) if d is not None)
    say(f"clock {farm.timezone}, {where or 'no latitude and longitude'}, money {farm.currency}")
    if farm.helpers:
        say(f"helpers {', '.join(farm.helpers)}")
    _tell_heard(farm)
    tables = (
        ("places", ("name", "kind", "also"), [
            (place.name, place.kind, ", ".join(place.also)) for place in farm.places
        ]),
        ("flocks", ("name", "class", "count", "since", "place"), [
            (f.name, f.class_, "" if f.count is None else number_text(f.count),
             str(f.since or ""), f.place or "")
            for f in farm.flocks
        ]),
        ("birds", ("name", "flock", "breed"), [
            (bird.name, bird.flock or "", bird.breed or "") for bird in farm.birds
        ]),
        ("measures", ("one", "of", "holds"), [
            (measure.unit, measure.of or "", measure.holds) for measure in farm.measures
        ]),
        ("chores", ("chore", "places", "every", "by"), [
            (c.words, ", ".join(c.places), _every(c.every.count, c.every.unit),
             "" if c.by is None else f"{c.by:%H:%M}")
            for c in farm.chores
        ]),
    )  # fmt: skip
    for title, columns, rows in tables:
        if not rows:
            talk(f"The file names no {title}.")
            continue
        made = table(title, *columns)
        for cells in rows:
            row(made, *cells)
        show_table(made)


def _tell_heard(farm: Farm) -> None:
    """How the recogniser takes the names; that the model is faulty is for the doctor to tell."""
    with suppress(ModelError):
        heard = names_heard(farm)
        if heard is not None:
            talk(heard.told())


def _every(count: int, unit: str) -> str:
    return unit if count == 1 else counted(count, unit)
