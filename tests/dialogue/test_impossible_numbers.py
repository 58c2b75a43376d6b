"""A number that its reading can never be does not stand, whatever is answered to the coach."""

from __future__ import annotations

import pytest
from bench_session import Run, run_with_step
from bench_skill import TEXT, bench_skill

from coach.core.units import UNITS_OF, Quantity
from coach.procedure.skill_file import SkillFile
from coach.trade.lawful_numbers import lawful_range
from coach.trade.possible import POSSIBLE


def step_with(quantity: str, unit: str, low: str, high: str, more: str = "") -> str:
    return f"""steps:
  - id: look
    name: the look
    say: Look and say the number.
    why: Somebody asks for it.
    how: Look.
    heard-as: {{phrases: [i looked at it], keys: [looked]}}
    readings:
      - {{name: shown, quantity: {quantity}, unit: {unit}, low: "{{no-fact.{low}}}",
         high: "{{no-fact.{high}}}", ask: What number is it?, outside: Look again.,
         sources: [common]{more}}}
"""


@pytest.mark.parametrize(
    ("quantity", "unit", "low", "high", "said", "ends"),
    [
        # Percent is parts of a hundred (SI brochure, 9th edition, 5.4.7).
        ("saturation", '"%"', "94", "100", "one hundred and twenty", "from zero to one hundred p"),
        # The standard atmosphere, 101 325 Pa, is 760 mmHg (NIST SP 811, 2008, appendix B.8).
        (
            "vacuum",
            "mmHg",
            "300",
            "400",
            "nine hundred",
            "from zero to seven hundred sixty millimeters",
        ),
        (
            "breathing-rate",
            "/min",
            "12",
            "20",
            "one hundred and sixty",
            "from zero to one hundred twenty",
        ),
        ("count", "counted", "5", "5", "five hundred", "from zero to two hundred fifty"),
        ("flow", "L/min", "10", "15", "one hundred and fifty", "from zero to one hundred liters"),
    ],
)
def test_an_impossible_number_never_stands(
    quantity: str, unit: str, low: str, high: str, said: str, ends: str
) -> None:
    played = run_with_step(step_with(quantity, unit, low, high), said, "yes", "yes")
    assert f"That cannot be: it goes {ends}" in played.reply_to(1)
    assert "What number is it" in played.reply_to(1)
    assert not played.events("reading-stands")
    assert "look" not in played.done


def test_what_can_be_is_told_in_the_unit_that_was_said() -> None:
    step = step_with("pressure", "psi", "500", "2200")
    played = run_with_step(step, "five hundred bar", "yes")
    assert "it goes from zero to four hundred bar" in played.reply_to(1)


def test_a_number_outside_the_range_that_can_be_stands_after_a_yes() -> None:
    step = step_with("saturation", '"%"', "94", "100")
    played = run_with_step(step, "eighty percent", "yes")
    assert [one["value"] for one in played.events("reading-stands")] == [80.0]


@pytest.mark.parametrize(("scale", "stands"), [("", 1), (", scale: true", 0)])
def test_nothing_lies_beyond_the_ends_of_a_scale(scale: str, stands: int) -> None:
    # The numeric pain scale runs from 0 to 10 (Bijur and others, 2003).
    step = step_with("count", "counted", "0", "10", scale)
    played = run_with_step(step, "twelve", "yes")
    assert len(played.events("reading-stands")) == stands


def test_an_impossible_number_takes_the_place_of_one_that_was_read_back() -> None:
    step = step_with("saturation", '"%"', "94", "100")
    played = run_with_step(step, "ninety five", "no one hundred and ninety", "yes")
    assert "That cannot be" in played.reply_to(2)
    assert not played.events("reading-stands")


def test_a_journal_of_before_comes_to_what_it_came_to() -> None:
    def with_step(step: str) -> SkillFile:
        return bench_skill(TEXT.replace("steps:\n", step, 1))

    played = Run(
        *("I'm ready", "one hundred and twenty", "yes"),
        skill_file=with_step(step_with("saturation", '"%"', "94", "100")),
        started={"conversation": 2},
    )
    assert [one["value"] for one in played.events("reading-stands")] == [120.0]


@pytest.mark.parametrize("quantity", [q for q in POSSIBLE if isinstance(q, Quantity)])
def test_what_is_lawful_can_be(quantity: Quantity) -> None:
    low, high = lawful_range(quantity, UNITS_OF[quantity][0])
    lowest, highest = POSSIBLE[quantity]
    # nobody counts as many breaths as beats: what no step narrows is lawful for both alike
    assert lowest <= low
    assert quantity is Quantity.BREATHING_RATE or high <= highest
