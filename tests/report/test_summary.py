"""The page and the JSON that a session comes to."""

from __future__ import annotations

import json

from coach.core.units import Quantity, Unit
from coach.report.summary import CAUTION, BreachDone, Count, ReadingDone, RoundsDone, Summary

PRESSURE = ReadingDone("gauge", "pressure", Quantity.PRESSURE, (1700.0,), Unit.PSI, True)
FLOW = ReadingDone("flow", "set-flow", Quantity.FLOW, (2.5,), Unit.LITRES_PER_MINUTE, False)
ARM = ReadingDone(
    "arm",
    "blood-pressure",
    Quantity.BLOOD_PRESSURE,
    (120.0, 80.0),
    Unit.MILLIMETRES_OF_MERCURY,
    True,
)
FULL = Summary(
    skill="bench",
    title="Bench skill",
    done=("gloves", "flow"),
    missed=("washer", "gauge"),
    out_of_order=("flow",),
    readings=(PRESSURE, FLOW, ARM),
    oxygen_minutes=24,
    seconds=61.26,
    names={"gloves": "your gloves", "washer": "the washer", "flow": "the flow"},
    clocks=(Count("suction", 12.0, 10), Count("suction", 8.5, 10)),
    forbidden=(BreachDone("oil", "oil on the washer", "oil burns in it.", 65.26),),
    rounds=(RoundsDone("cycles", "cycle", 3, 5),),
    program="Riverside, of May 1, 2026, approved by nobody real",
    weaker=("Weaker than published: the pass. So it is.",),
)


def test_the_page_tells_what_was_missed_before_anything_else() -> None:
    assert FULL.as_text().split("\n") == [
        "Bench skill: 2 of 4 steps done",
        "Missed: the washer, gauge",
        "Must not happen: oil on the washer, at 1:05, because oil burns in it",
        "Out of the suggested order: the flow",
        "Read: pressure 1700 psi",
        "Read: set flow 2.5 L/min (outside the range)",
        "Read: blood pressure 120/80 mmHg",
        "Counted: 12 s, over the limit of 10 s",
        "Counted: 8.5 s",
        "Repeated: cycle 3 of 5",
        "Oxygen: 24 minutes, as last told",
        "Next rehearsal: begin with the washer.",
        "By the rules of Riverside, of May 1, 2026, approved by nobody real",
        "Weaker than published: the pass. So it is.",
        CAUTION,
    ]


def test_a_page_of_nothing_is_short_and_carries_the_caution() -> None:
    empty = Summary("bench", "Bench skill", (), (), (), (), None, 0.0)
    assert empty.as_text() == f"Bench skill: 0 of 0 steps done\nMissed: nothing\n{CAUTION}"


def test_no_minutes_left_are_told_too() -> None:
    assert "Oxygen: 0 minutes" in Summary("b", "B", (), (), (), (), 0, 0.0).as_text()


def test_a_pressure_that_was_assumed_is_told_as_such() -> None:
    reading = ReadingDone("gauge", "pressure", Quantity.PRESSURE, (2216.0,), Unit.PSI, True, True)
    summary = Summary("b", "B", (), (), (), (reading,), 21, 0.0, oxygen_assumed=True)
    assert "Read: pressure 2216 psi (assumed: a training cylinder)" in summary.as_text()
    assert "Oxygen: 21 minutes, as last told, by an assumed pressure" in summary.as_text()
    row = json.loads(json.dumps(summary.as_json()))
    assert (row["readings"][0]["assumed"], row["oxygen_assumed"]) == (True, True)


def test_the_fields_for_programs() -> None:
    row = json.loads(json.dumps(FULL.as_json()))
    assert row == {
        "type": "summary",
        "skill": "bench",
        "done": ["gloves", "flow"],
        "missed": ["washer", "gauge"],
        "out_of_order": ["flow"],
        "unsaid": [],
        "readings": [
            {
                "step": "gauge",
                "reading": "pressure",
                "quantity": "pressure",
                "value": 1700,
                "unit": "psi",
                "in_range": True,
                "assumed": False,
            },
            {
                "step": "flow",
                "reading": "set-flow",
                "quantity": "flow",
                "value": 2.5,
                "unit": "L/min",
                "in_range": False,
                "assumed": False,
            },
            {
                "step": "arm",
                "reading": "blood-pressure",
                "quantity": "blood-pressure",
                "value": [120, 80],
                "unit": "mmHg",
                "in_range": True,
                "assumed": False,
            },
        ],
        "oxygen_minutes": 24,
        "oxygen_assumed": False,
        "seconds": 61.3,
        "clocks": [
            {"step": "suction", "seconds": 12.0, "limit_s": 10, "over": True},
            {"step": "suction", "seconds": 8.5, "limit_s": 10, "over": False},
        ],
        "forbidden": [{"act": "oil", "because": "oil burns in it.", "at_s": 65.3}],
        "rounds": [{"repeat": "cycles", "done": 3, "times": 5}],
        "program": "Riverside, of May 1, 2026, approved by nobody real",
        "weaker": ["Weaker than published: the pass. So it is."],
        "caution": CAUTION,
    }


def test_the_cautions_of_the_skill_stand_on_the_page() -> None:
    page = Summary("b", "B", (), (), (), (), None, 0.0, cautions=("Never by force.",)).as_text()
    assert "Keep in mind: Never by force." in page


def test_what_was_counted_has_no_unit() -> None:
    blows = ReadingDone("blows", "blows", Quantity.COUNT, (5.0,), Unit.COUNTED, True)
    assert blows.as_text() == "blows 5"
