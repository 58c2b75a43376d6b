"""The tables of the records. Nothing stands in them that is not in a journal or the register.

`station` is the id of the data folder (its register's) that a row comes from: several may write
into one database, and each makes only its own rows anew. Times named `at`, `started` and `changed`
are ISO 8601 with their offset as they were recorded; `started_s` is the instant in seconds since
1970, by which attempts are ordered. Shares are 0 to 1. `standings` and `last_steps` are worked out
from the other tables, so that a class of many can be shown at once.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)

REVISION = "0004"
"""The newest migration: what the tables below look like."""

ID = String(64)

metadata = MetaData()

stations = Table(
    "stations",
    metadata,
    Column("station", ID, primary_key=True),
    Column("seen", Text, nullable=False),
)
"""What state of a data folder its rows come from: a note for the next update, no record."""

learners = Table(
    "learners",
    metadata,
    Column("id", ID, primary_key=True),
    Column("station", ID, nullable=False),
    Column("name", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("changed", Text, nullable=False),
)

certificates = Table(
    "certificates",
    metadata,
    Column("learner", ID, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("station", ID, nullable=False),
    Column("name", Text, nullable=False),
    Column("valid_until", String(10), nullable=False),
    Column("skills", Text, nullable=False),
    Column("changed", Text, nullable=False),
)
"""`key` is the folded name; `skills` are ids with spaces between, none for all skills."""

hand_marks = Table(
    "hand_marks",
    metadata,
    Column("attempt", ID, primary_key=True),
    Column("step", String(200), primary_key=True),
    Column("judge", Text, primary_key=True),
    Column("at", String(40), primary_key=True),
    Column("mark", String(20), primary_key=True),
    Column("station", ID, nullable=False),
    Column("because", Text, nullable=False),
)

imports = Table(
    "imports",
    metadata,
    Column("station", ID, primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("at", Text, nullable=False),
    Column("file", Text, nullable=False),
    Column("sha256", ID, nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("learners", Integer, nullable=False),
)

journals = Table(
    "journals",
    metadata,
    Column("station", ID, primary_key=True),
    Column("name", String(300), primary_key=True),
    Column("bytes", BigInteger, nullable=False),
    Column("tail_crc32", BigInteger, nullable=False),
    Column("marks_crc32", BigInteger, nullable=False),
    Column("attempt", ID, nullable=False),
    Column("refused", Text, nullable=False),
    Column("ended", Boolean, nullable=False),
)
"""The journals that were read, by what tells a change of them; `refused` is why one gave no
attempt, empty if it did."""

attempts = Table(
    "attempts",
    metadata,
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
    Column("oxygen_assumed", Boolean, nullable=False),
)
"""`coach_verdict` is the verdict without marks set by hand; `events` are those in the journal;
`oxygen_assumed`: the minutes of oxygen rest on an assumed pressure."""


def _attempt() -> Column[str]:
    return Column("attempt", ID, ForeignKey("attempts.id", ondelete="CASCADE"), primary_key=True)


def _position() -> Column[int]:
    return Column("position", Integer, primary_key=True, autoincrement=False)


results = Table("results", metadata, _attempt(), Column("content", LargeBinary, nullable=False))
"""The whole result as its JSON (`coach.report.attempt.result_bytes`)."""

steps = Table(
    "steps",
    metadata,
    _attempt(),
    _position(),
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
"""`coach_mark` is the mark without those set by hand."""

numbers = Table(
    "numbers",
    metadata,
    _attempt(),
    _position(),
    Column("step", String(200), nullable=False),
    Column("name", Text, nullable=False),
    Column("said", Text, nullable=False),
    Column("unit", String(40), nullable=False),
    Column("low", Double, nullable=False),
    Column("high", Double, nullable=False),
    Column("in_range", Boolean, nullable=False),
    Column("corrected", Boolean, nullable=False),
    Column("at_s", Double, nullable=False),
    Column("assumed", Boolean, nullable=False),
)
"""`said` are the values with spaces between: one, or both of a blood pressure; `assumed`: nothing
was read, it was taken for a training cylinder."""

failures = Table(
    "failures",
    metadata,
    _attempt(),
    _position(),
    Column("about", String(200), nullable=False),
    Column("what", Text, nullable=False),
    Column("because", Text, nullable=False),
    Column("at_s", Double, nullable=False),
    Column("corrected", Boolean, nullable=False),
)

Index("attempts_by_learner", attempts.c.learner, attempts.c.skill, attempts.c.started_s)

standings = Table(
    "standings",
    metadata,
    Column("learner", ID, primary_key=True),
    Column("skill", String(200), primary_key=True),
    Column("attempts", Integer, nullable=False),
    Column("seconds", Double, nullable=False),
    Column("last", Text, nullable=False),
    Column("alone", Text, nullable=False),
    Column("clean", Text, nullable=False),
    Column("memory", Text, nullable=False),
)
"""What all attempts of a learner at a skill come to: `last`, `alone` and `clean` are as
`coach.records.class_table.History` has them, in JSON, `memory` is what the plan of rehearsals
makes of all (`standing_rows`); "" for none."""

last_steps = Table(
    "last_steps",
    metadata,
    Column("learner", ID, primary_key=True),
    Column("skill", String(200), primary_key=True),
    _position(),
    Column("step", String(200), nullable=False),
    Column("name", Text, nullable=False),
    Column("mark", String(20), nullable=False),
)
"""The steps of each learner's last attempt alone at each skill."""

Index(
    "last_steps_by_mark",
    last_steps.c.skill,
    last_steps.c.step,
    last_steps.c.mark,
    last_steps.c.learner,
    last_steps.c.position,
)

student_drills = Table(
    "student_drills",
    metadata,
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
"""Drills with a student who makes mistakes (`coach.records.student_drills`), a row for each of
their journals; `learner` watched, `caught` and `missed` are lists of sentences in JSON."""

standings_model = Table("standings_model", metadata, Column("model", String(100), primary_key=True))
"""What the standings were worked out by: where that is no longer so, they are all made anew."""

OF_AN_ATTEMPT = (results, steps, numbers, failures)
"""The tables whose rows go with an attempt."""
