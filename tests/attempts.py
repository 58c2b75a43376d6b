"""Invented attempts of an invented learner at an invented station, for the tests of reports."""

from __future__ import annotations

from coach.report.attempt import (
    Evidence,
    Mark,
    NumberResult,
    Result,
    SafetyFailure,
    Spoken,
    StepResult,
    Tells,
    Timed,
    Verdict,
    Way,
)
from coach.report.by_hand import SetByHand

LEARNER = "Ana Invented"


def heard(at_s: float, text: str, sure: float = 0.94, tells: Tells = Tells.DONE) -> Evidence:
    """A piece of evidence."""
    return Evidence(at_s, tells, text, sure)


GLOVES = StepResult(
    "gloves",
    "gloves and a safe scene",
    Mark.DONE,
    2,
    2,
    4.0,
    "It was done in time and order.",
    True,
    0,
    (heard(4.0, "gloves are on and the scene is safe", 0.97),),
)
CALL = StepResult(
    "call",
    "the call for a second kettle",
    Mark.DONE,
    1,
    1,
    14.5,
    "It was done in time and order.",
    False,
    0,
    (heard(14.5, "somebody fetch the second kettle please", 0.91),),
)
WASHER = StepResult(
    "washer",
    "the washer under the lid",
    Mark.MISSED,
    0,
    3,
    None,
    "Nothing was heard of it before the end; steam leaks without it.",
    True,
    1,
    (heard(41.0, "What seals the lid?", 1.0, Tells.HINT),),
)
GAUGE = StepResult(
    "gauge",
    "the pressure of the gauge",
    Mark.DONE,
    2,
    2,
    58.0,
    "It was done in time and order.",
    False,
    0,
    (
        heard(52.0, "seventeen hundred", 0.71, Tells.PERHAPS),
        heard(58.0, "seventeen hundred psi", 0.95, Tells.NUMBER),
        heard(58.0, "seventeen hundred psi", 0.95),
    ),
)
OPEN = StepResult(
    "open",
    "the valve, opened slowly",
    Mark.OUT_OF_ORDER,
    1,
    2,
    36.0,
    "It was done before the washer was seen, which comes first.",
    True,
    0,
    (heard(36.0, "opening the valve now", 0.93),),
)
FLOW = StepResult(
    "flow",
    "the flow",
    Mark.DONE,
    2,
    2,
    84.0,
    "It was done in time and order.",
    False,
    0,
    (
        heard(71.0, "flow at fifty", 0.88, Tells.NUMBER),
        heard(84.0, "no the flow is fifteen litres", 0.96),
    ),
)
STIR = StepResult(
    "stir",
    "ten seconds of stirring",
    Mark.LATE,
    1,
    2,
    139.0,
    "It was done 19 s after its time.",
    False,
    0,
    (
        heard(121.0, "start stirring", 0.9, Tells.BEGUN),
        heard(135.0, "stop stirring", 0.92, Tells.ENDED),
        heard(139.0, "stirred", 0.9),
    ),
)
LOOK = StepResult(
    "look",
    "the look at the colour, told aloud",
    Mark.UNCLEAR,
    0,
    2,
    None,
    "Something like it was heard, at 62 %, which is too unsure to count.",
    False,
    0,
    (heard(148.0, "the calendar is good", 0.62, Tells.PERHAPS),),
)
HANDOVER = StepResult(
    "handover",
    "the handover",
    Mark.DONE,
    2,
    2,
    201.0,
    "It was done in time and order.",
    False,
    0,
    (heard(201.0, "tea of the morning, steeped for three minutes, one sugar, no milk", 0.89),),
)
STEPS = (GLOVES, CALL, WASHER, GAUGE, OPEN, FLOW, STIR, LOOK, HANDOVER)

TALK = (
    Spoken(0.0, True, "Your station begins now. The guest is in the garden."),
    Spoken(4.0, False, "gloves are on and the scene is safe"),
    Spoken(14.5, False, "somebody fetch the second kettle please"),
    Spoken(36.0, False, "opening the valve now"),
    Spoken(41.0, True, "What seals the lid?"),
    Spoken(52.0, False, "seventeen hundred"),
    Spoken(54.0, True, "What was that?"),
    Spoken(58.0, False, "seventeen hundred psi"),
    Spoken(71.0, False, "flow at fifty"),
    Spoken(84.0, False, "no the flow is fifteen litres"),
    Spoken(121.0, False, "start stirring"),
    Spoken(135.0, False, "stop stirring"),
    Spoken(139.0, False, "stirred"),
    Spoken(148.0, False, "the calendar is good"),
    Spoken(201.0, False, "tea of the morning, steeped for three minutes, one sugar, no milk"),
)

NOT_YET = Result(
    attempt="3f0c2a4e5b6d47c88d1e9f0a1b2c3d4e",
    learner="9b1deb4d3b7d4bad9bdd2b0d7b3dcb6d",
    skill="steam-tea",
    title="Steam tea for one guest",
    skill_sha256="ab" * 32,
    choices={"guest": "adult", "kettle": "small"},
    way=Way.ASSESSED,
    scenario="garden-morning",
    program="Riverside, of May 1, 2026, approved by nobody real",
    started="2026-05-04T14:03:22+02:00",
    seconds=214.0,
    limit_s=240.0,
    rule="plain, version 1",
    verdict=Verdict.NOT_YET,
    why="A safety step was left out: the washer under the lid.",
    points=11,
    out_of=18,
    passed_from=0.8,
    hints=1,
    steps=STEPS,
    numbers=(
        NumberResult("gauge", "pressure", (1700.0,), "psi", 1000, 2200, True, False, 58.0),
        NumberResult("flow", "set-flow", (15.0,), "L/min", 10, 12, False, True, 84.0),
        NumberResult("flow", "sips", (3.0,), "counted", 3, 3, True, False, 90.0),
    ),
    failures=(
        SafetyFailure(
            "washer", "the valve was opened without the washer", "steam burns.", 36.0, False
        ),
        SafetyFailure("lid", "the lid was lifted by hand", "it is hot.", 100.0, True),
    ),
    timed=(Timed("stir", 14.0, 10, 0), Timed("flow", 8.0, 0, 10), Timed("gauge", 6.0, 10, 0)),
    oxygen_minutes=24,
    spoken=TALK,
    cautions=("Never with a real kettle.", "The steam of a manikin is invented."),
    weaker=("Weaker than published: the stirring. The program stirs less.",),
)
"""An attempt with a bit of everything."""

BY_HAND = (
    SetByHand(
        "look",
        Mark.DONE,
        Mark.UNCLEAR,
        "Rhea Madeup",
        "2026-05-04T15:10:00+02:00",
        "I heard her say that the colour is good.",
    ),
)
