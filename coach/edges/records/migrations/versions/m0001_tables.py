"""The tables of the beginning."""

from __future__ import annotations

from alembic import op
from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    Integer,
    LargeBinary,
    String,
    Text,
)

revision = "0001"
down_revision = None

ID = String(64)


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "stations",
        Column("station", ID, primary_key=True),
        Column("seen", Text, nullable=False),
    )
    op.create_table(
        "learners",
        Column("id", ID, primary_key=True),
        Column("station", ID, nullable=False),
        Column("name", Text, nullable=False),
        Column("note", Text, nullable=False),
        Column("changed", Text, nullable=False),
    )
    op.create_table(
        "certificates",
        Column("learner", ID, primary_key=True),
        Column("key", Text, primary_key=True),
        Column("station", ID, nullable=False),
        Column("name", Text, nullable=False),
        Column("valid_until", String(10), nullable=False),
        Column("skills", Text, nullable=False),
        Column("changed", Text, nullable=False),
    )
    op.create_table(
        "hand_marks",
        Column("attempt", ID, primary_key=True),
        Column("step", String(200), primary_key=True),
        Column("judge", Text, primary_key=True),
        Column("at", String(40), primary_key=True),
        Column("mark", String(20), primary_key=True),
        Column("station", ID, nullable=False),
        Column("because", Text, nullable=False),
    )
    op.create_table(
        "imports",
        Column("station", ID, primary_key=True),
        Column("number", Integer, primary_key=True),
        Column("at", Text, nullable=False),
        Column("file", Text, nullable=False),
        Column("sha256", ID, nullable=False),
        Column("attempts", Integer, nullable=False),
        Column("learners", Integer, nullable=False),
    )
    op.create_table(
        "journals",
        Column("station", ID, primary_key=True),
        Column("name", String(300), primary_key=True),
        Column("bytes", BigInteger, nullable=False),
        Column("tail_crc32", BigInteger, nullable=False),
        Column("marks_crc32", BigInteger, nullable=False),
        Column("attempt", ID, nullable=False),
        Column("refused", Text, nullable=False),
        Column("ended", Boolean, nullable=False),
    )
    op.create_table(
        "attempts",
        Column("id", ID, primary_key=True),
        Column("station", ID, nullable=False),
        Column("journal", String(300), nullable=False),
        Column("learner", ID, nullable=False),
        Column("skill", String(200), nullable=False),
        Column("title", Text, nullable=False),
        Column("skill_sha256", ID, nullable=False),
        Column("choices", Text, nullable=False),
        Column("way", String(20), nullable=False),
        Column("scenario", Text, nullable=False),
        Column("program", Text, nullable=False),
        Column("started", String(40), nullable=False),
        Column("started_s", Double, nullable=False),
        Column("seconds", Double, nullable=False),
        Column("limit_s", Double, nullable=False),
        Column("rule", Text, nullable=False),
        Column("verdict", String(20), nullable=False),
        Column("coach_verdict", String(20), nullable=False),
        Column("why", Text, nullable=False),
        Column("points", Double, nullable=False),
        Column("out_of", Double, nullable=False),
        Column("share", Double, nullable=False),
        Column("passed_from", Double, nullable=False),
        Column("hints", Integer, nullable=False),
        Column("oxygen_minutes", Integer),
        Column("judged_by", Text, nullable=False),
        Column("ended", Boolean, nullable=False),
        Column("events", Integer, nullable=False),
    )
    op.create_table(
        "results",
        Column("attempt", ID, ForeignKey("attempts.id", ondelete="CASCADE"), primary_key=True),
        Column("content", LargeBinary, nullable=False),
    )
    op.create_table(
        "steps",
        Column("attempt", ID, ForeignKey("attempts.id", ondelete="CASCADE"), primary_key=True),
        Column("position", Integer, primary_key=True, autoincrement=False),
        Column("step", String(200), nullable=False),
        Column("name", Text, nullable=False),
        Column("mark", String(20), nullable=False),
        Column("coach_mark", String(20), nullable=False),
        Column("points", Double, nullable=False),
        Column("out_of", Double, nullable=False),
        Column("at_s", Double),
        Column("safety", Boolean, nullable=False),
        Column("hints", Integer, nullable=False),
    )
    op.create_table(
        "numbers",
        Column("attempt", ID, ForeignKey("attempts.id", ondelete="CASCADE"), primary_key=True),
        Column("position", Integer, primary_key=True, autoincrement=False),
        Column("step", String(200), nullable=False),
        Column("name", Text, nullable=False),
        Column("said", Text, nullable=False),
        Column("unit", String(40), nullable=False),
        Column("low", Double, nullable=False),
        Column("high", Double, nullable=False),
        Column("in_range", Boolean, nullable=False),
        Column("corrected", Boolean, nullable=False),
        Column("at_s", Double, nullable=False),
    )
    op.create_table(
        "failures",
        Column("attempt", ID, ForeignKey("attempts.id", ondelete="CASCADE"), primary_key=True),
        Column("position", Integer, primary_key=True, autoincrement=False),
        Column("about", String(200), nullable=False),
        Column("what", Text, nullable=False),
        Column("because", Text, nullable=False),
        Column("at_s", Double, nullable=False),
        Column("corrected", Boolean, nullable=False),
    )
