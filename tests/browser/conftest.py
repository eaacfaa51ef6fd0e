"""The server in its own process on a small invented farm, and a real browser looking at it."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

NOW = "2027-05-04T18:00"
PHONE = (390, 844)
DESK = (1200, 800)
FARM = """\
name = "Plum Hollow"
timezone = "America/New_York"
latitude = 42.0
longitude = -72.0

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"

[[chore]]
record = "eggs"
places = ["coop A", "coop B"]
every = "day"
by = "12:00"
"""
_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture
def store_file(tmp_path: Path) -> Path:
    """Where the store goes, its farm file beside it; nothing is there yet."""
    (tmp_path / "farm.toml").write_text(FARM, encoding="utf-8")
    return tmp_path / "store.db"


@pytest.fixture
def address(store_file: Path) -> Iterator[str]:
    """The address of the running screens."""
    environment = {
        name: value
        for name, value in os.environ.items()
        if name not in ("VOICELOG_STORE", "VOICELOG_FARM", "VOICELOG_TRACE")
    }
    command = [sys.executable, "-m", "voicelog", "serve", "--store", str(store_file)]
    with subprocess.Popen(
        [*command, "--now", NOW, "--port", "0", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment,
    ) as server:
        assert server.stdout is not None
        yield json.loads(server.stdout.readline())["address"]
        server.send_signal(signal.SIGINT)
        assert server.wait(timeout=20) == 0


@pytest.fixture(scope="module", params=[PHONE, DESK], ids=["phone", "desk"])
def browser(request: pytest.FixtureRequest, tmp_path_factory: Any) -> Iterator[Any]:
    """A headless Chromium of that size, with a profile of its own and without scripts."""
    selenium = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        pytest.skip("no browser: the packages chromium and chromium-driver are not installed")
    options = selenium.ChromeOptions()
    options.binary_location = chromium
    for flag in _FLAGS:
        options.add_argument(flag)
    options.add_argument(f"--user-data-dir={tmp_path_factory.mktemp('profile')}")
    # The screens must do without scripts, so none is allowed to run.
    options.add_experimental_option(
        "prefs", {"profile.managed_default_content_settings.javascript": 2}
    )
    window = selenium.Chrome(
        options=options, service=selenium.ChromeService(executable_path=driver)
    )
    try:
        width, height = request.param
        window.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
        )
        window.implicitly_wait(10)
        yield window
    finally:
        window.quit()
