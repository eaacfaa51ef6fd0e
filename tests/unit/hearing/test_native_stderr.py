"""The engine's chatter is held back; everyone else's words arrive."""

from __future__ import annotations

import os
import sys
from threading import Barrier, Thread

import pytest

from voicelog.hearing.native_stderr import quiet


def test_chatter_is_kept_and_the_rest_is_shown(capfd: pytest.CaptureFixture[str]) -> None:
    with quiet() as chatter:
        os.write(2, b"ERROR (VoskAPI:Model():model.cc:122) The folder is odd\n")
        os.write(2, b"someone else\n")
        print("python too", file=sys.__stderr__, flush=True)
    assert chatter.complaint == "The folder is odd"
    assert capfd.readouterr().err == "someone else\npython too\n"


def test_the_screen_is_back_after_an_error(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ValueError, match="x"), quiet():
        raise ValueError("x")
    os.write(2, b"shown\n")
    assert capfd.readouterr().err == "shown\n"


def test_threads_inside_at_once_leave_the_screen_as_it_was(
    capfd: pytest.CaptureFixture[str],
) -> None:
    together = Barrier(4)

    def work(number: int) -> None:
        for _ in range(20):
            with quiet():
                together.wait(timeout=20)
                os.write(2, f"{number}\n".encode())

    threads = [Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    os.write(2, b"end\n")
    said = capfd.readouterr().err.splitlines()
    assert said[-1] == "end"
    assert sorted(said[:-1]) == sorted(str(number) for number in range(4) for _ in range(20))
