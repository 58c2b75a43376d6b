"""The cylinder table against published contents, factors and durations."""

from __future__ import annotations

import math

import pytest
from known_cylinders import KEPT, find_cylinder, known_cylinders

from coach.core.errors import InputError
from coach.core.units import Flow, Pressure, Unit
from coach.edges.shared_files import facts_for, program_facts
from coach.trade.cylinders import (
    Cylinder,
    Region,
    checked_pressure,
)
from coach.trade.oxygen import minutes_left

CYLINDERS = known_cylinders().listed
ALL = [cylinder for listed in CYLINDERS.values() for cylinder in listed.values()]
NAMED = pytest.mark.parametrize("cylinder", ALL, ids=lambda c: f"{c.region}-{c.letter}")

TEXTBOOK = {
    # Oxygen Cylinder Guidance (Virginia, 2010) for D, E, M, H and K; the how-to article crediting
    # the American Academy of Orthopaedic Surgeons for all.
    Region.US: {"D": 0.16, "E": 0.28, "M": 1.56, "G": 2.41, "H": 3.14, "K": 3.14},
    # theexpeditiondoc.com, July 2022
    Region.UK: {"C": 0.085, "D": 0.17, "E": 0.34, "F": 0.68, "G": 1.7, "J": 3.4},
    Region.ANZ: {},
}


@pytest.mark.parametrize("region", list(Region))
def test_textbook_factors_are_the_printed_ones(region: Region) -> None:
    printed = {c.letter: _textbook(c) for c in CYLINDERS[region].values() if c.printed}
    assert printed == TEXTBOOK[region]


def _textbook(cylinder: Cylinder) -> float:
    """The factor that courses print: another text's where that one is not the default."""
    other = cylinder.differs.get("textbook")
    return cylinder.factor_of(other) if other else cylinder.litres_per_psi


SHORTER = {"M": 1.36, "H": 3.0, "K": 3.0}
"""Published beside the textbook's: 3,000 L at 2,200 psi (Virginia sheet, De Anza College); rounded
to 3 (eHow UK)."""


@NAMED
def test_of_published_factors_the_one_that_promises_least_is_taken(cylinder: Cylinder) -> None:
    if not cylinder.printed:
        return
    shorter = SHORTER.get(cylinder.letter) if cylinder.region is Region.US else None
    assert cylinder.litres_per_psi == (shorter or TEXTBOOK[cylinder.region][cylinder.letter])
    if shorter:
        assert f"{_textbook(cylinder):g}" in cylinder.note, "the learner is told of the other"


def test_an_m_of_3000_liters_is_never_promised_longer_than_it_lasts() -> None:
    # Virginia sheet, 2010: an M holds 3,000 L; at 15 L/min, nothing kept, that is 200 minutes.
    m = find_cylinder("M")
    left = minutes_left(m.full_pressure, Pressure(0), m.litres_per_psi, Flow(15))
    assert 195 < left.minutes <= 200


@NAMED
def test_every_cylinder_names_its_sources(cylinder: Cylinder) -> None:
    known = facts_for(program_facts().parent).sources
    assert cylinder.sources
    assert set(cylinder.sources) <= set(known)
    assert all(set(other.sources) <= set(known) for other in cylinder.differs.values())


@NAMED
def test_a_derived_factor_is_contents_over_pressure_rounded_down(cylinder: Cylinder) -> None:
    exact = cylinder.full.litres / cylinder.full_pressure.psi
    if not cylinder.printed:
        assert exact - 0.001 < cylinder.litres_per_psi <= exact
    elif cylinder.litres_per_psi == _textbook(cylinder):
        assert cylinder.litres_per_psi == pytest.approx(exact, rel=0.02)
    else:
        assert exact * 0.95 < cylinder.litres_per_psi <= exact


@pytest.mark.parametrize(
    ("letter", "litres", "kilopascals"),
    [("D", 340, 13_700), ("CD", 460, 23_000), ("F", 1360, 13_700)],
)
def test_uk_cylinders_are_those_of_lutman_and_petros(
    letter: str, litres: float, kilopascals: float
) -> None:
    # Emerg Med J 2006;23:703-4
    cylinder = find_cylinder(letter, Region.UK)
    assert cylinder.full.litres == litres
    assert cylinder.full_pressure.in_unit(Unit.KILOPASCAL) == pytest.approx(kilopascals)


@pytest.mark.parametrize(("letter", "hours"), [("C", 3), ("D", 11), ("E", 30)])
def test_anz_times_agree_with_the_guideline_table(letter: str, hours: float) -> None:
    # TSANZ domiciliary oxygen guideline 2014: "about" so many hours at 2 L/min, full cylinder
    cylinder = find_cylinder(letter, Region.ANZ)
    left = minutes_left(cylinder.full_pressure, KEPT, cylinder.litres_per_psi, Flow(2))
    assert left.minutes / 60 == pytest.approx(hours, rel=0.06)


def test_textbook_us_d_and_e_never_promise_more_than_an_aluminum_cylinder_holds() -> None:
    # openFDA drug listings: M15 415 to 425 L, M24 680 L
    for letter, aluminum in (("D", "M15"), ("E", "M24")):
        assert find_cylinder(letter).litres_per_psi < find_cylinder(aluminum).litres_per_psi


@pytest.mark.parametrize("written", ["D", "d", " d "])
def test_letters_are_found_in_either_case(written: str) -> None:
    assert find_cylinder(written).litres_per_psi == 0.16


@pytest.mark.parametrize("region", list(Region))
def test_an_unknown_letter_lists_the_known_ones(region: Region) -> None:
    with pytest.raises(InputError) as refused:
        find_cylinder("Q", region)
    for letter in CYLINDERS[region]:
        assert letter in str(refused.value)
    assert "differ by country" in str(refused.value)
    assert "--region" not in str(refused.value)


def test_a_letter_of_another_country_says_so() -> None:
    with pytest.raises(InputError, match="CD is listed for uk: give --region uk"):
        find_cylinder("cd")


def test_ten_percent_over_the_highest_fill_is_the_limit() -> None:
    at_limit = known_cylinders().highest_plausible(find_cylinder("D").highest_fill)
    assert at_limit.psi == pytest.approx(2216 * 1.1)
    assert known_cylinders().highest_plausible_in(Region.US) == at_limit
    assert known_cylinders().highest_plausible_in().bar == pytest.approx(330)
    assert checked_pressure(at_limit, at_limit, "that") is at_limit
    with pytest.raises(InputError, match="more than any such cylinder holds"):
        checked_pressure(Pressure(2440), at_limit, "2440 psi")


@pytest.mark.parametrize("bad", [-1.0, math.nan])
def test_a_gauge_below_zero_is_refused(bad: float) -> None:
    with pytest.raises(InputError, match="makes no sense"):
        checked_pressure(Pressure(bad), Pressure(2400), "it")
