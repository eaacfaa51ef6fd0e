"""Settings for all tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import settings

# How long one example takes depends on the machine; speed is measured in tests/bench instead.
settings.register_profile("voicelog", deadline=None)
settings.load_profile("voicelog")


@pytest.fixture(scope="session", autouse=True)
def cache_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Speech models of the tests' farms are not kept beside this user's own."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield
