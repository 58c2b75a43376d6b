"""What the debrief says of each thing that matters: what it was, and never a reason without it."""

from __future__ import annotations

from dataclasses import replace

from attempt_play import played
from benchmarks.written_attempts import Written

from coach.assessment.debrief import debrief, unclear_steps
from coach.assessment.questions import answer, understood
from coach.assessment.topics import Asked
from coach.edges.skill_files import load_skill
from coach.procedure.model import Skill
from coach.report.attempt import Mark, Result


def attempt(skill_id: str, *turns: str) -> tuple[Result, Skill]:
    """An assessed attempt, judged, and the skill as it was chosen."""
    result = played(Written("debrief", skill_id, ("I'm ready", *turns), "", {}, ""))
    return result, load_skill(skill_id).chosen(result.choices)


def test_a_step_done_in_part_is_told_with_what_was_lacking() -> None:
    """Why gloves are worn says nothing to one who wears them, and did not tell of the scene."""
    result, skill = attempt(
        "pulse-oximetry", "my gloves and goggles are on", "I told her what I am doing"
    )
    partly = next(step for step in result.steps if step.why == "Not said: that the scene is safe.")
    only = debrief(_alone(result, partly.step), skill)
    assert f"Only in part: {partly.name}. {partly.why}" in only


def test_a_reason_is_never_said_without_its_step() -> None:
    """ "Closing the flow" in the verdict does not tell of "the flow", which was wrong as well."""
    result, skill = attempt(
        "oxygen-delivery",
        "the scene is safe and my gloves and goggles are on",
        "I turned the flow off",
    )
    assert result.why.startswith("Not yet: closing the flow without taking off the mask")
    flow = next(step for step in skill.steps if step.id == "flow")
    lines = debrief(_alone(result, "flow"), skill)
    assert not any(line == flow.why for line in lines)
    assert f"Missed: the flow (a safety step). {flow.why}" in lines


def test_what_the_verdict_has_whole_is_not_said_again() -> None:
    result, skill = attempt(
        "oxygen-delivery",
        "the scene is safe and my gloves and goggles are on",
        "I turned the flow off",
    )
    because = result.failures[0].because
    assert because in result.why
    lines = debrief(result, skill)
    off = next(step for step in skill.steps if step.id == result.failures[0].about)
    assert off.why not in lines
    assert sum(because.lower() in line.lower() for line in lines) == 1


def test_at_most_three_unclear_steps_are_asked_about_and_those_of_safety_first() -> None:
    """More would be an examination of its own."""
    result, _ = attempt("oral-airway", "my gloves and goggles are on", "done", "done")
    assert len(result.marked(Mark.UNCLEAR)) > 3
    asked = unclear_steps(result)
    assert len(asked) == 3
    assert all(step.safety for step in asked)


def _alone(result: Result, step_id: str) -> Result:
    """The attempt with nothing else amiss than this step."""
    steps = tuple(step for step in result.steps if step.step == step_id)
    return replace(result, steps=steps, failures=result.failures, numbers=(), timed=())


def test_why_the_flow_was_wrong_is_about_the_flow() -> None:
    """Not about closing it, which was missed as well: the flow is what was named."""
    result, skill = attempt(
        "oxygen-delivery",
        "the scene is safe and my gloves and goggles are on",
        "the flow is five liters per minute",
    )
    asked, step = understood("why was the flow wrong?", skill, result)
    assert step is not None and (asked, step.step) == (Asked.STEP, "flow")
    assert answer(asked, step, skill, result).startswith(
        "The flow: done. Its number was outside the range. You said 5; 10 to 15 L/min is expected."
    )
    asked, step = understood("why was closing it wrong?", skill, result)
    assert step is not None and step.name == "closing the flow"
