"""Drills with a student who makes mistakes."""

from __future__ import annotations

from alembic import op
from sqlalchemy import BigInteger, Boolean, Column, Double, Integer, String, Text

revision = "0003"
down_revision = "0002"

ID = String(64)


def upgrade() -> None:
    """Make their table; it is filled by the next update or rebuild."""
    op.create_table(
        "student_drills",
        Column("station", ID, primary_key=True),
        Column("journal", String(300), primary_key=True),
        Column("id", ID, nullable=False),
        Column("learner", ID, nullable=False),
        Column("skill", String(200), nullable=False),
        Column("started", String(40), nullable=False),
        Column("seconds", Double, nullable=False),
        Column("seed", BigInteger, nullable=False),
        Column("mistakes", Integer, nullable=False),
        Column("caught", Text, nullable=False),
        Column("missed", Text, nullable=False),
        Column("without_cause", Integer, nullable=False),
        Column("whole", Boolean, nullable=False),
    )
