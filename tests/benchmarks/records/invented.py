"""Attempts of invented learners, drawn by a seed, as the records hold them."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import insert

from coach.edges.records.database import Records
from coach.edges.records.standing_rows import renew_standings
from coach.edges.records.tables import OF_AN_ATTEMPT, attempts, learners
from coach.records.rows import AttemptRows, attempt_rows
from coach.report.attempt import (
    Evidence,
    Mark,
    NumberResult,
    Result,
    Spoken,
    StepResult,
    Tells,
    Verdict,
    Way,
)

LEARNERS, SKILLS, STEPS = 500, 24, 14
"""A large school; as many skills as come with the coach, and steps as they have on average."""

FIRST_DAY = datetime(2025, 9, 1, 8, tzinfo=UTC)
DAYS = 365

_AT_ONCE = 1000


def learner_id(number: int) -> str:
    """The id of the learner of that number."""
    return f"{number + 1:032x}"


def invented(count: int, seed: int) -> Iterator[Result]:
    """So many attempts over a year, each learner's own chance of a step rising with practice."""
    chance = random.Random(seed)
    talent = [chance.uniform(0.6, 0.95) for _ in range(LEARNERS)]
    tried: dict[tuple[int, int], int] = {}
    for number in range(count):
        learner, skill = chance.randrange(LEARNERS), chance.randrange(SKILLS)
        before = tried[learner, skill] = tried.get((learner, skill), -1) + 1
        sure = 1 - (1 - talent[learner]) * 0.8**before
        at = FIRST_DAY + timedelta(days=DAYS * number / count, seconds=chance.randrange(3600))
        way = chance.choice([Way.LED, Way.RECALL, Way.RECALL, Way.ASSESSED])
        yield _attempt(number, learner, skill, at, way, sure, chance)


def _attempt(
    number: int,
    learner: int,
    skill: int,
    at: datetime,
    way: Way,
    sure: float,
    chance: random.Random,
) -> Result:
    steps = tuple(_step(place, sure, chance) for place in range(STEPS))
    points = sum(step.points for step in steps)
    ready = points >= 0.8 * 2 * STEPS
    return Result(
        attempt=f"{number + 1:032x}",
        learner=learner_id(learner),
        skill=f"skill-{skill:02}",
        title=f"Invented skill {skill}",
        skill_sha256="ab" * 32,
        choices={"patient": "adult"},
        way=way,
        scenario="",
        program="",
        started=at.isoformat(timespec="seconds"),
        seconds=chance.uniform(120, 480),
        limit_s=0.0,
        rule="plain, version 1",
        verdict=Verdict.READY if ready else Verdict.NOT_YET,
        why="So it was drawn.",
        points=points,
        out_of=2.0 * STEPS,
        passed_from=0.8,
        hints=0 if way is Way.ASSESSED else chance.choice([0, 0, 1]),
        steps=steps,
        numbers=(
            NumberResult("step-03", "pressure", (1700.0,), "psi", 500, 2200, True, False, 40.0),
        ),
        failures=(),
        timed=(),
        oxygen_minutes=24,
        spoken=tuple(Spoken(10.0 * n, n % 2 == 0, f"what was said, {n}") for n in range(STEPS)),
        cautions=("Never with a real patient.",),
    )


def _step(place: int, sure: float, chance: random.Random) -> StepResult:
    mark = Mark.DONE
    if chance.random() > sure:
        mark = chance.choice([Mark.MISSED, Mark.MISSED, Mark.LATE, Mark.UNCLEAR])
    done = mark is Mark.DONE
    heard = (Evidence(10.0 * place, Tells.DONE, f"step {place} is done", 0.93),) if done else ()
    return StepResult(
        f"step-{place:02}",
        f"the step of number {place}",
        mark,
        2.0 if done else 0.0,
        2.0,
        10.0 * place if done else None,
        "So it was drawn.",
        place % 5 == 0,
        0,
        heard,
    )


def fill(records: Records, count: int, seed: int, station: str) -> None:
    """Write so many attempts, and all learners, of a station into an empty database."""
    people = [
        {
            "id": learner_id(number),
            "station": station,
            "name": f"Learner {number:03}",
            "note": "",
            "changed": FIRST_DAY.isoformat(),
        }
        for number in range(LEARNERS)
    ]
    with records.writing() as connection:
        connection.execute(insert(learners), people)
        some: list[AttemptRows] = []
        for result in invented(count, seed):
            some.append(attempt_rows(result, result, result.learner, True, 100))
            if len(some) == _AT_ONCE:
                _write(connection, some, station)
                some = []
        _write(connection, some, station)
        renew_standings(connection, ())


def _write(connection: Any, some: Sequence[AttemptRows], station: str) -> None:
    if not some:
        return
    mine: list[Mapping[str, Any]] = [
        {**rows.attempt, "station": station, "journal": f"{rows.attempt['id']}.jsonl"}
        for rows in some
    ]
    connection.execute(insert(attempts), mine)
    for table in OF_AN_ATTEMPT:
        if rows := [row for each in some for row in each.others[table.name]]:
            connection.execute(insert(table), rows)
