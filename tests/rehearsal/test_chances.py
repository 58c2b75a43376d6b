"""The chances of many at once are those of each alone, which the package reckons."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.rehearsal.chances import chances_by
from coach.rehearsal.memory import Memory, memory_after
from coach.rehearsal.practised import Practised
from coach.report.attempt import Verdict, Way

FIRST = datetime(2026, 3, 4, 8, tzinfo=UTC)

ATTEMPTS = st.lists(
    st.tuples(st.floats(0, 700), st.sampled_from(Way), st.sampled_from(Verdict), st.integers(0, 2)),
    min_size=1,
    max_size=5,
)


def memory(attempted: list[tuple[float, Way, Verdict, int]]) -> Memory:
    found = memory_after(
        Practised("suction", FIRST + timedelta(days=day), way, verdict, 0.9, hints)
        for day, way, verdict, hints in attempted
    )
    assert found is not None
    return found


@given(st.lists(ATTEMPTS, max_size=5), st.floats(-10, 2000))
def test_they_are_those_of_each(
    histories: list[list[tuple[float, Way, Verdict, int]]], day: float
) -> None:
    memories = [memory(attempted) for attempted in histories]
    at = FIRST + timedelta(days=day)
    kept = [
        (
            [trace.stability_days for trace in one.traces],
            [trace.log_likelihood for trace in one.traces],
            one.last,
            one.shown,
        )
        for one in memories
    ]
    assert chances_by(kept, at) == pytest.approx([one.chance(at) for one in memories], abs=1e-12)
