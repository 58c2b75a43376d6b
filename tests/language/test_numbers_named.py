"""Numbers that are told by what they are of, in front or behind, and numbers that are no rates.

How students tell them is common practice, no source.
"""

from __future__ import annotations

import pytest

from coach.core.meaning import Expectation
from coach.core.units import Quantity, Unit
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Range
from coach.language.readings import find_readings
from coach.language.understand import understand

PULSE, BREATHS, BOTH = Quantity.PULSE_RATE, Quantity.BREATHING_RATE, Quantity.BLOOD_PRESSURE
SATURATION, COUNT, TIME = Quantity.SATURATION, Quantity.COUNT, Quantity.TIME
RANGES = {
    PULSE: Range(20, 250, Unit.PER_MINUTE),
    BREATHS: Range(4, 80, Unit.PER_MINUTE),
    BOTH: Range(50, 260, Unit.MILLIMETRES_OF_MERCURY),
    SATURATION: Range(50, 100, Unit.PERCENT),
    COUNT: Range(0, 30, Unit.COUNTED),
    Quantity.PRESSURE: Range(500, 2200, Unit.PSI),
    Quantity.VACUUM: Range(300, 760, Unit.MILLIMETRES_OF_MERCURY),
    Quantity.GLUCOSE: Range(70, 140, Unit.MILLIGRAMS_PER_DECILITRE),
    Quantity.DOSE: Range(0.3, 0.3, Unit.MILLIGRAMS),
    TIME: Range(0, 5, Unit.MINUTES),
}


def heard(
    text: str, *ranged: Quantity, asked: Expectation | None = None
) -> list[tuple[Quantity, tuple[float, ...]]]:
    found = find_readings(text, asked, None, {quantity: RANGES[quantity] for quantity in ranged})
    return [(reading.quantity, reading.values) for reading in found]


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("pulse ox is eighty eight", SATURATION, 88),
        ("satting ninety four", SATURATION, 94),
        ("eighty eight on room air", SATURATION, 88),
        ("ninety six on air", SATURATION, 96),
        ("eighty six on the finger", SATURATION, 86),
        ("rr of twenty two", BREATHS, 22),
        ("breathing twenty two", BREATHS, 22),
        ("hr one oh eight", PULSE, 108),
        ("the wrist is a hundred and eight", PULSE, 108),
        ("ninety two for the pulse", PULSE, 92),
        ("the tank's at fifteen hundred", Quantity.PRESSURE, 1500),
        ("two thousand on the gauge", Quantity.PRESSURE, 2000),
        ("fifteen hundred in the tank", Quantity.PRESSURE, 1500),
        ("needle's on nineteen hundred", Quantity.PRESSURE, 1900),
        ("bgl is one twenty four", Quantity.GLUCOSE, 124),
        ("sugar of one twenty four", Quantity.GLUCOSE, 124),
        ("sixty two on the meter", Quantity.GLUCOSE, 62),
    ],
)
def test_a_bare_number_is_of_what_is_named_beside_it(
    text: str, quantity: Quantity, value: float
) -> None:
    wanted = {PULSE, BREATHS, SATURATION, Quantity.PRESSURE, Quantity.GLUCOSE}
    assert heard(text, *wanted) == [(quantity, (value,))]
    assert heard(text, *(wanted - {quantity})) == []


@pytest.mark.parametrize(
    "text", ["fifteen on the bus", "two in the bag", "ninety at the table", "six for the patient"]
)
def test_a_number_beside_anything_else_is_of_nothing(text: str) -> None:
    assert heard(text, PULSE, BREATHS, SATURATION, Quantity.PRESSURE) == []


def test_the_gauge_of_a_suction_unit_shows_a_vacuum() -> None:
    assert heard("needle climbs to three eighty", Quantity.VACUUM) == [(Quantity.VACUUM, (380,))]


def test_milligrams_are_of_glucose_where_no_dose_is_wanted() -> None:
    said = "one twenty four milligrams"
    assert heard(said, Quantity.GLUCOSE) == [(Quantity.GLUCOSE, (124,))]
    assert heard(said, Quantity.GLUCOSE, Quantity.DOSE) == [(Quantity.DOSE, (124,))]


def test_part_of_a_milligram_is_a_dose() -> None:
    assert heard("point three of a milligram", Quantity.DOSE) == [(Quantity.DOSE, (0.3,))]


@pytest.mark.parametrize(
    "text",
    [
        "pulse ninety two, respirations eighteen, pressure one forty over eighty, sat ninety four",
        "pulse ninety two respirations eighteen pressure one forty over eighty sat ninety four",
        "pulse is ninety two breathing eighteen bp one forty on eighty, ninety four on room air",
    ],
)
@pytest.mark.parametrize("asked", [None, BREATHS])
def test_signs_in_a_row_have_each_their_number(text: str, asked: Quantity | None) -> None:
    wanted = [(PULSE, (92,)), (BREATHS, (18,)), (BOTH, (140, 80)), (SATURATION, (94,))]
    assert heard(text, PULSE, BREATHS, BOTH, SATURATION, asked=asked) == wanted


def test_a_step_that_is_named_takes_no_number_of_another() -> None:
    context = asked_context(load_skill("medical-assessment").chosen({}), None, None)
    said = understand("pulse ninety two, respirations eighteen", context)
    assert [(r.quantity, r.values[0]) for r in said.readings] == [(PULSE, 92), (BREATHS, 18)]


def test_half_a_minute_is_a_time_and_what_was_counted_in_it_no_rate() -> None:
    assert heard("I watched for half a minute", BREATHS, TIME) == [(TIME, (0.5,))]
    found = heard("eleven breaths in thirty seconds, so twenty two breaths a minute", BREATHS, TIME)
    assert (BREATHS, (22,)) in found
    assert (BREATHS, (11,)) not in found


@pytest.mark.parametrize(
    "text",
    [
        "out of ten, ten being the worst, she gives it an eight",
        "on a scale of zero to ten it's an eight",
        "zero to ten, eight",
        "zero is nothing and ten is the worst, eight",
        "eight of ten",
        "eight on a scale of ten",
        "pain's an eight",
    ],
)
def test_the_ends_of_a_scale_are_not_what_is_told_on_it(text: str) -> None:
    assert heard(text, COUNT) == [(COUNT, (8,))]


def test_a_scale_alone_tells_no_number() -> None:
    assert heard("how bad is it on a scale of one to ten", COUNT) == []
    assert heard("ten being the worst", COUNT) == []


@pytest.mark.parametrize(
    "text",
    [
        "thirty to two",
        "thirty compressions, two breaths",
        "thirty pushes and then two breaths",
        "thirty of them and two breaths",
        "thirty and two",
    ],
)
def test_the_row_is_told_with_its_breaths(text: str) -> None:
    assert heard(text, COUNT, Quantity.PULSE_RATE) == [(COUNT, (30,))]


def test_two_breaths_are_no_rate() -> None:
    assert heard("I gave two breaths", BREATHS) == []
    assert heard("twelve breaths", BREATHS) == [(BREATHS, (12,))]


def test_what_all_move_on_is_no_reading() -> None:
    for text in ("on three we slide him over. Three.", "on three, lift", "on two we roll, two"):
        assert heard(text, TIME, COUNT, asked=TIME) == []
    assert heard("on three", TIME, asked=TIME) == [(TIME, (3,))]


def test_counting_aloud_is_no_count_that_is_wanted() -> None:
    for text in ("I'm pushing, one, two, three, four", "one two three"):
        assert heard(text, COUNT, asked=COUNT) == []
    assert heard("twelve", COUNT, asked=COUNT) == [(COUNT, (12,))]


def test_a_time_of_day_told_with_its_oh_is_no_reading() -> None:
    said = "forty eight milligrams per deciliter at oh three twelve"
    sugar = Quantity.GLUCOSE
    assert heard(said, sugar, asked=sugar) == [(sugar, (48,))]


def test_a_rate_that_no_scale_has_is_no_count() -> None:
    said = "I counted thirty seconds. Pulse ninety six, regular"
    assert (PULSE, (96,)) in heard(said, PULSE, TIME, COUNT, asked=COUNT)
