"""What each learner's attempts at each skill come to, and an index by which they are found."""

from __future__ import annotations

from alembic import op
from sqlalchemy import Column, Double, Integer, String, Text

revision = "0002"
down_revision = "0001"

ID = String(64)


def upgrade() -> None:
    """Make them; they are filled by the next update."""
    op.create_index("attempts_by_learner", "attempts", ["learner", "skill", "started_s"])
    op.create_table(
        "standings",
        Column("learner", ID, primary_key=True),
        Column("skill", String(200), primary_key=True),
        Column("attempts", Integer, nullable=False),
        Column("seconds", Double, nullable=False),
        Column("last", Text, nullable=False),
        Column("alone", Text, nullable=False),
        Column("clean", Text, nullable=False),
        Column("memory", Text, nullable=False),
    )
    op.create_table(
        "last_steps",
        Column("learner", ID, primary_key=True),
        Column("skill", String(200), primary_key=True),
        Column("position", Integer, primary_key=True, autoincrement=False),
        Column("step", String(200), nullable=False),
        Column("name", Text, nullable=False),
        Column("mark", String(20), nullable=False),
    )
    columns = ["skill", "step", "mark", "learner", "position"]
    op.create_index("last_steps_by_mark", "last_steps", columns)
    op.create_table("standings_model", Column("model", String(100), primary_key=True))
