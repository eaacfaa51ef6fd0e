"""Keep memos, parses, records and changes for good, and derive what stands from them."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_KEPT = ("audio", "memo", "parse", "record", "superseded", "change")
_KEYS = {"audio": "sha256", "superseded": "record_id"}
_ID = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Create every table, then close the kept ones to all but new rows."""
    _create_sources()
    _create_history()
    _create_standing()
    _create_standing_details()
    if op.get_bind().dialect.name == "sqlite":
        _guard_sqlite()
    else:
        _guard_postgresql()


def _create_sources() -> None:
    op.create_table(
        "audio",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("suffix", sa.Text, nullable=False),
        sa.Column("bytes", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "memo",
        sa.Column("id", _ID, primary_key=True),
        sa.Column("said", sa.BigInteger, nullable=False),
        sa.Column("said_at", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("source", sa.Text, nullable=False),
        sa.Column("transcript", sa.Text),
        sa.Column("audio", sa.Text, sa.ForeignKey("audio.sha256")),
    )
    op.create_index("ix_memo_said", "memo", ["said"])
    op.create_table(
        "parse",
        sa.Column("id", _ID, primary_key=True),
        sa.Column("memo_id", _ID, sa.ForeignKey("memo.id"), nullable=False),
        sa.Column("parser", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("ix_parse_memo", "parse", ["memo_id"])


def _create_history() -> None:
    op.create_table(
        "record",
        sa.Column("id", _ID, primary_key=True),
        sa.Column("memo_id", _ID, sa.ForeignKey("memo.id"), nullable=False),
        sa.Column("parse_id", _ID, sa.ForeignKey("parse.id"), nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
    )
    op.create_index("ix_record_memo", "record", ["memo_id"])
    op.create_index("ix_record_parse", "record", ["parse_id", "position"], unique=True)
    op.create_table(
        "superseded",
        sa.Column("record_id", _ID, sa.ForeignKey("record.id"), primary_key=True),
        sa.Column("parse_id", _ID, sa.ForeignKey("parse.id"), nullable=False),
    )
    op.create_table(
        "change",
        sa.Column("id", _ID, primary_key=True),
        sa.Column("record_id", _ID, sa.ForeignKey("record.id"), nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("field", sa.Text),
        sa.Column("old", sa.Text, nullable=False),
        sa.Column("new", sa.Text, nullable=False),
        sa.Column("memo_id", _ID, sa.ForeignKey("memo.id")),
    )
    op.create_index("ix_change_record", "change", ["record_id"])
    op.create_index("ix_change_memo", "change", ["memo_id"])


def _create_standing() -> None:
    op.create_table(
        "standing",
        sa.Column(
            "record_id", _ID, sa.ForeignKey("record.id"), primary_key=True, autoincrement=False
        ),
        sa.Column("revision", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("memo_id", _ID, sa.ForeignKey("memo.id"), nullable=False),
        sa.Column("said_at", sa.Text, nullable=False),
        sa.Column("since", sa.BigInteger, nullable=False),
        sa.Column("until", sa.BigInteger, nullable=False),
        sa.Column("begins", sa.BigInteger, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("status", sa.Text, nullable=False),
        sa.Column("place", sa.Text),
        sa.Column("flock", sa.Text),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("withdrawn", sa.Boolean, nullable=False),
        sa.Column("confirmed", sa.Boolean, nullable=False),
        sa.Column("corrected", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    seen = ["since", "until", "withdrawn", "status"]
    op.create_index("ix_standing_memo", "standing", ["memo_id"])
    op.create_index("ix_standing_begins", "standing", ["begins"])
    op.create_index(
        "ix_standing_kind",
        "standing",
        ["kind", "begins", *seen, "place", "flock", "record_id", "revision"],
    )
    op.create_index("ix_standing_place", "standing", ["kind", "place", "begins", *seen])


def _create_standing_details() -> None:
    op.create_table(
        "standing_slot",
        sa.Column("record_id", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("revision", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("number", sa.Double),
        sa.Column("text", sa.Text),
        sa.Column("unit", sa.Text),
        _of_standing("fk_standing_slot"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_standing_slot_value", "standing_slot", ["name", "text", "number"])
    op.create_table(
        "standing_bird",
        sa.Column("record_id", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("revision", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("bird", sa.Text, primary_key=True),
        _of_standing("fk_standing_bird"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_standing_bird_name", "standing_bird", ["bird"])


def _of_standing(name: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["record_id", "revision"],
        ["standing.record_id", "standing.revision"],
        ondelete="CASCADE",
        name=name,
    )


def _guard_sqlite() -> None:
    for table in _KEPT:
        key = _KEYS.get(table, "id")
        told = f"SELECT RAISE(ABORT, 'rows of {table} are kept for good')"
        for event in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{event.lower()} BEFORE {event} ON {table} "
                f"BEGIN {told}; END"
            )
        # INSERT OR REPLACE deletes without waking the trigger above.
        op.execute(
            f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {key} = NEW.{key}) BEGIN {told}; END"
        )


def _guard_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION kept_for_good() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'rows of % are kept for good', TG_TABLE_NAME; END $$"
    )
    for table in _KEPT:
        op.execute(
            f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION kept_for_good()"
        )
        op.execute(
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION kept_for_good()"
        )
