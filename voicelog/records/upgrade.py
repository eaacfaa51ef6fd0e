"""Brings a store to the form that this program reads; loaded only when it is not there yet."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection


def bring_up(connection: Connection) -> None:
    """Run the migrations still missing, in the connection's open transaction."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
