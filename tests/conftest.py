"""Settings for all tests."""

from __future__ import annotations

from hypothesis import settings

# How long one example takes depends on the machine; speed is measured in tests/bench instead.
settings.register_profile("voicelog", deadline=None)
settings.load_profile("voicelog")
