"""The demonstration farm and its month of memos, put into a store."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path

from voicelog.app.notebook import Notebook
from voicelog.app.setting import FARM_NAME, STORE_NAME, Setting
from voicelog.errors import FarmFileError, RequestError, StoreError
from voicelog.farm import read_farm


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoMemo:
    """One memo of the month."""

    said: str
    """When, on the farm's clock, as ISO text."""
    text: str


def demo_lines() -> tuple[DemoMemo, ...]:
    """The month's memos in order."""
    text = (files("voicelog.demo") / "memos.jsonl").read_text("utf-8")
    plain = [json.loads(line) for line in text.splitlines()]
    return tuple(DemoMemo(said=item["now"], text=item["text"]) for item in plain)


def demo_setting(setting: Setting, folder: Path) -> Setting:
    """Where the demonstration goes: the store that was named, else one in `folder`.

    Raises:
        RequestError: the store holds memos already.
    """
    if not setting.store_named:
        setting = replace(setting, store=str(folder / STORE_NAME), store_named=True)
        setting = replace(setting, farm_path=folder / FARM_NAME)
        _make(folder)
    elif not setting.farm_named:
        beside = setting.store_path.parent if setting.store_path else folder
        setting = replace(setting, farm_path=beside / FARM_NAME)
    with Notebook(setting) as notebook:
        if setting.store_exists and notebook.reading.last_memo() is not None:
            raise RequestError(
                f"The store {setting.store} holds memos already.",
                kept="It was left as it was.",
                todo="Name a new store with --store, or another folder.",
            )
    return replace(setting, farm_named=True)


def fill(setting: Setting, memos: Iterable[DemoMemo], tell: Callable[[str], None]) -> int:
    """Write the farm file where there is none, and note every memo; returns how many.

    Raises:
        RequestError: there is a farm file already that is another farm's.
    """
    text = (files("voicelog.demo") / "farm.toml").read_text("utf-8")
    if not setting.farm_path.exists():
        try:
            setting.farm_path.write_text(text, encoding="utf-8", newline="\n")
        except OSError as problem:
            raise FarmFileError(
                f"The farm file {setting.farm_path} cannot be written: {problem.strerror}.",
                todo="Name another folder.",
            ) from problem
    elif setting.farm != read_farm(text):
        raise RequestError(
            f"The farm file {setting.farm_path} is another farm's.",
            kept="It was left as it was.",
            todo="Name a store in another folder with --store.",
        )
    with Notebook(setting, tell) as notebook:
        noted = [
            notebook.note(memo.text, setting.moment(memo.said), source="imported") for memo in memos
        ]
    return len(noted)


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise StoreError(
            f"The folder {folder} cannot be made: {problem.strerror}.", todo="Name another."
        ) from problem
