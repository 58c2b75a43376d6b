"""Statements that are parted only by a pause, as a recogniser writes them: without one."""

from __future__ import annotations

import pytest
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.core.units import Quantity
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand

TOLD = [
    (
        "blood-glucose",
        "gloves on he agrees the meter is on a strip is in",
        "gloves explain meter strip",
    ),
    (
        "oxygen-cylinder",
        "the test date is good no damage and one whole washer",
        "test-date damage seal",
    ),
    (
        "primary-survey",
        "scene's safe he looks ill no bleeding at all and he's alert",
        "scene impression bleeding response",
    ),
    ("primary-survey", "no obstruction airway open", "airway"),
    ("oral-airway", "no answer when i talk to him and no gag or cough", "unresponsive"),
    ("bag-valve-mask", "o two is hooked up", "oxygen"),
]


@pytest.mark.parametrize(("skill", "says", "steps"), TOLD)
def test_each_statement_tells_its_step(skill: str, says: str, steps: str) -> None:
    meaning = understand(says, asked_context(load_skill(skill).chosen({}), None, None))
    assert {mention.step for mention in meaning.steps if not mention.denied} == set(steps.split())


@pytest.mark.parametrize(
    ("skill", "says"),
    [
        ("blood-glucose", "i know the meter is not on"),
        ("oxygen-cylinder", "i don't think the washer is whole"),
        ("oxygen-cylinder", "i haven't checked the valve is open"),
    ],
)
def test_what_goes_on_with_its_sentence_is_no_statement(skill: str, says: str) -> None:
    meaning = understand(says, asked_context(load_skill(skill).chosen({}), None, None))
    assert not [mention for mention in meaning.steps if not mention.denied]


@pytest.mark.parametrize("pulse", [64, 70, 88])
@pytest.mark.parametrize("upper", [110, 124])
@pytest.mark.parametrize("saturation", [91, 97, 99])
def test_three_vital_signs_in_a_row_stay_three(pulse: int, upper: int, saturation: int) -> None:
    """The words of the numbers are those of num2words, not the program's own."""
    hundred, rest = divmod(upper, 100)
    said = [num2words(n).replace("-", " ") for n in (pulse, hundred, rest, 70, saturation)]
    context = asked_context(
        load_skill("handover-report").chosen({"patient": "injured"}), "vitals", None
    )
    text = "pulse {} {} {} over {} {} percent".format(*said)
    found = {reading.quantity: reading.values for reading in understand(text, context).readings}
    assert found[Quantity.BLOOD_PRESSURE] == (upper, 70)
    assert found[Quantity.SATURATION] == (saturation,)
    assert found[Quantity.PULSE_RATE] == (pulse,)
