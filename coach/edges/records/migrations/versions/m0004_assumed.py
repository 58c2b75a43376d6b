"""Which numbers were assumed for a training cylinder, and which minutes rest on them."""

from __future__ import annotations

from alembic import op
from sqlalchemy import Boolean, Column, false

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add the columns; every journal counts as changed, so that the next update fills them."""
    for table, name in (("attempts", "oxygen_assumed"), ("numbers", "assumed")):
        op.add_column(table, Column(name, Boolean, nullable=False, server_default=false()))
    op.execute("UPDATE journals SET marks_crc32 = -1")
    op.execute("DELETE FROM stations")
