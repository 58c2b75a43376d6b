"""What each learner's attempts at each skill come to, worked out whenever one of them changes."""

from __future__ import annotations

import json
import struct
import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import groupby
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from coach import __version__
from coach.edges.records.tables import attempts, last_steps, standings, standings_model, steps
from coach.records.class_table import Evidence, History
from coach.rehearsal.chances import Kept, chances_by
from coach.rehearsal.instants import instant_of
from coach.rehearsal.memory import Memory, Trace, memory_after
from coach.rehearsal.practised import Practised
from coach.rehearsal.weights import weight_sets
from coach.report.attempt import Verdict, Way

MODEL = f"2 {__version__} {zlib.crc32(repr(weight_sets()).encode()):08x}"
"""Changes when another program, or another memory model, would work out something else."""

SAME = 0
"""Kept instead of evidence that is that of the column before."""

_AT_ONCE = 50
"""Learners worked out together."""

_A = attempts.c

_COLUMNS = (
    _A.id,
    _A.started,
    _A.started_s,
    _A.way,
    _A.verdict,
    _A.share,
    _A.hints,
    _A.seconds,
    _A.learner,
    _A.skill,
)


def renew_standings(connection: Connection, learners: Iterable[str]) -> None:
    """Work out anew what the attempts of these learners come to; of all, if it was last worked out
    by another program."""
    if connection.execute(select(standings_model.c.model)).scalars().all() != [MODEL]:
        connection.execute(delete(standings_model))
        connection.execute(insert(standings_model), {"model": MODEL})
        connection.execute(delete(standings))
        connection.execute(delete(last_steps))
        learners = connection.execute(select(_A.learner).distinct()).scalars()
    wanted = sorted(set(learners) - {""})
    for first in range(0, len(wanted), _AT_ONCE):
        _renew(connection, wanted[first : first + _AT_ONCE])


def _renew(connection: Connection, learners: Sequence[str]) -> None:
    for table in (standings, last_steps):
        connection.execute(delete(table).where(table.c.learner.in_(learners)))
    rows: list[dict[str, Any]] = []
    alone: dict[str, tuple[str, str]] = {}
    for learner, skill, history, memory in _worked_out(connection, learners):
        rows.append(
            {
                "learner": learner,
                "skill": skill,
                "attempts": history.attempts,
                "seconds": history.seconds,
                "last": _evidence_text(history.last),
                "alone": _evidence_text(history.alone, history.last),
                "clean": _evidence_text(history.clean, history.alone),
                "memory": _memory_text(memory),
            }
        )
        if history.alone is not None:
            alone[history.alone.attempt] = (learner, skill)
    if rows:
        connection.execute(insert(standings), rows)
    _put_steps(connection, alone)


def _worked_out(
    connection: Connection, learners: Sequence[str]
) -> Iterator[tuple[str, str, History, Memory | None]]:
    asked = (
        select(*_COLUMNS)
        .where(_A.learner.in_(learners), _A.ended)
        .order_by(_A.learner, _A.skill, _A.started_s, _A.id)
    )
    found = connection.execute(asked)
    for (learner, skill), rows in groupby(found, key=lambda row: (row.learner, row.skill)):
        some = [tuple(row) for row in rows]
        yield learner, skill, history_of(some), memory_after(map(practised_of, some))


def history_of(rows: Sequence[Sequence[Any]]) -> History:
    """The history of attempts in their order, each with the columns as asked for here."""
    last = alone = clean = None
    for row in rows:
        last = Evidence(*row[:7])
        if last.way != Way.LED and last.verdict != Verdict.UNCLEAR:
            alone = last
        if last.way != Way.LED and last.verdict == Verdict.READY and last.hints == 0:
            clean = last
    assert last is not None
    return History(len(rows), sum(row[7] for row in rows), last, alone, clean)


def practised_of(row: Sequence[Any]) -> Practised:
    """One attempt as the plan of rehearsals needs it."""
    _, started, _, way, verdict, share, hints, seconds, _, skill = row
    return Practised(skill, instant_of(started), Way(way), Verdict(verdict), share, hints, seconds)


def _put_steps(connection: Connection, alone: Mapping[str, tuple[str, str]]) -> None:
    ids = sorted(alone)
    for first in range(0, len(ids), 500):
        columns = (steps.c.attempt, steps.c.position, steps.c.step, steps.c.name, steps.c.mark)
        asked = select(*columns).where(steps.c.attempt.in_(ids[first : first + 500]))
        rows = []
        for attempt, position, step, name, mark in connection.execute(asked):
            learner, skill = alone[attempt]
            rows.append(
                {
                    "learner": learner,
                    "skill": skill,
                    "position": position,
                    "step": step,
                    "name": name,
                    "mark": mark,
                }
            )
        if rows:
            connection.execute(insert(last_steps), rows)


def _memory_text(memory: Memory | None) -> str:
    """A memory as text: last instant, whether it was shown, and the numbers of its traces as
    doubles in base 64, which are read faster than figures; "" for none."""
    if memory is None:
        return ""
    numbers = [
        *(trace.stability_days for trace in memory.traces),
        *(trace.difficulty for trace in memory.traces),
        *(trace.log_likelihood for trace in memory.traces),
    ]
    packed = b64encode(struct.pack(f"<{len(numbers)}d", *numbers)).decode("ascii")
    return f"{memory.last.isoformat()} {int(memory.shown)} {packed}"


def memory_of(text: str) -> Memory | None:
    """The memory that was kept so; None for none."""
    if not text:
        return None
    last, shown, packed = text.split(" ")
    traces = tuple(Trace(*one) for one in zip(*_numbers(packed), strict=True))
    return Memory(traces, datetime.fromisoformat(last), shown == "1")


def chances_of(texts: Iterable[str], at: datetime) -> list[float]:
    """The chances at that instant of memories that were kept so, none of them empty."""
    return chances_by(map(_kept, texts), at)


def _kept(text: str) -> Kept:
    last, shown, packed = text.split(" ")
    stabilities, _, likelihoods = _numbers(packed)
    return stabilities, likelihoods, datetime.fromisoformat(last), shown == "1"


def _numbers(packed: str) -> tuple[Sequence[float], Sequence[float], Sequence[float]]:
    """The stabilities, the difficulties and the likelihoods."""
    data = b64decode(packed)
    numbers = struct.unpack(f"<{len(data) // 8}d", data)
    sets = len(numbers) // 3
    return numbers[:sets], numbers[sets : 2 * sets], numbers[2 * sets :]


def _evidence_text(evidence: Evidence | None, before: Evidence | None = None) -> str:
    if evidence is None:
        return ""
    return json.dumps(SAME if evidence is before else list(evidence))


def evidence_of(kept: Any) -> Evidence | None:
    """The evidence that was kept, from its JSON; None for none."""
    return None if kept is None else Evidence(*kept)
