"""Which store and which farm a command works on, and what time it is there."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path

from voicelog import clock
from voicelog.errors import FarmFileError, RequestError, StoreError
from voicelog.farm import EMPTY_FARM, Farm, load_farm

STORE_NAME = "voicelog.db"
FARM_NAME = "farm.toml"
_TIMEZONE = re.compile(r"""^\s*timezone\s*=\s*["']([^"']+)["']""", re.MULTILINE)


def user_folder() -> Path:
    """Where the store and the farm file are kept unless told otherwise.

    `$XDG_DATA_HOME/voicelog`, by default `~/.local/share/voicelog`; on Windows
    `%LOCALAPPDATA%\\voicelog`.
    """
    if os.name == "nt":
        base = os.environ.get("LOCALAPPDATA")
        return (Path(base) if base else Path.home() / "AppData" / "Local") / "voicelog"
    base = os.environ.get("XDG_DATA_HOME")
    return (Path(base) if base else Path.home() / ".local" / "share") / "voicelog"


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One farm's store and farm file, and the time that was given, if any."""

    store: str
    """Path or address of the store, whether or not it is there."""
    store_named: bool
    """False for the default store, whose folder is made where needed."""
    farm_path: Path
    """The farm file, whether or not it is there."""
    farm_named: bool
    """True where the farm file was asked for and so must be there."""
    now_said: str | None = None
    """`--now` as it was given."""
    recordings: Path | None = None
    """The folder for a database server's recordings, if one was named."""

    @property
    def store_path(self) -> Path | None:
        """The file of the store; None for a database server."""
        if "://" not in self.store:
            return Path(self.store).expanduser()
        head, _, path = self.store.partition(":///")
        return Path(path) if head.startswith("sqlite") and path else None

    @property
    def recordings_apart(self) -> Path | None:
        """The folder for recordings; None where they are beside a store's file, or kept nowhere."""
        return self.recordings if self.store_path is None else None

    @property
    def store_exists(self) -> bool:
        """Whether the store's file is there; a server is taken to be."""
        return self.store_path is None or self.store_path.exists()

    @property
    def farm_exists(self) -> bool:
        """Whether there is a farm file."""
        return self.farm_path.exists()

    @cached_property
    def farm(self) -> Farm:
        """The farm; where there is no farm file, one without names on this machine's clock.

        Raises:
            FarmFileError: the file has faults, or was asked for and is not there.
        """
        if self.farm_named or self.farm_exists:
            return load_farm(self.farm_path)
        return replace(EMPTY_FARM, timezone=zone_of_machine())

    def now(self) -> datetime:
        """The time to go by: `--now`, else the present.

        Raises:
            RequestError: `--now` is no date-time.
        """
        if self.now_said is None:
            return clock.now_in(self.farm.timezone)
        return self.moment(self.now_said)

    @property
    def farm_fault(self) -> FarmFileError | None:
        """What keeps the farm file from being read; None where nothing does."""
        try:
            assert self.farm
        except FarmFileError as fault:
            return fault
        return None

    @property
    def memo_timezone(self) -> str:
        """The IANA time zone to keep memos by, which a fault in the farm file must not stop.

        Of a file with faults it is the zone that stands in it, else that of this machine's clock.
        """
        if self.farm_fault is None:
            return self.farm.timezone
        with suppress(OSError, ValueError, LookupError):
            named = _TIMEZONE.search(self.farm_path.read_text(encoding="utf-8"))
            if named is not None and clock.now_in(named[1]):
                return named[1]
        return zone_of_machine()

    def memo_now(self) -> datetime:
        """The time to keep a memo by: `--now`, else the present.

        Raises:
            RequestError: `--now` is no date-time.
        """
        if self.now_said is None:
            return clock.now_in(self.memo_timezone)
        return self.moment(self.now_said, self.memo_timezone)

    def moment(self, text: str, timezone: str | None = None) -> datetime:
        """The moment that an ISO text names, by default on the farm's clock.

        Raises:
            RequestError: the text is no date-time.
        """
        zone = timezone or self.farm.timezone
        try:
            moment = clock.at(text, zone)
            # The first and last days of the calendar cannot be counted from.
            if not 1900 <= moment.year <= 2200:
                raise ValueError
        except (ValueError, OverflowError) as problem:
            raise RequestError(
                f"{text!r} is no date and time between the years 1900 and 2200.",
                todo="Write it like 2027-05-04T08:10.",
            ) from problem
        return moment

    def make_folder(self) -> None:
        """Make the default store's folder where it is not there yet.

        Raises:
            StoreError: it cannot be made.
        """
        if self.store_named or self.store_path is None:
            return
        try:
            self.store_path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise StoreError(
                f"The folder {self.store_path.parent} cannot be made: {problem.strerror}.",
                kept="Nothing was kept.",
                todo="Name a store with --store, or set VOICELOG_STORE.",
            ) from problem


def find_setting(
    store: str | None = None,
    farm: Path | None = None,
    now: str | None = None,
    recordings: Path | None = None,
) -> Setting:
    """The setting for the options given, each None where it was not.

    Without a store it is `voicelog.db` in the user's folder. Without a farm file it is
    `farm.toml` beside the store, where there is one, else `farm.toml` in the user's folder.
    """
    setting = Setting(
        store=store or str(user_folder() / STORE_NAME),
        store_named=bool(store),
        farm_path=farm.expanduser() if farm else user_folder() / FARM_NAME,
        farm_named=farm is not None,
        now_said=now,
        recordings=recordings.expanduser() if recordings else None,
    )
    beside = setting.store_path.parent / FARM_NAME if setting.store_path else None
    if farm is None and beside is not None and beside.exists():
        return replace(setting, farm_path=beside)
    return setting


def zone_of_machine() -> str:
    """The IANA time zone of this machine's clock; UTC where it tells none."""
    from tzlocal import get_localzone_name

    try:
        return get_localzone_name() or EMPTY_FARM.timezone
    except (LookupError, OSError, ValueError):
        return EMPTY_FARM.timezone
