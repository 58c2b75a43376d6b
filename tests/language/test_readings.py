"""Which numbers are readings, of what, in which unit, and how sure: one line a sentence."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.meaning import YES_NO, Doubt, Expectation, Reading
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.language.context import Range
from coach.language.normal import normalised, plain, tokens
from coach.language.numbers import number_words
from coach.language.readings import find_readings, locate_readings
from coach.trade.unit_conversions import KILOPASCALS_PER_MMHG, converted_to
from coach.trade.wording import read_back

PRESSURE, FLOW, SATURATION = Quantity.PRESSURE, Quantity.FLOW, Quantity.SATURATION
VACUUM, RATE, TIME = Quantity.VACUUM, Quantity.RATE, Quantity.TIME
LENGTH, SIZE, BP = Quantity.LENGTH, Quantity.SIZE, Quantity.BLOOD_PRESSURE
GLUCOSE, DOSE, COUNT = Quantity.GLUCOSE, Quantity.DOSE, Quantity.COUNT


def shown(reading: Reading) -> str:
    """A reading in one line; the unit in brackets if it was not said."""
    value = "/".join(f"{v:g}" for v in reading.values)
    unit = str(reading.unit) if reading.unit_said else f"({reading.unit})"
    doubt = f" {reading.doubt}" if reading.doubt else ""
    others = "".join(f" or {v:g}" for v in reading.alternatives)
    return f"{reading.quantity} {value} {unit}{doubt}{others}"


def heard(text: str, expect: Expectation | None = None) -> list[str]:
    return [shown(reading) for reading in find_readings(text, expect)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("seventeen hundred psi", "pressure 1700 psi"),
        ("seventeen hundred p s i", "pressure 1700 psi"),
        ("seventeen hundred P.S.I.", "pressure 1700 psi"),
        ("seventeen hundred p s eye", "pressure 1700 psi"),
        ("seventeen hundred pee ess eye", "pressure 1700 psi"),
        ("seventeen hundred pounds", "pressure 1700 psi"),
        ("seventeen hundred pounds per square inch", "pressure 1700 psi"),
        ("1,700psi", "pressure 1700 psi"),
        ("1700 PSI.", "pressure 1700 psi"),
        ("one thirty seven bar", "pressure 137 bar"),
        ("a hundred and thirty seven bars", "pressure 137 bar"),
        ("twelve thousand k p a", "pressure 12000 kPa"),
        ("twelve thousand kilopascals", "pressure 12000 kPa"),
        ("twelve thousand kay pee ay", "pressure 12000 kPa"),
        ("twelve point five megapascals", "pressure 12.5 MPa"),
        ("12.5 MPa", "pressure 12.5 MPa"),
        ("ten liters", "flow 10 L/min"),
        ("ten litres a minute", "flow 10 L/min"),
        ("ten liters per minute", "flow 10 L/min"),
        ("ten leaders", "flow 10 L/min"),
        ("ten leaders a minute", "flow 10 L/min"),
        ("ten l p m", "flow 10 L/min"),
        ("ten lpm", "flow 10 L/min"),
        ("ten liters of oxygen", "flow 10 L/min"),
        ("10 L/min", "flow 10 L/min"),
        ("10l/min", "flow 10 L/min"),
        ("2.5 L/m", "flow 2.5 L/min"),
        ("one liter", "flow 1 L/min"),
        ("half a liter a minute", "flow 0.5 L/min"),
        ("a half liter", "flow 0.5 L/min"),
        ("½ litre", "flow 0.5 L/min"),
        ("one and a half liters", "flow 1.5 L/min"),
        ("a liter and a half", "flow 1.5 L/min"),
        ("point five liters", "flow 0.5 L/min"),
        ("ninety four percent", "saturation 94 %"),
        ("ninety-four per cent on room air", "saturation 94 %"),
        ("94%", "saturation 94 %"),
        ("spo two is ninety four percent", "saturation 94 %"),
        ("SpO2 94 %", "saturation 94 %"),
        ("spo two ninety seven percent", "saturation 97 %"),
        ("s p oh two ninety seven percent", "saturation 97 %"),
        ("a hundred percent", "saturation 100 %"),
        ("twelve breaths a minute", "breathing-rate 12 /min"),
        ("seventy two beats per minute", "pulse-rate 72 /min"),
        ("twelve a minute", "rate 12 /min"),
        ("12/min", "rate 12 /min"),
        ("eighty millimeters", "length 80 mm"),
        ("eighty mil", "length 80 mm"),
        ("80mm", "length 80 mm"),
        ("twenty eight french", "size 28 Fr"),
        ("28 Fr", "size 28 Fr"),
        ("one twenty millimeters of mercury", "vacuum 120 mmHg"),
        ("one twenty m m h g", "vacuum 120 mmHg"),
        ("120 mmHg", "vacuum 120 mmHg"),
        ("minus one twenty millimetres of mercury", "vacuum 120 mmHg"),
        ("twelve seconds", "time 12 s"),
        ("ten minutes", "time 10 min"),
        ("point three milligrams", "dose 0.3 mg"),
        ("zero point one five milligrams", "dose 0.15 mg"),
        ("0.3 mg", "dose 0.3 mg"),
        ("4mg", "dose 4 mg"),
        ("three hundred twenty four milligrams", "dose 324 mg"),
        ("four m g", "dose 4 mg"),
        ("fifteen grams", "dose 15 g sound-alike or 50"),
        ("20g", "dose 20 g"),
        ("fifty five milligrams per deciliter", "glucose 55 mg/dL"),
        ("eighty two milligrams a deciliter", "glucose 82 mg/dL"),
        ("82 mg/dL", "glucose 82 mg/dL"),
        ("four point two millimoles per liter", "glucose 4.2 mmol/L"),
        ("4.2 mmol/L", "glucose 4.2 mmol/L"),
        ("three point one millimoles", "glucose 3.1 mmol/L"),
        ("two minutes and twenty seconds", "time 140 s"),
        ("two and a half minutes", "time 2.5 min"),
        ("one ten over seventy four", "blood-pressure 110/74 (mmHg)"),
        ("a hundred and ten over seventy four", "blood-pressure 110/74 (mmHg)"),
        ("110 over 74", "blood-pressure 110/74 (mmHg)"),
        ("110/74", "blood-pressure 110/74 (mmHg)"),
        ("110/74 mmHg", "blood-pressure 110/74 mmHg"),
        ("one ten by palp", "blood-pressure 110 (mmHg)"),
    ],
)
def test_a_number_with_its_unit_is_a_reading_though_nothing_is_asked(
    text: str, expected: str
) -> None:
    assert heard(text) == [expected]


@pytest.mark.parametrize(
    ("text", "expect", "expected"),
    [
        ("seventeen hundred", PRESSURE, "pressure 1700 (psi)"),
        ("one seven zero zero", PRESSURE, "pressure 1700 (psi)"),
        ("the gauge reads seventeen hundred", PRESSURE, "pressure 1700 (psi)"),
        ("pressure is seventeen hundred on the gauge", PRESSURE, "pressure 1700 (psi)"),
        ("um it's at twenty two hundred now", PRESSURE, "pressure 2200 (psi)"),
        ("i have two thousand left", PRESSURE, "pressure 2000 (psi)"),
        ("okay i've got two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("two thousand in the tank", PRESSURE, "pressure 2000 (psi)"),
        ("no, sixteen hundred", PRESSURE, "pressure 1600 (psi)"),
        ("no it was sixteen hundred", PRESSURE, "pressure 1600 (psi)"),
        ("ten", FLOW, "flow 10 (L/min)"),
        ("one", FLOW, "flow 1 (L/min)"),
        ("it's one", FLOW, "flow 1 (L/min)"),
        ("flow is at one", FLOW, "flow 1 (L/min)"),
        ("set to ten", FLOW, "flow 10 (L/min)"),
        ("i set it to ten by non rebreather", FLOW, "flow 10 (L/min)"),
        ("on ten by mask", FLOW, "flow 10 (L/min)"),
        ("running at ten", FLOW, "flow 10 (L/min)"),
        ("ten a minute", FLOW, "flow 10 L/min"),
        ("half", FLOW, "flow 0.5 (L/min)"),
        ("point five", FLOW, "flow 0.5 (L/min)"),
        ("zero", FLOW, "flow 0 (L/min)"),
        ("sat ninety-four on room air", SATURATION, "saturation 94 (%)"),
        ("negative sixteen hundred", PRESSURE, "pressure 1600 (psi)"),
        ("twelve on the flow meter", FLOW, "flow 12 (L/min)"),
        ("i've turned it up to twelve", FLOW, "flow 12 (L/min)"),
        ("the tank has two thousand in it", PRESSURE, "pressure 2000 (psi)"),
        ("incorrect it's two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("nine four", SATURATION, "saturation 94 (%)"),
        ("spo two is ninety four", SATURATION, "saturation 94 (%)"),
        ("i counted twelve", RATE, "rate 12 (/min)"),
        ("twelve", TIME, "time 12 (s)"),
        ("eighty", LENGTH, "length 80 (mm)"),
        ("eighty millimeters", SIZE, "size 80 mm"),
        ("eighty", SIZE, "size 80 (mm)"),
        ("seven", SIZE, "size 7 (mm)"),
        ("seven point five", SIZE, "size 7.5 (mm)"),
        ("a twelve", SIZE, "size 12 (Fr)"),
        ("size twenty eight", SIZE, "size 28 (Fr)"),
        ("one twenty", VACUUM, "vacuum 120 (mmHg)"),
        ("negative one twenty", VACUUM, "vacuum 120 (mmHg)"),
        ("twelve kilopascals", VACUUM, "vacuum 12 kPa"),
        ("one twenty over eighty two", BP, "blood-pressure 120/82 (mmHg)"),
        ("one ten by palpation", BP, "blood-pressure 110 (mmHg)"),
        ("the pulse went at one twenty", BP, "blood-pressure 120 (mmHg)"),
        ("the pulse is back at one twenty", BP, "blood-pressure 120 (mmHg)"),
        ("the pulse is one twenty", BP, "pulse-rate 120 (/min)"),
        ("the pulse was thirty six", Quantity.COUNT, "count 36 (counted)"),
        ("one twenty millimeters of mercury", BP, "blood-pressure 120 mmHg"),
        ("ninety two", GLUCOSE, "glucose 92 (mg/dL)"),
        ("ninety two milligrams", GLUCOSE, "glucose 92 mg/dL"),
        ("his sugar is forty two", GLUCOSE, "glucose 42 (mg/dL)"),
        ("point three", DOSE, "dose 0.3 (mg)"),
        ("the dose is four", DOSE, "dose 4 (mg)"),
        ("glucose twenty grams", DOSE, "dose 20 g"),
        ("seven out of ten", COUNT, "count 7 counted"),
        ("he gives it an 8 out of 10", COUNT, "count 8 counted"),
        ("zero out of ten", COUNT, "count 0 counted"),
        ("his pain is a seven", COUNT, "count 7 (counted)"),
        # another quantity than the one asked for, told by its unit or its name
        ("ten liters a minute", PRESSURE, "flow 10 L/min"),
        ("flow is at ten", PRESSURE, "flow 10 (L/min)"),
        ("seventeen hundred psi", FLOW, "pressure 1700 psi"),
        ("ninety four percent", YES_NO, "saturation 94 %"),
        ("the gauge shows one twenty", VACUUM, "vacuum 120 (mmHg)"),
    ],
)
def test_a_number_that_was_asked_for(text: str, expect: Expectation, expected: str) -> None:
    assert heard(text, expect) == [expected]


@pytest.mark.parametrize(
    "text", ["seventeen hundred", "ten", "it's at ten", "no, sixteen hundred", "half", "12.5"]
)
@pytest.mark.parametrize("expect", [None, YES_NO])
def test_a_bare_number_means_nothing_unasked(text: str, expect: Expectation | None) -> None:
    assert heard(text, expect) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "twenty two hundred psi at ten liters a minute",
            ["pressure 2200 psi", "flow 10 L/min"],
        ),
        (
            "2,200 psi, 10 L/min, SpO2 94%",
            ["pressure 2200 psi", "flow 10 L/min", "saturation 94 %"],
        ),
        ("twenty two hundred at ten", ["pressure 2200 (psi)", "flow 10 (L/min)"]),
        ("twenty two hundred and ten liters", ["pressure 2200 (psi)", "flow 10 L/min"]),
        ("twenty two hundred ten liters", ["pressure 2200 (psi)", "flow 10 L/min"]),
        ("one seven zero zero ten liters", ["pressure 1700 (psi)", "flow 10 L/min"]),
        (
            "the gauge reads two thousand and the flow is at ten",
            ["pressure 2000 (psi)", "flow 10 (L/min)"],
        ),
        ("two thousand psi no leaks ten liters", ["pressure 2000 psi", "flow 10 L/min"]),
        (
            "twelve breaths a minute and seventy two beats a minute",
            ["breathing-rate 12 /min", "pulse-rate 72 /min"],
        ),
        ("two thousand two hundred and ten psi", ["pressure 2210 psi"]),
    ],
)
def test_several_in_one_sentence(text: str, expected: list[str]) -> None:
    assert heard(text, PRESSURE) == expected


@pytest.mark.parametrize(
    ("text", "expect", "expected"),
    [
        ("ten, no, twelve", FLOW, "flow 12 (L/min)"),
        ("ten no twelve", FLOW, "flow 12 (L/min)"),
        ("ten liters, no, twelve", None, "flow 12 L/min"),
        ("ten, no, twelve liters", None, "flow 12 L/min"),
        ("ten liters no wait twelve liters", None, "flow 12 L/min"),
        ("twenty one hundred, sorry, two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred wait two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred i mean two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred make that two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred correction two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred scratch that two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred actually two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred or rather two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("twenty one hundred no it's two thousand", PRESSURE, "pressure 2000 (psi)"),
        ("ten no eleven no twelve", FLOW, "flow 12 (L/min)"),
        ("not ten, twelve", FLOW, "flow 12 (L/min)"),
        ("twelve not ten", FLOW, "flow 12 (L/min)"),
        ("it's not ten it's twelve", FLOW, "flow 12 (L/min)"),
        ("turned it from ten to twelve", FLOW, "flow 12 (L/min)"),
        ("fifteen, no, fifty", TIME, "time 50 (s) sound-alike or 15"),
        ("fifteen no fifty", TIME, "time 50 (s) sound-alike or 15"),
        (
            "one twenty over eighty two no one ten over seventy two",
            BP,
            "blood-pressure 110/72 (mmHg)",
        ),
    ],
)
def test_the_last_of_numbers_that_correct_each_other_counts(
    text: str, expect: Expectation | None, expected: str
) -> None:
    assert heard(text, expect) == [expected]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("not twelve", []),
        ("twelve, scratch that", []),
        ("twelve never mind", []),
        ("twelve, no wait", ["flow 12 (L/min) hedged"]),
        ("twelve no", ["flow 12 (L/min) hedged"]),
    ],
)
def test_a_number_taken_back(text: str, expected: list[str]) -> None:
    assert heard(text, FLOW) == expected


@pytest.mark.parametrize(
    "text",
    [
        "about {}",
        "around {}",
        "roughly {}",
        "approximately {}",
        "just under {}",
        "just over {}",
        "a bit over {}",
        "a little under {}",
        "almost {}",
        "nearly {}",
        "close to {}",
        "maybe {}",
        "probably {}",
        "i think {}",
        "i think it's at {}",
        "i'd say {}",
        "looks like {}",
        "it looks like about {}",
        "somewhere around {}",
        "~{}",
        "{} or so",
        "{} ish",
        "{}-ish",
        "{} maybe",
        "{} i think",
        "{} give or take",
        "{} more or less",
    ],
)
@pytest.mark.parametrize("number", ["two thousand", "two thousand psi", "2000"])
def test_a_guess_is_hedged(text: str, number: str) -> None:
    [reading] = find_readings(text.format(number), PRESSURE)
    assert (reading.values, reading.doubt) == ((2000,), Doubt.HEDGED)


@pytest.mark.parametrize(
    "text",
    [
        "two thousand",
        "i have about the right mask and two thousand psi",
        "around the ears, two thousand psi",
        "sixteen hundred, no, two thousand",
        "it's over there, two thousand psi",
    ],
)
def test_what_is_no_guess(text: str) -> None:
    [reading] = find_readings(text, PRESSURE)
    assert (reading.values, reading.doubt) == ((2000,), None)


@pytest.mark.parametrize(
    ("text", "expect", "expected"),
    [
        ("two thousand or twenty one hundred", PRESSURE, "pressure 2100 (psi) hedged or 2000"),
        ("fifteen or sixteen hundred", PRESSURE, "pressure 1600 (psi) hedged or 1500"),
        ("fifteen to sixteen hundred psi", None, "pressure 1600 psi hedged or 1500"),
        ("between fifteen and sixteen hundred", PRESSURE, "pressure 1600 (psi) hedged or 1500"),
        ("ten or twelve liters", None, "flow 12 L/min hedged or 10"),
        ("10-12 liters", None, "flow 12 L/min hedged or 10"),
        ("ten to twelve", FLOW, "flow 12 (L/min) hedged or 10"),
        ("twelve, eleven", FLOW, "flow 11 (L/min) hedged or 12"),
        ("twelve um eleven", FLOW, "flow 11 (L/min) hedged or 12"),
        ("fifteen one fifty", PRESSURE, "pressure 150 (psi) sound-alike or 115 or 15"),
        ("one two three", PRESSURE, "pressure 123 (psi) hedged"),
        (
            "his sat is eighty eight now ninety six on oxygen",
            FLOW,
            "saturation 96 (%) hedged or 88",
        ),
        ("seventeen hundred one six zero zero", PRESSURE, "pressure 1600 (psi) hedged or 1700"),
    ],
)
def test_two_numbers_for_one_thing_are_both_offered(
    text: str, expect: Expectation | None, expected: str
) -> None:
    assert heard(text, expect) == [expected]


@pytest.mark.parametrize(
    ("text", "expect", "expected"),
    [
        ("fifteen", FLOW, "flow 15 (L/min) sound-alike or 50"),
        ("fifteen liters", None, "flow 15 L/min sound-alike or 50"),
        ("fifty", TIME, "time 50 (s) sound-alike or 15"),
        ("sixteen breaths a minute", None, "breathing-rate 16 /min sound-alike or 60"),
        ("one fifteen", PRESSURE, "pressure 115 (psi) sound-alike or 150"),
        ("seventeen fifty", PRESSURE, "pressure 1750 (psi) sound-alike or 1715"),
        ("fourteen french", None, "size 14 Fr sound-alike or 40"),
        ("one fifteen over seventy two", None, "blood-pressure 115/72 (mmHg) sound-alike or 150"),
        ("about fifteen", FLOW, "flow 15 (L/min) sound-alike or 50"),
        ("fifty", FLOW, "flow 50 (L/min) out-of-range or 15"),
        # the other number would make no sense
        ("seventeen hundred", PRESSURE, "pressure 1700 (psi)"),
        ("ninety", SATURATION, "saturation 90 (%)"),
        ("eighty", LENGTH, "length 80 (mm)"),
        ("eighteen french", None, "size 18 Fr"),
        # said in digits, or in words and in digits, or written in figures
        ("one five", FLOW, "flow 15 (L/min)"),
        ("fifteen, one five", FLOW, "flow 15 (L/min)"),
        ("fifteen one five", FLOW, "flow 15 (L/min)"),
        ("one five, fifteen", FLOW, "flow 15 (L/min)"),
        ("fifteen liters, one five", FLOW, "flow 15 L/min"),
        ("fifteen that's one five", FLOW, "flow 15 (L/min)"),
        ("15", FLOW, "flow 15 (L/min)"),
        # said twice in the same words it stays in doubt
        ("fifteen fifteen", FLOW, "flow 15 (L/min) sound-alike or 50"),
        ("fifteen, fifteen", FLOW, "flow 15 (L/min) sound-alike or 50"),
        # two meanings
        ("seventeen five", PRESSURE, "pressure 175 (psi) sound-alike or 1705 or 75"),
        ("seven five", SIZE, "size 75 (mm) sound-alike or 7.5"),
    ],
)
def test_what_sounds_alike_needs_a_yes(
    text: str, expect: Expectation | None, expected: str
) -> None:
    assert heard(text, expect) == [expected]


@pytest.mark.parametrize(
    ("text", "expect", "expected"),
    [
        ("five thousand psi", None, "pressure 5000 psi out-of-range"),
        ("minus five", PRESSURE, "pressure -5 (psi) out-of-range"),
        ("twenty six", FLOW, "flow 26 (L/min) out-of-range"),
        ("thirty four percent", None, "saturation 34 % out-of-range"),
        ("one oh one", SATURATION, "saturation 101 (%) out-of-range"),
        ("seven seventy", VACUUM, "vacuum 770 (mmHg) out-of-range or 717"),
        ("three oh one", RATE, "rate 301 (/min) out-of-range"),
        ("twenty four over twelve", BP, "blood-pressure 24/12 (mmHg) out-of-range"),
        ("eighty over one twenty", BP, "blood-pressure 80/120 (mmHg) out-of-range"),
        ("about five thousand psi", None, "pressure 5000 psi out-of-range"),
        # the limits themselves are in range: 110 % of 2400 psi is 2640
        ("two six four zero psi", None, "pressure 2640 psi"),
        ("two six four one psi", None, "pressure 2641 psi out-of-range"),
        ("twenty five", FLOW, "flow 25 (L/min)"),
        ("thirty five percent", None, "saturation 35 %"),
    ],
)
def test_what_cannot_be_needs_a_yes(text: str, expect: Expectation | None, expected: str) -> None:
    assert heard(text, expect) == [expected]


def test_a_range_asked_for_narrows_the_limits() -> None:
    flow = Range(10, 15, Unit.LITRES_PER_MINUTE)
    assert [r.doubt for r in find_readings("nine", FLOW, flow)] == [Doubt.OUT_OF_RANGE]
    assert [r.doubt for r in find_readings("ten", FLOW, flow)] == [None]
    [high] = find_readings("fifty", FLOW, flow)
    assert (high.doubt, high.alternatives) == (Doubt.OUT_OF_RANGE, (15,))


def test_a_range_holds_in_other_units() -> None:
    # 2000 psi = 137.9 bar = 13.79 MPa (NIST SP 811, 2008: 1 psi = 6.894757 kPa)
    full = Range(500, 2000, Unit.PSI)
    for text in ("137.9 bar", "13.79 MPa", "13790 kPa", "thirty five bar"):
        assert [r.doubt for r in find_readings(text, PRESSURE, full)] == [None], text
    for text in ("139 bar", "14 MPa", "34 bar"):
        assert [r.doubt for r in find_readings(text, PRESSURE, full)] == [Doubt.OUT_OF_RANGE], text
    # 300 mmHg = 40.0 kPa
    suction = Range(80, 300, Unit.MILLIMETRES_OF_MERCURY)
    assert [r.doubt for r in find_readings("40 kPa", VACUUM, suction)] == [None]
    assert [r.doubt for r in find_readings("41 kPa", VACUUM, suction)] == [Doubt.OUT_OF_RANGE]
    seconds = Range(0, 90, Unit.SECONDS)
    assert [r.doubt for r in find_readings("two minutes", TIME, seconds)] == [Doubt.OUT_OF_RANGE]
    assert [r.doubt for r in find_readings("one minute", TIME, seconds)] == [None]


def test_a_bare_number_takes_the_unit_of_the_range_asked_for() -> None:
    metric = Range(20, 200, Unit.BAR)
    assert [shown(r) for r in find_readings("one twenty", PRESSURE, metric)] == [
        "pressure 120 (bar)"
    ]


def test_the_ranges_of_the_steps_hold_for_what_was_not_asked() -> None:
    ranges = {FLOW: Range(10, 15, Unit.LITRES_PER_MINUTE)}
    assert [r.doubt for r in find_readings("nine liters", None, None, ranges)] == [
        Doubt.OUT_OF_RANGE
    ]
    both = find_readings("two thousand psi, nine liters", PRESSURE, None, ranges)
    assert [r.doubt for r in both] == [None, Doubt.OUT_OF_RANGE]


def test_a_step_with_a_vacuum_and_no_cylinder_reads_kilopascals_as_vacuum() -> None:
    ranges = {VACUUM: Range(80, 300, Unit.MILLIMETRES_OF_MERCURY)}
    assert [r.quantity for r in find_readings("thirty five kPa", None, None, ranges)] == [VACUUM]


def test_the_highest_pressure_is_that_of_the_region() -> None:
    assert [r.doubt for r in find_readings("3,000 psi", None)] == [Doubt.OUT_OF_RANGE]
    assert [r.doubt for r in find_readings("3,000 psi", None, highest_psi=4400.0)] == [None]
    [alike] = find_readings("fifteen hundred psi", None, highest_psi=5000.0)
    assert (alike.doubt, alike.alternatives) == (Doubt.SOUND_ALIKE, (5000,))


SMALL_TALK = [
    "give me a second",
    "one second",
    "wait one second",
    "give me two minutes",
    "hold on a minute",
    "one moment",
    "this one",
    "the first one",
    "two hands on it",
    "i have two hands on the mask",
    "three people in here",
    "step two is done",
    "i counted to ten people",
    "i count to three and lift",
    "two of us",
    "for the ear to the mouth too",
    "i put one on each side",
    "put one on",
    "the other one is better",
    "no one told me",
    "half way in",
    "half full",
    "it's twenty past ten",
    "about an inch",
    "two inches deep",
    "the patient is fifty years old",
    "a sixty year old man",
    "two fingers wide",
    "o two is on",
    "call nine one one for me please now",
    "try again in two",
    "number two pencil",
    "eight over five",
    "three quarters full",
    "half a tank",
    "one breath every six seconds",
    "no more than fifteen seconds",
    "there are two prongs",
    "thumb and two fingers",
    "there's one gasket",
    "i've got work at six so i can't stay long",
    "class at nine and lunch at twelve",
]


@pytest.mark.parametrize("text", SMALL_TALK)
@pytest.mark.parametrize("expect", [None, YES_NO, PRESSURE, FLOW, SATURATION])
def test_small_talk_holds_no_reading(text: str, expect: Expectation | None) -> None:
    assert heard(text, expect) == []


@pytest.mark.parametrize(
    "value", [0, 5, 10, 94, 100, 110, 205, 500, 1250, 1700, 1850, 2000, 2200, 2216, 2.5, 0.5]
)
@pytest.mark.parametrize("unit", [unit for unit in Unit if unit is not Unit.MILLIMETRES_OF_MERCURY])
def test_what_the_coach_reads_back_is_heard_as_the_same_reading(value: float, unit: Unit) -> None:
    named = {Unit.INCHES: LENGTH}  # else they tell of nothing
    for quantity in (Quantity.TEMPERATURE, Quantity.WEIGHT):
        named |= dict.fromkeys(UNITS_OF[quantity], quantity)
    asked = named.get(unit)
    [reading] = find_readings(read_back((value,), unit), asked)
    assert (reading.values, reading.unit, reading.unit_said) == ((value,), unit, True)
    assert reading.doubt in {None, Doubt.OUT_OF_RANGE}


def test_a_blood_pressure_read_back_is_heard() -> None:
    said = read_back((110.0, 70.0), Unit.MILLIMETRES_OF_MERCURY)
    assert {r.values for r in find_readings(said, BP)} == {(110, 70)}


def test_the_place_of_a_reading_is_told() -> None:
    [found] = locate_readings("it's two thousand psi in the tank", None)
    assert (found.start, found.end) == (1, 4)


def test_units_convert_as_the_standard_says() -> None:
    # NIST SP 811 (2008), appendix B.8: 1 mmHg = 133.3224 Pa, 1 bar = 14.50377 psi
    assert converted_to(1, Unit.MILLIMETRES_OF_MERCURY, Unit.KILOPASCAL) == KILOPASCALS_PER_MMHG
    assert converted_to(1, Unit.BAR, Unit.PSI) == pytest.approx(14.50377, abs=1e-5)
    assert converted_to(28, Unit.FRENCH, Unit.MILLIMETRES) is None
    assert converted_to(15, Unit.GRAMS, Unit.MILLIGRAMS) == 15_000
    assert converted_to(500, Unit.MILLIGRAMS, Unit.GRAMS) == 0.5


def test_glucose_converts_as_published_pairs_do() -> None:
    # American Diabetes Association, Diabetes Care 2017;40 (suppl 1), table 6.3.
    for mmol, mg in [(3.9, 70), (3.0, 54)]:
        there = converted_to(mmol, Unit.MILLIMOLES_PER_LITRE, Unit.MILLIGRAMS_PER_DECILITRE)
        back = converted_to(mg, Unit.MILLIGRAMS_PER_DECILITRE, Unit.MILLIMOLES_PER_LITRE)
        assert there == pytest.approx(mg, abs=0.5)
        assert back == pytest.approx(mmol, abs=0.05)


@pytest.mark.parametrize(
    ("text", "shown_plain", "folded"),
    [
        ("It\N{RIGHT SINGLE QUOTATION MARK}s 1,700 P.S.I.!", "it's 1700 psi", "it's 1700 psi"),
        ("94%", "94 percent", "94 percent"),
        ("15l/min", "15 l per min", "15 l per min"),
        ("BP: 110/70", "bp 110 over 70", "bp 110 over 70"),
        ("2.5 L", "2.5 l", "2.5 l"),
        (".5", "0.5", "0.5"),
        ("seventeen hundred p s i", "seventeen hundred p s i", "seventeen hundred psi"),
        ("S P O two", "s p o two", "spo2"),
        ("Ninety\N{EN DASH}four \N{EM DASH} “okay”…", "ninety four okay", "ninety four okay"),
        ("café", "cafe", "cafe"),
        ("\N{ARABIC-INDIC DIGIT ONE}\N{ARABIC-INDIC DIGIT SEVEN}", "17", "17"),
        ("non-rebreather", "non rebreather", "non rebreather"),
        ("", "", ""),
        ("?!", "", ""),
        ("fifteenish", "fifteen ish", "fifteen ish"),
    ],
)
def test_normal_text(text: str, shown_plain: str, folded: str) -> None:
    assert plain(text) == shown_plain
    assert normalised(text) == folded


def test_pauses_are_kept() -> None:
    said = tokens("No, sixteen hundred; 2.5 L. okay")
    assert [token.word for token in said if token.break_after] == ["no", "hundred", "l"]


@settings(max_examples=300)
@given(st.text(max_size=60))
def test_any_text_is_read_without_failing(text: str) -> None:
    assert plain(plain(text)) == plain(text)
    for expect in (None, FLOW, BP):
        check(find_readings(text, expect))


TALK = sorted(number_words()) + "no or to the not about wait it's and at is ish 15 1700 2.5".split()


@settings(max_examples=500)
@given(
    st.lists(st.sampled_from(TALK), max_size=12),
    st.sampled_from([None, YES_NO, *Quantity]),
)
def test_any_words_give_readings_that_hold_together(
    words: list[str], expect: Expectation | None
) -> None:
    check(find_readings(" ".join(words), expect))


@pytest.mark.parametrize("quantity", Quantity)
def test_a_bare_number_is_read_as_each_quantity_that_can_be_asked_for(quantity: Quantity) -> None:
    (reading,) = find_readings("forty", quantity)
    assert (reading.quantity, reading.values) == (quantity, (40.0,))


def check(readings: tuple[Reading, ...]) -> None:
    for reading in readings:
        assert reading.unit in UNITS_OF[reading.quantity]
        assert len(reading.values) in ((1, 2) if reading.quantity is BP else (1,))
        assert all(math.isfinite(v) for v in (*reading.values, *reading.alternatives))
        assert reading.doubt is not None or not reading.alternatives
        assert not set(reading.values) & set(reading.alternatives)
