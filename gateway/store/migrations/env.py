"""Run by Alembic, on the connection that gateway.store.migrate hands over."""

from alembic import context

from gateway.store import tables as tables  # every table must be known before they are compared
from gateway.store.columns import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    transaction_per_migration=False,
)
context.run_migrations()
