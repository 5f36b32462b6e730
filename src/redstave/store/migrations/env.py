"""Alembic's way in: migrations run on the connection that the season has open."""

from alembic import context

from redstave.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=True,
)
context.run_migrations()
