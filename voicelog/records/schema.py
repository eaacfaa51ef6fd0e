"""The tables of a store.

`audio`, `memo`, `parse`, `record`, `superseded` and `change` are written once and never again:
triggers of the migrations refuse to update or delete a row of them. `standing`,
`standing_slot` and `standing_bird` are derived from those, kept in the same transaction, and
can be built again at any time; questions read only them. A new kind or slot needs no new
column: slots are rows.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
)

VERSION_TABLE = "voicelog_version"
HEAD = "0001"
"""The newest migration: the form of store that this program reads and writes."""
KNOWN = frozenset({HEAD})
"""Every migration that this program can bring up to `HEAD`."""
APPLICATION_ID = 0x766C6F67
"""Stands in the header of every SQLite store, so that no other program's file is touched."""

metadata = MetaData()

# Only a plain INTEGER key is the row's own number in SQLite.
_Id = BigInteger().with_variant(Integer, "sqlite")

audio = Table(
    "audio",
    metadata,
    Column("sha256", Text, primary_key=True),
    Column("suffix", Text, nullable=False),
    Column("bytes", BigInteger, nullable=False),
)

memo = Table(
    "memo",
    metadata,
    Column("id", _Id, primary_key=True),
    Column("said", BigInteger, nullable=False),
    Column("said_at", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("source", Text, nullable=False),
    Column("transcript", Text),
    Column("audio", ForeignKey("audio.sha256")),
    Index("ix_memo_said", "said"),
)

parse = Table(
    "parse",
    metadata,
    Column("id", _Id, primary_key=True),
    Column("memo_id", ForeignKey("memo.id"), nullable=False),
    Column("parser", Text, nullable=False),
    Column("body", Text, nullable=False),
    Index("ix_parse_memo", "memo_id"),
)

record = Table(
    "record",
    metadata,
    Column("id", _Id, primary_key=True),
    Column("memo_id", ForeignKey("memo.id"), nullable=False),
    Column("parse_id", ForeignKey("parse.id"), nullable=False),
    Column("position", Integer, nullable=False),
    Index("ix_record_memo", "memo_id"),
    Index("ix_record_parse", "parse_id", "position", unique=True),
)

superseded = Table(
    "superseded",
    metadata,
    Column("record_id", ForeignKey("record.id"), primary_key=True),
    Column("parse_id", ForeignKey("parse.id"), nullable=False),
)

change = Table(
    "change",
    metadata,
    Column("id", _Id, primary_key=True),
    Column("record_id", ForeignKey("record.id"), nullable=False),
    Column("kind", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("field", Text),
    Column("old", Text, nullable=False),
    Column("new", Text, nullable=False),
    Column("memo_id", ForeignKey("memo.id")),
    Index("ix_change_record", "record_id"),
    Index("ix_change_memo", "memo_id"),
)

standing = Table(
    "standing",
    metadata,
    Column("record_id", ForeignKey("record.id"), primary_key=True, autoincrement=False),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("memo_id", ForeignKey("memo.id"), nullable=False),
    Column("said_at", Text, nullable=False),
    Column("since", BigInteger, nullable=False),
    Column("until", BigInteger, nullable=False),
    Column("begins", BigInteger, nullable=False),
    Column("kind", Text, nullable=False),
    Column("status", Text, nullable=False),
    Column("place", Text),
    Column("flock", Text),
    Column("words", Text, nullable=False),
    Column("withdrawn", Boolean, nullable=False),
    Column("confirmed", Boolean, nullable=False),
    Column("corrected", Text, nullable=False),
    Column("body", Text, nullable=False),
    Index("ix_standing_memo", "memo_id"),
    Index("ix_standing_begins", "begins"),
    # The rest of the columns let most questions be answered from the index alone.
    Index(
        "ix_standing_kind",
        "kind",
        "begins",
        "since",
        "until",
        "withdrawn",
        "status",
        "place",
        "flock",
        "record_id",
        "revision",
    ),
    Index("ix_standing_place", "kind", "place", "begins", "since", "until", "withdrawn", "status"),
)

standing_slot = Table(
    "standing_slot",
    metadata,
    Column("record_id", BigInteger, primary_key=True, autoincrement=False),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("name", Text, primary_key=True),
    Column("number", Double),
    Column("text", Text),
    Column("unit", Text),
    ForeignKeyConstraint(
        ["record_id", "revision"],
        ["standing.record_id", "standing.revision"],
        ondelete="CASCADE",
        name="fk_standing_slot",
    ),
    Index("ix_standing_slot_value", "name", "text", "number"),
    sqlite_with_rowid=False,
)

standing_bird = Table(
    "standing_bird",
    metadata,
    Column("record_id", BigInteger, primary_key=True, autoincrement=False),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("bird", Text, primary_key=True),
    ForeignKeyConstraint(
        ["record_id", "revision"],
        ["standing.record_id", "standing.revision"],
        ondelete="CASCADE",
        name="fk_standing_bird",
    ),
    Index("ix_standing_bird_name", "bird"),
    sqlite_with_rowid=False,
)

KEPT = (audio, memo, parse, record, superseded, change)
"""Written once; in an order in which each row's references come before it."""
DERIVED = (standing_bird, standing_slot, standing)
"""Built from `KEPT`; in an order in which they can be emptied."""
