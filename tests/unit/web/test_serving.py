"""The command: what it says at its start, who can reach it, and how it ends."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from typer.testing import CliRunner

from voicelog.cli import app
from voicelog.errors import RequestError
from voicelog.web.running import address, is_this_machine, listen, reach


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(name: str) -> object:
        return None if name in ("starlette", "uvicorn") else object()

    monkeypatch.setattr("voicelog.cli.serving.find_spec", nothing)
    ran = CliRunner().invoke(app, ["serve"])
    assert ran.exit_code == 1
    assert "pip install 'voicelog[web]'" in ran.stderr
    assert "starlette, uvicorn" in ran.stderr


def test_it_has_a_page_with_examples() -> None:
    ran = CliRunner().invoke(app, ["serve", "--help"])
    assert ran.exit_code == 0
    for part in ("voicelog serve", "no password", "--host", "--port", "127.0.0.1"):
        assert part in ran.stdout


@pytest.mark.parametrize("host", ["127.0.0.1", "::1", "localhost", "127.3.4.5"])
def test_on_this_machine_nobody_else_is_let_in(host: str) -> None:
    assert is_this_machine(host)
    told = " ".join(reach(host, 8484))
    assert "Only this machine" in told
    assert "password" not in told


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.20", "barn", ""])
def test_elsewhere_it_says_that_there_is_no_password_and_who_gets_in(host: str) -> None:
    assert not is_this_machine(host)
    told = " ".join(reach(host, 8484))
    assert "There is no password" in told
    assert "whoever can reach this machine" in told


@pytest.mark.parametrize(
    ("host", "opened"),
    [
        ("127.0.0.1", "http://127.0.0.1:8484/"),
        ("0.0.0.0", "http://127.0.0.1:8484/"),
        ("::1", "http://[::1]:8484/"),
        ("barn", "http://barn:8484/"),
    ],
)
def test_the_address_can_be_opened(host: str, opened: str) -> None:
    assert address(host, 8484) == opened


def test_a_port_that_is_taken_is_told() -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with pytest.raises(RequestError, match=f"port {port}: .*--port 0"):
            listen("127.0.0.1", port)


def test_an_address_of_another_machine_is_told() -> None:
    with pytest.raises(RequestError, match=r"cannot be shown at 192\.0\.2\.1"):
        listen("192.0.2.1", 0)


def test_a_faulty_farm_file_is_told_before_anything_is_shown(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text("name = ")
    ran = CliRunner().invoke(app, ["serve", "--store", str(tmp_path / "store.db"), "--port", "0"])
    assert ran.exit_code == 1
    assert "farm.toml" in ran.stderr
    assert ran.stdout == ""


def test_it_runs_until_interrupted_and_loads_nothing_heavy_at_first(tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "from voicelog.cli import app\n"
        "app(['serve', '--json', '--port', '0', '--store', sys.argv[1]], standalone_mode=False)\n"
        "print([name for name in ('spacy', 'vosk', 'av') if name in sys.modules])\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path / "store.db")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as server:
        assert server.stdout is not None
        opened = json.loads(server.stdout.readline())["address"]
        with urllib.request.urlopen(opened, timeout=30) as page:
            assert page.status == 200
        server.send_signal(signal.SIGINT)
        out, talk = server.communicate(timeout=30)
    assert server.returncode == 0
    assert out.strip() == "[]"
    assert "Only this machine can reach it" in talk
