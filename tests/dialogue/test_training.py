"""A training cylinder without pressure: asked about, assumed from the facts, and told as such.

The arithmetic: (2216 - 200) psi x 0.16 l/psi / 15 l/min = 21.5 minutes (2216 psi: fact
cylinder-fill-us, openFDA; 200 psi: fact cylinder-reserve; 0.16: the factor of a D).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from bench_session import Run

from coach.core.units import Quantity, Unit
from coach.dialogue.lines import IS_IT_FOR_TRAINING
from coach.edges.scenario_files import load_scenario
from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.session.ports import EarEvent

BEFORE = (
    "I'm ready",
    "gloves and goggles are on",
    "her saturation is ninety-one percent",
    "yes",
    "I told her what I am going to do",
)
"""Up to the gauge of oxygen-delivery."""

AFTER = (
    "I take the non-rebreather",
    "the valves of the mask are there and move",
    "I pushed the tubing onto the regulator",
    "fifteen liters a minute",
    "yes",
)
"""From the gauge to the minutes."""


def run(*words: EarEvent | str | float, **started: Any) -> Run:
    """A session of oxygen-delivery."""
    return Run(*BEFORE, *words, skill_file=load_skill("oxygen-delivery"), started=started)


def pressure_of(one: Run) -> tuple[float, bool] | None:
    """The pressure that stands, and whether it was assumed."""
    found = [r for r in one.state.readings if r.quantity is Quantity.PRESSURE]
    return (found[-1].values[0], found[-1].assumed) if found else None


@pytest.mark.parametrize("said", ["it's a training cylinder", "the gauge reads zero, it's a dummy"])
def test_what_is_called_a_training_cylinder_is_assumed_to_be_full_and_that_is_said(
    said: str,
) -> None:
    one = run(said, "yes", *AFTER)
    assert "Assumed for training" in one.reply_to(5)
    assert pressure_of(one) == (2216.0, True)
    assert "by the pressure assumed for training" in one.reply_to(11)
    assert "twenty-one minutes" in one.reply_to(11)
    assert one.summary.oxygen_minutes == 21
    assert one.summary.oxygen_assumed
    assert "pressure 2216 psi (assumed: a training cylinder)" in one.summary.as_text()
    assert "21 minutes, as last told, by an assumed pressure" in one.summary.as_text()
    readings = one.summary.as_json()["readings"]
    assert isinstance(readings, list)
    assert {"quantity": "pressure", "assumed": True}.items() <= dict(readings[-2]).items()


def test_silence_agrees_to_it_as_to_any_number_read_back() -> None:
    assert pressure_of(run("it's a training cylinder", 3.0)) == (2216.0, True)


@pytest.mark.parametrize(
    "said", ["zero", "it's empty", "the gauge reads zero", "no pressure in it"]
)
def test_empty_and_zero_are_asked_about_and_nothing_is_assumed_before(said: str) -> None:
    one = run(said)
    assert one.reply_to(5).startswith(IS_IT_FOR_TRAINING)
    assert pressure_of(one) is None
    assert "pressure" not in one.done


def test_silence_is_no_answer_to_that_question() -> None:
    one = run("zero", 30.0, 30.0)
    assert pressure_of(one) is None
    assert "pressure" not in one.done


def test_a_real_cylinder_with_zero_is_refused_as_ever() -> None:
    """Below the reserve of 200 psi there is too little to begin with."""
    one = run("zero psi", "no", "yes")
    assert "zero P S I" in one.reply_to(6).lower().replace("psi", "P S I").replace("p s i", "P S I")
    assert "too little to begin with" in one.reply_to(7)
    assert "pressure" not in one.done
    assert one.state.readings[-1].assumed is False


def test_an_empty_one_that_is_real_is_asked_for_its_gauge_and_not_asked_about_again() -> None:
    one = run("it's empty", "no", "zero", "no", "nineteen hundred psi", "yes")
    assert one.reply_to(6) == "What does the gauge read, in P S I?"
    assert IS_IT_FOR_TRAINING not in one.reply_to(7)
    assert pressure_of(one) == (1900.0, False)


def test_another_pressure_named_for_it_is_assumed_too() -> None:
    one = run("it's a training cylinder", "no, fifteen hundred psi", "yes")
    assert "Assumed for training, one five zero zero" in one.reply_to(6)
    assert pressure_of(one) == (1500.0, True)


def test_a_no_alone_asks_again() -> None:
    one = run("it's a training cylinder", "no")
    assert pressure_of(one) is None
    assert "What does the gauge read, in P S I?" in one.reply_to(6)


def test_a_number_from_a_cylinder_said_to_be_real_after_all_is_read() -> None:
    one = run("it's a training cylinder", "no wait, it's a real cylinder", "1800 psi", "yes")
    assert pressure_of(one) == (1800.0, False)


def test_what_is_doubted_is_asked_about() -> None:
    assert IS_IT_FOR_TRAINING in run("I think it's a training cylinder").reply_to(5)


def test_an_answer_that_is_none_is_asked_for_once_more_and_then_the_number() -> None:
    one = run("zero", "bananas", "bananas")
    assert IS_IT_FOR_TRAINING in one.reply_to(6)
    assert IS_IT_FOR_TRAINING not in one.reply_to(7)
    assert "What does the gauge read, in P S I?" in one.reply_to(7)
    assert pressure_of(one) is None


def test_the_next_step_instead_of_an_answer_leaves_the_question() -> None:
    one = run("zero", "the nasal cannula is my choice")
    assert one.state.pending is None
    assert "pressure" not in one.done


def test_by_the_settings_zero_needs_no_question_and_no_word_no_step() -> None:
    """The learner still has to read the gauge: nothing is credited by a setting alone."""
    one = run(training_cylinder=True)
    assert pressure_of(one) is None
    assert "pressure" not in one.done
    one = run("zero", "yes", training_cylinder=True)
    assert pressure_of(one) == (2216.0, True)
    assert not any(IS_IT_FOR_TRAINING in line for line in one.voice.lines)


def test_it_stays_known_when_the_practice_is_started_over() -> None:
    one = run("it's a training cylinder", "yes", "start over", *BEFORE[1:], "zero", "yes")
    assert pressure_of(one) == (2216.0, True)


def test_the_cylinder_in_use_is_assumed_to_be_nearly_empty_where_it_is_changed() -> None:
    """A full one need not be changed: what counts as empty is assumed, the reserve."""
    one = Run(
        "I'm ready",
        "gloves are on",
        "it's a training cylinder",
        "yes",
        skill_file=load_skill("cylinder-change"),
    )
    reserve = facts_for(program_facts().parent).facts["cylinder-reserve"].amount.value
    assert pressure_of(one) == (reserve, True)


def test_a_bare_number_is_in_the_unit_of_the_gauge() -> None:
    """117.5 bar are 1704 psi (117.5 x 14.5037738, NIST SP 811)."""
    one = run("the gauge reads one hundred and seventeen", "yes", pressure_unit=Unit.BAR)
    assert one.state.readings[-1].unit is Unit.BAR
    assert one.state.account is not None
    assert one.state.account.gauge is not None
    assert one.state.account.gauge.psi == pytest.approx(117 * 14.5037738, abs=0.01)
    assert run("seventeen hundred", "yes").state.readings[-1].unit is Unit.PSI


QUIET = ("I'm ready", *BEFORE[1:3], BEFORE[4])


def quiet(*words: EarEvent | str | float, way: str = "assessed", **more: Any) -> Run:
    """The same, without a lead."""
    skill = load_skill("oxygen-delivery")
    return Run(*QUIET, *words, skill_file=skill, started={"way": way, **more})


def test_a_quiet_coach_assumes_what_it_is_told_and_says_so() -> None:
    one = quiet("it's a training cylinder")
    assert pressure_of(one) == (2216.0, True)
    assert one.reply_to(4).startswith("I assume twenty-two sixteen P S I, for training")


def test_a_quiet_coach_asks_about_zero_which_stands_meanwhile_as_it_was_said() -> None:
    one = quiet("the gauge reads zero")
    assert one.reply_to(4).startswith(IS_IT_FOR_TRAINING)
    assert pressure_of(one) == (0.0, False)
    assert pressure_of(quiet("the gauge reads zero", "yes")) == (2216.0, True)
    assert pressure_of(quiet("the gauge reads zero", "no")) == (0.0, False)
    assert pressure_of(quiet("the gauge reads zero", "I chose a cannula", "yes")) == (0.0, False)


def test_where_a_scenario_shows_the_pressure_nothing_is_assumed() -> None:
    """Its gauge is what counts, whatever cylinder lies there."""
    scenario = load_scenario("kitchen-chair")
    skill = replace(load_skill("oxygen-delivery"), scenario=scenario)
    started = {"way": "assessed", "scenario": scenario.id}
    one = Run(*QUIET, "it's a training cylinder", skill_file=skill, started=started)
    assert pressure_of(one) is None


@pytest.mark.parametrize("skill", skill_ids())
def test_every_pressure_of_a_cylinder_that_is_asked_for_can_be_assumed(skill: str) -> None:
    for step in load_skill(skill).chosen({}).steps:
        for spec in step.readings:
            if spec.quantity is Quantity.PRESSURE:
                assert spec.assumed is not None, (skill, step.id)
