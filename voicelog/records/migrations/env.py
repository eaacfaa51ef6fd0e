"""Runs the migrations on the connection, and in the transaction, that it is given."""

from alembic import context

from voicelog.records.schema import VERSION_TABLE, metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=VERSION_TABLE,
)
with context.begin_transaction():
    context.run_migrations()
