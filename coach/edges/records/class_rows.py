"""What the class table needs of the database, in a few questions however much is in it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, and_, func, select

from coach.edges.records.standing_rows import evidence_of, memory_of
from coach.edges.records.tables import hand_marks, last_steps, learners, standings, steps
from coach.records.class_table import Evidence, History, Person, StepCounts
from coach.records.names import name_key
from coach.records.rows import instant_s
from coach.rehearsal.memory import Memory


@dataclass(frozen=True, slots=True)
class Standing:
    """What all attempts of a learner at a skill come to."""

    history: History
    memory: Memory | None


def everybody(connection: Connection) -> tuple[Person, ...]:
    """All learners, by their names."""
    found = connection.execute(select(learners.c.id, learners.c.name, learners.c.note))
    people = [Person(id_, f"{name} ({note})" if note else name) for id_, name, note in found]
    return tuple(sorted(people, key=lambda one: (name_key(one.called), one.id)))


def standings_of(
    connection: Connection, of: Sequence[str] | None = None
) -> dict[tuple[str, str], Standing]:
    """What all attempts that ended come to, by learner and skill; `of`: only of these learners."""
    asked = select(standings)
    if of is not None:
        asked = asked.where(standings.c.learner.in_(list(of)))
    rows = connection.execute(asked).all()
    # One text of all is read far faster than each by itself.
    parts = [
        json.loads(f"[{','.join(getattr(row, name) or 'null' for row in rows)}]")
        for name in ("last", "alone", "clean", "memory")
    ]
    found: dict[tuple[str, str], Standing] = {}
    for row, last, alone, clean, memory in zip(rows, *parts, strict=True):
        evidence = (Evidence(*last), evidence_of(alone), evidence_of(clean))
        history = History(row.attempts, row.seconds, *evidence)
        found[row.learner, row.skill] = Standing(history, memory_of(memory))
    return found


def step_counts(connection: Connection, skills: Iterable[str]) -> list[StepCounts]:
    """How each step was done in each learner's last attempt alone."""
    columns = (last_steps.c.skill, last_steps.c.step, last_steps.c.mark)
    asked = (
        select(*columns, func.max(last_steps.c.name), func.count())
        .where(last_steps.c.skill.in_(list(skills)))
        .group_by(*columns)
    )
    names: dict[tuple[str, str], str] = {}
    marks: dict[tuple[str, str], dict[str, int]] = {}
    for skill, step, mark, name, count in connection.execute(asked):
        names[skill, step] = max(name, names.get((skill, step), ""))
        marks.setdefault((skill, step), {})[mark] = count
    return [
        _counted(skill, step, names[skill, step], found) for (skill, step), found in marks.items()
    ]


def _counted(skill: str, step: str, name: str, marks: dict[str, int]) -> StepCounts:
    missed, unclear = marks.get("missed", 0), marks.get("unclear", 0)
    wrong = marks.get("late", 0) + marks.get("out-of-order", 0)
    return StepCounts(skill, step, name, missed, wrong, sum(marks.values()) - unclear, unclear)


def judged_by_both(connection: Connection) -> tuple[int, list[tuple[str, str]]]:
    """How many attempts hold marks set by hand, and the coach's mark with each of a person's.

    Of several marks by one person for one step the last counts.
    """
    same = and_(steps.c.attempt == hand_marks.c.attempt, steps.c.step == hand_marks.c.step)
    mine = hand_marks.c
    asked = select(
        mine.attempt, mine.step, mine.judge, mine.at, mine.mark, steps.c.coach_mark
    ).join(steps, same)
    last: dict[tuple[str, str, str], tuple[float, str, str]] = {}
    for attempt, step, judge, at, mark, coachs in connection.execute(asked):
        key, new = (attempt, step, judge), (instant_s(at), coachs, mark)
        last[key] = max(last.get(key, new), new)
    pairs = [(coachs, mark) for _, (_, coachs, mark) in sorted(last.items())]
    return len({attempt for attempt, _, _ in last}), pairs
