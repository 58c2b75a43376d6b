"""Which wrong numbers are safety failures: as the reading says, else as usual for its quantity."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.core.units import Quantity, Unit
from coach.procedure.model import ReadingSpec
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalOpened

HANGS = """    chooses: device
    after:
      - {step: flow, because: an empty mask takes the air, safety: true}
      - {step: gauge, because: an empty cylinder gives nothing, safety: true}
"""
WITH_BOTH = TEXT.replace("    chooses: device\n", HANGS, 1)
PRESSURE = "        quantity: pressure\n"
FLOW = "        quantity: flow\n"
FLAG = "        chosen: {}\n"


def failures(text: str) -> list[str]:
    """What could have hurt someone, after a flow and a pressure that are both outside."""
    words = (
        "I'm ready",
        "my gloves are on",
        "the washer is whole",
        "the regulator is on",
        "it reads twenty four hundred and thirty psi",
        "the flow is set, twenty five liters a minute",
        "the mask is on",
    )
    one = Run(*words, started={"way": "assessed"}, skill_file=bench_skill(text))
    opened = JournalOpened("bench", "2026-03-04T19:05:00+01:00", "0", attempt="a" * 32)
    contents = JournalContents(opened, tuple(one.journal.events), None, False, (), 0)
    result = score(contents, bench_skill(text), rule_in_force())
    assert [number.in_range for number in result.numbers] == [False, False]
    return [failure.about for failure in result.failures]


@pytest.mark.parametrize(
    ("flags", "expected"),
    [
        ({}, ["flow"]),
        ({FLOW: "true", PRESSURE: "false"}, ["flow"]),
        ({FLOW: "false"}, []),
        ({PRESSURE: "true"}, ["flow", "gauge"]),
        ({FLOW: "false", PRESSURE: "true"}, ["gauge"]),
    ],
)
def test_a_reading_says_whether_the_learner_answers_for_its_number(
    flags: dict[str, str], expected: list[str]
) -> None:
    text = WITH_BOTH
    for line, value in flags.items():
        text = text.replace(line, line + FLAG.format(value), 1)
    assert sorted(failures(text)) == expected


def test_without_a_word_it_goes_by_the_quantity() -> None:
    """What a person sets counts, what a gauge or a patient shows does not (our own choice)."""
    counted = {
        quantity
        for quantity in Quantity
        if ReadingSpec("", quantity, Unit.PSI, 0, 1, "").counts_for_safety
    }
    assert counted == {
        Quantity.DOSE,
        Quantity.FLOW,
        Quantity.LENGTH,
        Quantity.SIZE,
        Quantity.VACUUM,
        Quantity.AIRWAY_PRESSURE,
        Quantity.PULL,
    }
