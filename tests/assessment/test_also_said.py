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


@pytest.mark.parametrize(
    ("look", "how_many"),
    [
        ("an old man sitting on a couch, he's gray", False),
        ("one patient, an old man sitting on a couch, he's gray", True),
        ("an old man sitting on a couch, he's gray, and nobody else is ill here", True),
        ("there are two patients, and this man looks sick", True),
    ],
)
@pytest.mark.parametrize(
    ("greeting", "agreed"),
    [
        ("I'm Kim, and he's alert and knows the date", False),
        ("I'm Kim, may I help you, he's alert and knows the date", True),
        ("he's alert, and he gives consent", True),
        ("he's alert and wants my help", True),
        ("he's alert, and he agrees that it hurts", False),
        ("he's alert, and he won't let me help", False),
    ],
)
def test_a_medical_patient_is_counted_and_asked(
    look: str, how_many: bool, greeting: str, agreed: bool
) -> None:
    """Common practice, no source: how many patients there are, and whether this one lets you."""
    turns = ("I'm ready", "gloves and goggles are on, the scene is safe", look, greeting)
    result = played(Written("ill", "medical-assessment", turns, "", {}, ""))
    steps = {step.step: step for step in result.steps}
    assert ("how many patients" in steps["look"].why) is not how_many
    assert ("lets you help" in steps["response"].why) is not agreed
    assert steps["look"].mark is steps["response"].mark is Mark.DONE
