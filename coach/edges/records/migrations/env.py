"""What Alembic runs: the steps, on the connection that `coach.edges.records.database` opened."""

from __future__ import annotations

from alembic import context

from coach.edges.records.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
context.run_migrations()
