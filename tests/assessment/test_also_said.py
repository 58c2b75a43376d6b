"""What an evaluator must hear besides a step ("the scene is safe") costs points, and no more."""

from __future__ import annotations

import pytest
from attempt_play import played
from benchmarks.written_attempts import Written

from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.report.attempt import Mark

REST = (
    "the patient is unresponsive with no gag or cough",
    "I look into the mouth, it is clear",
)


@pytest.mark.parametrize(
    ("turns", "heard"),
    [
        (("bsi, scene is safe",), True),
        (("the scene's safe", "my gloves and goggles are on"), True),
        (("my gloves and goggles are on", *REST, "and there's no danger around here"), True),
        (("it's safe to approach, and I've got gloves and glasses on",), True),
        (("my gloves and goggles are on", *REST), False),
        (("my gloves and goggles are on", "we're safe and sound at work today"), False),
    ],
)
def test_the_scene_may_be_told_safe_in_any_sentence(turns: tuple[str, ...], heard: bool) -> None:
    result = played(Written("scene", "oral-airway", ("I'm ready", *turns), "", {}, ""))
    gloves = next(step for step in result.steps if step.step == "gloves")
    assert gloves.mark is Mark.DONE
    assert gloves.points == (2.0 if heard else 1.5)
    assert gloves.why == ("" if heard else "Not said: that the scene is safe.")


WITHOUT_A_SCENE = {
    "choking": "nothing but the hands is needed, and every second counts",
    "choking-infant": "nothing but the hands is needed, and every second counts",
    "cylinder-change": "the patient is being treated already",
    "gloves": "nobody is there yet",
    "handover-report": "the patient is in the hospital",
    "oxygen-cylinder": "nobody is there yet",
}


@pytest.mark.parametrize("skill", skill_ids())
def test_a_skill_with_a_patient_asks_for_a_safe_scene(skill: str) -> None:
    # trade custom, no source: evaluators want protection and a safe scene told first of all
    steps = load_skill(skill).chosen({}).steps
    asks = [step for step in steps if "safe" in f"{step.aloud} {step.say}".lower()]
    assert bool(asks) is (skill not in WITHOUT_A_SCENE), skill
    if asks:
        assert asks[0] in steps[:2]
