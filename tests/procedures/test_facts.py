"""The table of facts against units, arithmetic and definitions from outside the project."""

from __future__ import annotations

import re
from itertools import pairwise

import pint
import pytest

from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.fact_references import stands_for
from coach.procedure.facts import OVERFILL, FactTable, Kept
from coach.procedure.in_force import RESERVE
from coach.procedure.numbers import FACTS_OF
from coach.procedure.oxygen_numbers import OXYGEN_FACTS

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()


@pytest.fixture
def table() -> FactTable:
    return facts_for(program_facts().parent)


def number(table: FactTable, reference: str) -> float:
    found = stands_for(f"fact.{reference}", table)
    assert isinstance(found, float), reference
    return found


@pytest.mark.parametrize("bar", [137, 170, 230, 300])
def test_the_highest_reading_is_the_fill_and_ten_percent(table: FactTable, bar: int) -> None:
    # Ten percent over-fill is what the plus mark allows (49 CFR 173.302a(b)); the unit is pint's.
    psi = (number(table, f"cylinder-fill-{bar}-bar") * 1.1 * UNITS.bar).to("psi").magnitude
    assert number(table, f"cylinder-highest-{bar}-bar") == pytest.approx(psi, abs=1.5)


def test_no_gauge_shows_more_vacuum_than_the_standard_atmosphere(table: FactTable) -> None:
    # ISO 2533: 101.325 kPa at sea level.
    assert number(table, "vacuum-most") == pytest.approx((1 * UNITS.atm).to("mmHg").magnitude)


def test_a_french_is_a_third_of_a_millimeter(table: FactTable) -> None:
    # The Charriere scale: three French to the millimeter.
    outside = number(table, "nasal-airway-28-french-outside")
    assert outside == pytest.approx(28 / 3, abs=0.05)


@pytest.mark.parametrize(
    ("metric", "inches"),
    [
        ("compression-depth-adult.low", "compression-depth-adult-inches.low"),
        ("compression-depth-adult.high", "compression-depth-adult-inches.high"),
        ("compression-depth-child", "compression-depth-child-inches"),
        ("compression-depth-infant", "compression-depth-infant-inches"),
        ("tourniquet-distance.low", "tourniquet-distance-inches.low"),
        ("tourniquet-distance.high", "tourniquet-distance-inches.high"),
        ("pad-clearance.older-us", None),
    ],
)
def test_centimeters_and_inches_say_the_same(
    table: FactTable, metric: str, inches: str | None
) -> None:
    # Published pairs are rounded to the half unit, so within five percent (1.5 in and 4 cm: 4.7).
    written = number(table, inches) if inches else 1.0
    centimeters = (written * UNITS.inch).to("cm").magnitude
    assert number(table, metric) == pytest.approx(centimeters, rel=0.05)


@pytest.mark.parametrize(
    "reference",
    ["compression-depth-adult.low.in-mm", "pulse-recheck.in-s", "cylinder-fill-137-bar.in-psi"],
)
def test_units_are_turned_as_the_library_of_units_turns_them(
    table: FactTable, reference: str
) -> None:
    own, _, unit = reference.rpartition(".in-")
    fact = table.facts[own.partition(".")[0]]
    turned = (number(table, own) * UNITS(fact.unit)).to(unit).magnitude
    assert number(table, reference) == pytest.approx(turned)


@pytest.mark.parametrize("patient", ["adult", "child", "infant"])
def test_interval_and_rate_of_breaths_agree(table: FactTable, patient: str) -> None:
    # Sixty seconds in a minute: the longest interval is the lowest rate.
    interval = table.facts[f"breath-interval-{patient}"].amount
    rate = table.facts[f"breath-rate-{patient}"].amount
    if interval.value is not None:
        assert rate.value == 60 / float(interval.value)
    else:
        assert (rate.low, rate.high) == (60 / (interval.high or 1), 60 / (interval.low or 1))


@pytest.mark.parametrize(
    ("reference", "kilograms", "slack"), [("traction-closed", 7, 0.03), ("traction-open", 2.5, 0.1)]
)
def test_the_pull_in_pounds_is_the_kilograms_beside_it(
    table: FactTable, reference: str, kilograms: float, slack: float
) -> None:
    # British Columbia EHS, PR50, prints 15 pounds (7 kg) and 5 (2.5 kg); the pound is pint's.
    pounds = number(table, reference) * UNITS.force_pound
    printed = (kilograms * UNITS.kilogram * UNITS.standard_gravity).to("force_pound")
    assert pounds.magnitude == pytest.approx(printed.magnitude, rel=slack)


def test_the_vacuum_in_the_windpipe_is_within_that_of_a_published_skill_test(
    table: FactTable,
) -> None:
    # Nursing study, html.scirp.org/file/_8-1441116_1.htm: 13 to 20 kPa; the unit is pint's.
    low, high = ((kpa * UNITS.kPa).to("mmHg").magnitude for kpa in (13, 20))
    assert number(table, "stoma-vacuum-adult.low") < low < number(table, "stoma-vacuum-adult.high")
    assert number(table, "stoma-vacuum-adult.high") < high


def test_aspirin_is_two_or_four_tablets(table: FactTable) -> None:
    # A low-dose tablet has 81 mg (its name in US texts).
    tablet = 81
    assert number(table, "aspirin-dose.low") == 2 * tablet
    assert number(table, "aspirin-dose.high") == 4 * tablet


def test_a_vial_of_albuterol_holds_what_its_label_says(table: FactTable) -> None:
    # Label NDC 55154-4410: 0.83 mg of albuterol in each milliliter, vials of 3 mL.
    assert number(table, "albuterol-vial") == pytest.approx(3 * 0.83, abs=0.05)


def test_glucose_in_both_units_is_the_same(table: FactTable) -> None:
    # PubChem, compound 5793: glucose weighs 180.156 g a mole.
    mole = 180.156 * UNITS.gram / UNITS.mole
    for milligrams, millimoles in [
        ("low-glucose", "low-glucose-mmol"),
        ("meter-range.low", "meter-range-mmol.low"),
        ("meter-range.high", "meter-range-mmol.high"),
    ]:
        amount = number(table, milligrams) * UNITS("mg/dL") / mole
        told = number(table, millimoles)
        assert amount.to("mmol/L").magnitude == pytest.approx(told, abs=0.05)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # Pediatric advanced life support, 2006, as quoted by tomwademd.net
        ("respirations-infant", 30, 60),
        ("respirations-toddler", 24, 40),
        ("respirations-preschool-child", 22, 34),
        ("respirations-school-child", 18, 30),
        ("respirations-adolescent", 12, 16),
        ("pulse-newborn", 85, 205),
        ("pulse-infant", 100, 190),
        ("pulse-child", 60, 140),
        ("pulse-adult", 60, 100),
        # Medscape 2172054, for an adolescent; the custom of emergency services for an adult
        ("respirations-adolescent.wide", 12, 20),
        ("respirations-adult", 12, 20),
    ],
)
def test_usual_rates_are_those_of_the_published_table(
    table: FactTable, name: str, low: float, high: float
) -> None:
    assert (number(table, f"{name}.low"), number(table, f"{name}.high")) == (low, high)


@pytest.mark.parametrize("counted", ["respirations", "pulse"])
def test_nobody_is_usual_beyond_the_fastest(table: FactTable, counted: str) -> None:
    fastest = number(table, {"respirations": "fastest-breaths", "pulse": "fastest-pulse"}[counted])
    usual = [
        fact.amount.high or 0 for name, fact in table.facts.items() if name.startswith(counted)
    ]
    assert max(usual) < fastest


def test_breaths_slow_down_with_age_and_so_does_the_pulse(table: FactTable) -> None:
    # Pediatric advanced life support, 2006: each older age breathes and beats no faster.
    breaths = ["infant", "toddler", "preschool-child", "school-child"]
    for young, older in pairwise(breaths):
        first, second = (table.facts[f"respirations-{age}"].amount for age in (young, older))
        assert (first.low or 0) >= (second.low or 0)
        assert (first.high or 0) >= (second.high or 0)
    for young, older in pairwise(["newborn", "infant", "child", "adult"]):
        first, second = (table.facts[f"pulse-{age}"].amount for age in (young, older))
        assert (first.high or 0) >= (second.high or 0)


def test_whatever_is_counted_in_milligrams_or_grams_is_kept_back(table: FactTable) -> None:
    # Units of medicines as the International System writes them.
    for fact in table.facts.values():
        if fact.unit in ("mcg", "mg", "g"):
            assert fact.kept == Kept.DOSE, fact.name


def test_every_fact_is_used_by_a_skill(table: FactTable) -> None:
    """Named by a skill's texts, ranges or settings, shared steps among them, or worked with."""
    folder = program_facts().parent
    files = [path for path in folder.glob("*.yaml") if path != program_facts()]
    named = set(
        re.findall(r"\{fact\.([a-z0-9-]+)[.}]", "".join(p.read_text("utf-8") for p in files))
    )
    worked_with = {name for names in FACTS_OF.values() for name in names}
    named |= {RESERVE, OVERFILL, *worked_with, *OXYGEN_FACTS}
    assert sorted(set(table.facts) - named) == []
