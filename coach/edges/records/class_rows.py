"""What the class table needs of the database, in a few questions however much is in it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sqlalchemy import Connection, func, select

from coach.edges.records.standing_rows import SAME, evidence_of, memory_of
from coach.edges.records.tables import hand_marks, last_steps, learners, standings, steps
from coach.records.class_table import Evidence, History, Person, StepCounts
from coach.records.names import called_by, name_key, told_apart
from coach.records.rows import instant_s
from coach.rehearsal.memory import Memory
from coach.report.by_hand import THE_LEARNER


class Standing(NamedTuple):
    """What all attempts of a learner at a skill come to; the memory is made of what was kept when
    it is asked for, as a class has thousands and needs them where they decide."""

    history: History
    kept: str

    @property
    def memory(self) -> Memory | None:
        """What the plan of rehearsals makes of all attempts."""
        return memory_of(self.kept)


def everybody(connection: Connection) -> tuple[Person, ...]:
    """All learners, by their names."""
    found = connection.execute(select(learners.c.id, learners.c.name, learners.c.note))
    called = told_apart({id_: called_by(name, note) for id_, name, note in found})
    people = [Person(id_, name) for id_, name in called.items()]
    return tuple(sorted(people, key=lambda one: (name_key(one.called), one.id)))


def standings_of(
    connection: Connection, of: Sequence[str] | None = None
) -> dict[tuple[str, str], Standing]:
    """What all attempts that ended come to, by learner and skill; `of`: only of these learners."""
    columns = "learner skill attempts seconds memory last alone clean".split()
    asked = select(*(standings.c[name] for name in columns))
    if of is not None:
        asked = asked.where(standings.c.learner.in_(list(of)))
    rows = connection.execute(asked).all()
    # One text of all is read far faster than each by itself.
    kept = (
        json.loads(f"[{','.join(row[place] or 'null' for row in rows)}]") for place in (5, 6, 7)
    )
    found: dict[tuple[str, str], Standing] = {}
    for row, one, two, three in zip(rows, *kept, strict=True):
        learner, skill, attempts, seconds, memory, *_ = row
        last = Evidence(*one)
        alone = last if two == SAME else evidence_of(two)
        clean = alone if three == SAME else evidence_of(three)
        found[learner, skill] = Standing(History(attempts, seconds, last, alone, clean), memory)
    return found


def step_counts(connection: Connection, skills: Iterable[str]) -> list[StepCounts]:
    """How each step was done in each learner's last attempt alone."""
    columns = (last_steps.c.skill, last_steps.c.step, last_steps.c.mark)
    # The name is looked up once a step: with it in the count, every row would have to be read.
    same = last_steps.alias()
    name = (
        select(same.c.name)
        .where(same.c.skill == last_steps.c.skill, same.c.step == last_steps.c.step)
        .order_by(same.c.mark, same.c.learner, same.c.position)
        .limit(1)
        .scalar_subquery()
    )
    asked = (
        select(*columns, name, func.count())
        .where(last_steps.c.skill.in_(list(skills)))
        .group_by(*columns)
    )
    names: dict[tuple[str, str], str] = {}
    marks: dict[tuple[str, str], dict[str, int]] = {}
    for skill, step, mark, called, count in connection.execute(asked):
        names[skill, step] = called
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

    Of several marks by one person for one step the last counts; a learner's own word is none.
    """
    mine = hand_marks.c
    asked = select(mine.attempt, mine.step, mine.judge, mine.at, mine.mark)
    by_hand = connection.execute(asked.where(mine.judge != THE_LEARNER)).all()
    coachs = _coachs_marks(connection, sorted({row.attempt for row in by_hand}))
    last: dict[tuple[str, str, str], tuple[float, str, str]] = {}
    for attempt, step, judge, at, mark in by_hand:
        if (attempt, step) in coachs:
            key, new = (attempt, step, judge), (instant_s(at), coachs[attempt, step], mark)
            last[key] = max(last.get(key, new), new)
    pairs = [(coachs_mark, mark) for _, (_, coachs_mark, mark) in sorted(last.items())]
    return len({attempt for attempt, _, _ in last}), pairs


def _coachs_marks(connection: Connection, attempts: Sequence[str]) -> dict[tuple[str, str], str]:
    """The coach's own marks in these attempts, by attempt and step."""
    columns = (steps.c.attempt, steps.c.step, steps.c.coach_mark)
    found: dict[tuple[str, str], str] = {}
    for first in range(0, len(attempts), 500):
        asked = select(*columns).where(steps.c.attempt.in_(attempts[first : first + 500]))
        found |= {(attempt, step): mark for attempt, step, mark in connection.execute(asked)}
    return found
