"""Gathers the class table from the records, with the plan's chances."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from coach.edges.records.class_rows import (
    Standing,
    everybody,
    judged_by_both,
    standings_of,
    step_counts,
)
from coach.edges.records.database import Records
from coach.edges.records.standing_rows import chances_of
from coach.records.class_table import (
    Chance,
    ClassTable,
    cells_of,
    coach_and_people,
    most_missed,
    pairs_of,
)


def chance_at(now: datetime, found: dict[tuple[str, str], Standing]) -> Chance:
    """The chances as the plan of rehearsals has them at that time, where they decide."""

    kept = {key: one.kept for key, one in found.items() if one.kept and one.history.stands}
    known = dict(zip(kept, chances_of(kept.values(), now), strict=True))
    return lambda learner, skill: known.get((learner, skill))


def class_table(
    records: Records, now: datetime, fades_below: float, skills: Sequence[str] = ()
) -> ClassTable:
    """The class as the records have it; `skills`: only these, else all that anybody practised."""
    with records.reading() as connection:
        people = everybody(connection)
        found = standings_of(connection)
        wanted = tuple(skills) or tuple(sorted({skill for _, skill in found}))
        counts = step_counts(connection, wanted)
        judged, pairs = judged_by_both(connection)
    agreed, settled = coach_and_people(pairs)
    histories = {key: standing.history for key, standing in found.items()}
    chance, now_s = chance_at(now, found), now.timestamp()
    cells = cells_of(people, wanted, histories, chance, fades_below, now_s)
    return ClassTable(
        made=now.isoformat(timespec="seconds"),
        people=people,
        skills=wanted,
        cells=cells,
        steps=most_missed(counts),
        pairs=pairs_of(people, wanted, cells),
        agreement=agreed,
        judged=judged,
        settled=settled,
    )
