"""A bare number is never guessed into a unit: the question carries one, else the coach asks which.

Which numbers are alike in which units follows from the sizes of the units alone: 1 inch is 25.4 mm
and 1 bar is 100 kPa, 14.5 psi (NIST SP 811, 2008, appendix B.8); 1 mmol/L of glucose is 18 mg/dL
(molar mass 180.156 g/mol, PubChem compound 5793).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from dialogue_sessions import SKILLS, skill_named

from coach.core.meaning import Meaning, Reading
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.dialogue.effects import Noted, Say
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, SessionStarted
from coach.dialogue.moment import asked_context, context_of
from coach.dialogue.state import Credit, Mode, ReadBack, State, WhichUnit
from coach.dialogue.units_asked import with_unit
from coach.edges.skill_files import load_skill
from coach.language.context import Range
from coach.language.normal import plain
from coach.language.readings import find_readings
from coach.language.understand import understand
from coach.language.unit_rivals import CENTIMETRES, unit_name
from coach.procedure.model import ReadingSpec

SEVERAL = [
    quantity
    for quantity, units in UNITS_OF.items()
    if len(units) > 1 and quantity is not Quantity.AIRWAY_PRESSURE
]
"""Quantities that may be read in more than one unit. Centimeters of water and hectopascals differ
by 2 % (NIST SP 811, 2008, appendix B.8), so whoever names neither means no other pressure."""

CASES: tuple[tuple[Quantity, Range, str, tuple[str, ...]], ...] = (
    (Quantity.PRESSURE, Range(0, 2216, Unit.PSI), "one thirty", ("P S I", "bar")),
    (Quantity.PRESSURE, Range(500, 2216, Unit.PSI), "one thirty", ("P S I", "bar")),
    (Quantity.PRESSURE, Range(0, 230, Unit.BAR), "fifteen hundred", ()),
    (Quantity.GLUCOSE, Range(20, 600, Unit.MILLIGRAMS_PER_DECILITRE), "seven", ()),
    (Quantity.VACUUM, Range(300, 760, Unit.MILLIMETRES_OF_MERCURY), "fifty", ()),
    (Quantity.TIME, Range(0, 5, Unit.MINUTES), "thirty", ("minutes", "seconds")),
    (Quantity.TIME, Range(5, 10, Unit.SECONDS), "point one five", ("seconds", "minutes")),
    (Quantity.LENGTH, Range(2, 2.4, Unit.INCHES), "five point five", ("inches", CENTIMETRES)),
    (Quantity.LENGTH, Range(2, 2.4, Unit.INCHES), "fifty five", ("inches", "millimeters")),
    (Quantity.LENGTH, Range(70, 110, Unit.MILLIMETRES), "nine", ("millimeters", CENTIMETRES)),
    (Quantity.LENGTH, Range(70, 110, Unit.MILLIMETRES), "three", ("millimeters", "inches")),
    (Quantity.SIZE, Range(26, 36, Unit.FRENCH), "seven", ("French", "millimeters")),
    (Quantity.SIZE, Range(6, 9, Unit.MILLIMETRES), "twenty eight", ("millimeters", "French")),
    (Quantity.DOSE, Range(160, 325, Unit.MILLIGRAMS), "point three", ("milligrams", "grams")),
    (Quantity.DOSE, Range(15, 20, Unit.GRAMS), "fifteen thousand", ("grams", "milligrams")),
    (Quantity.PULL, Range(1, 15, Unit.POUNDS_FORCE), "sixty", ("pounds of pull", "newtons")),
    (
        *(Quantity.TEMPERATURE, Range(34, 43, Unit.DEGREES_CELSIUS), "one hundred"),
        ("degrees Celsius", "degrees Fahrenheit"),
    ),
    (Quantity.WEIGHT, Range(2, 40, Unit.KILOGRAMS), "eighty", ("kilograms", "pounds")),
)
"""What was asked, what was said, and in which units it may be meant; () for any two."""


@pytest.mark.parametrize(("quantity", "allowed", "said", "units"), CASES)
def test_a_bare_number_that_fits_another_unit_is_not_taken_for_granted(
    quantity: Quantity, allowed: Range, said: str, units: tuple[str, ...]
) -> None:
    (reading,) = find_readings(said, quantity, allowed, {quantity: allowed}, 2216.0)
    assert reading.unit is allowed.unit, "what was asked for comes first"
    assert reading.could_be_in[:1] == (unit_name(allowed.unit),)
    assert len(reading.could_be_in) > 1
    assert not units or reading.could_be_in == units


def test_every_quantity_of_several_units_is_among_the_cases() -> None:
    assert {case[0] for case in CASES} == set(SEVERAL)


def ranges_of_all_skills() -> Iterator[tuple[str, ReadingSpec]]:
    """Every number that a skill asks for, with every way of its settings, one at a time."""
    for name in SKILLS:
        skill_file = skill_named(name)
        every = frozenset(complication.id for complication in skill_file.complications)
        plainly: list[dict[str, str]] = [{}]
        for setting, what in skill_file.settings.items():
            plainly += [{setting: option} for option in what.options]
        for choices in plainly:
            for step in skill_file.chosen(choices, every).steps:
                yield from ((name, spec) for spec in step.readings)


def test_every_question_carries_its_unit() -> None:
    """Whatever the skill, the setting and the unit of pressure."""
    seen = 0
    for skill, spec in ranges_of_all_skills():
        for pressure in (Unit.PSI, Unit.BAR):
            if spec.quantity not in SEVERAL or not spec.ask:
                continue
            unit = pressure if spec.quantity is Quantity.PRESSURE else spec.unit
            name = CENTIMETRES if spec.in_centimetres else unit_name(unit)
            assert plain(name) in plain(with_unit(spec, pressure)), (skill, spec.name)
            seen += 1
    assert seen > 100


def test_in_the_unit_asked_for_a_likely_number_is_never_questioned() -> None:
    """Both ends of every range of every skill and the middle, unless unlikely by themselves."""
    for skill, spec in ranges_of_all_skills():
        if spec.quantity not in SEVERAL or spec.in_centimetres:
            continue
        allowed = Range(spec.low, spec.high, spec.unit)
        for value in (spec.low, round((spec.low + spec.high) / 2, 1), spec.high):
            said = f"{value:g}"
            for reading in find_readings(said, spec.quantity, allowed, {spec.quantity: allowed}):
                unlikely = value < 0.1 * spec.high
                assert not reading.could_be_in or unlikely, (skill, spec.name, said, reading)


def asked_for(skill: str, step: str, way: str = "led", **choices: str) -> State:
    """A session in which all before the step is done and its number is asked for."""
    skill_file = load_skill(skill)
    started = SessionStarted(0.0, skill, choices, way=way)
    state, _ = advance(new_state(skill_file), started)
    order = [one.id for one in state.skill.steps]
    done = tuple(Credit(one, 0.0) for one in order[: order.index(step)])
    return replace(state, mode=Mode.RUNNING, credits=done, asked=step)


def hear(state: State, text: str) -> tuple[State, str, list[str]]:
    """The state after a sentence, what the coach says, and the names of what is noted."""
    after, effects = advance(state, Heard(state.at_s + 1.0, understand(text, context_of(state))))
    said = " ".join(effect.text for effect in effects if isinstance(effect, Say))
    return after, said, [effect.name for effect in effects if isinstance(effect, Noted)]


def with_length(state: State, text: str) -> State:
    """The state after the length was said and confirmed."""
    after, _, _ = hear(state, text)
    after, _, _ = hear(after, "yes")
    return after


def test_a_french_size_answered_bare_is_french() -> None:
    state = with_length(asked_for("nasal-airway", "size"), "one thirty millimeters")
    after, _, _ = hear(state, "twenty eight")
    assert isinstance(after.pending, ReadBack)
    (proposal,) = after.pending.proposals
    assert (proposal.reading.values, proposal.reading.unit) == ((28.0,), Unit.FRENCH)


@pytest.mark.parametrize(
    ("marking", "said", "asks", "answer", "unit"),
    [
        ("french", "seven", "seven French, or seven millimeters?", "millimeters", Unit.MILLIMETRES),
        (
            "millimeters",
            "twenty eight",
            "twenty-eight millimeters, or twenty-eight French?",
            "French",
            Unit.FRENCH,
        ),
        (
            "millimeters",
            "twenty eight",
            "twenty-eight millimeters, or twenty-eight French?",
            "oh it's French",
            Unit.FRENCH,
        ),
    ],
)
def test_the_coach_asks_which_unit_and_takes_the_unit_alone_for_the_answer(
    marking: str, said: str, asks: str, answer: str, unit: Unit
) -> None:
    state = asked_for("nasal-airway", "size", marking=marking)
    state = with_length(state, "one thirty millimeters")
    after, words, _ = hear(state, said)
    assert isinstance(after.pending, WhichUnit)
    assert asks.lower() in words.lower()
    after, words, _ = hear(after, answer)
    assert isinstance(after.pending, ReadBack), words
    (proposal,) = after.pending.proposals
    assert proposal.reading.unit is unit
    assert "right?" in words


def test_a_length_asked_for_and_answered_with_the_width_is_asked_about() -> None:
    """The nasal airway has both: 28 is no length in millimeters, but a size in French."""
    state = asked_for("nasal-airway", "size")
    after, words, _ = hear(state, "twenty eight")
    assert isinstance(after.pending, WhichUnit), words
    assert "twenty-eight French" in words
    after, _, _ = hear(after, "French")
    assert isinstance(after.pending, ReadBack)
    (proposal,) = after.pending.proposals
    assert (proposal.name, proposal.reading.unit) == ("width", Unit.FRENCH)


def test_the_whole_number_with_its_unit_answers_too() -> None:
    after, _, _ = hear(asked_for("cpr", "depth"), "five")
    assert isinstance(after.pending, WhichUnit)
    after, _, _ = hear(after, "five centimeters")
    assert isinstance(after.pending, ReadBack)
    assert after.pending.proposals[0].reading.values == (50.0,)


def test_centimeters_asked_for_are_centimeters() -> None:
    after, _, _ = hear(asked_for("cpr", "depth", measure="centimeters"), "five")
    assert isinstance(after.pending, ReadBack)
    assert after.pending.proposals[0].reading.values == (50.0,)


def test_a_quiet_coach_lets_no_number_of_two_units_stand() -> None:
    """It asks nothing, so nobody knows: the step stays unclear."""
    state = asked_for("oxygen-cylinder", "pressure", way="recall")
    after, _, noted = hear(state, "one thirty")
    assert "unit-unclear" in noted
    assert not after.readings
    after, _, _ = hear(state, "one thirty bar")
    assert [reading.values for reading in after.readings] == [(130.0,)]


def test_another_number_is_taken_and_the_question_dropped() -> None:
    after, _, _ = hear(asked_for("oxygen-cylinder", "pressure"), "one thirty")
    assert isinstance(after.pending, WhichUnit)
    after, _, _ = hear(after, "nineteen hundred")
    assert isinstance(after.pending, ReadBack)
    assert after.pending.proposals[0].reading == Reading(
        Quantity.PRESSURE, (1900.0,), Unit.PSI, doubt=after.pending.proposals[0].reading.doubt
    )


def test_a_unit_alone_means_nothing_where_none_was_asked() -> None:
    context = asked_context(load_skill("nasal-airway").chosen({}), "size", Quantity.LENGTH)
    meaning: Meaning = understand("French", context)
    assert not meaning.readings
