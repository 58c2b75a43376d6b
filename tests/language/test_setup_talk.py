"""Talk about the settings is told from everything else that is said of cylinders and gauges."""

from __future__ import annotations

import pytest

from coach.edges.skill_files import load_skill
from coach.language.setup_talk import About, SetupTalk, setup_talk


@pytest.mark.parametrize(
    ("says", "means"),
    [
        ("What do you know about my setup?", SetupTalk(About.TOLD)),
        ("um, what are my settings", SetupTalk(About.TOLD)),
        ("which cylinder do I use", SetupTalk(About.TOLD)),
        ("I want to change my settings", SetupTalk(About.ANEW)),
        ("ask me the first questions again please", SetupTalk(About.ANEW)),
        ("use bar", SetupTalk(About.UNIT, "bar")),
        ("okay, switch to P S I", SetupTalk(About.UNIT, "p s i")),
        ("my gauge shows bar", SetupTalk(About.UNIT, "bar", ordered=False)),
        ("My cylinder is a D", SetupTalk(About.CYLINDER, "a d", ordered=False)),
        ("change my cylinder to M fifteen", SetupTalk(About.CYLINDER, "m fifteen")),
        ("use an E cylinder", SetupTalk(About.CYLINDER, "an e cylinder")),
        ("my cylinders are British", SetupTalk(About.REGION, "british", ordered=False)),
        ("change my landmark to mouth to jaw", SetupTalk(About.SKILL, "mouth to jaw", "landmark")),
    ],
)
def test_talk_about_the_settings_is_heard(says: str, means: SetupTalk) -> None:
    assert setup_talk(says, ("landmark",)) == means


@pytest.mark.parametrize(
    "says",
    [
        "use the bar to lift it",
        "my gauge reads fifteen hundred psi",
        "the gauge shows one hundred bar",
        "what do you know",
        "I use the yankauer",
        "I change my gloves",
        "change my landmark",
    ],
)
def test_other_talk_is_none(says: str) -> None:
    assert setup_talk(says, ("landmark",)) is None


@pytest.mark.parametrize("skill", ["oxygen-cylinder", "oxygen-delivery", "cylinder-change"])
def test_no_phrase_of_a_skill_with_a_cylinder_orders_a_change(skill: str) -> None:
    """What may be said for a step must not be taken for talk about the settings."""
    steps = load_skill(skill).chosen({}, frozenset()).steps
    phrases = [phrase for step in steps for phrase in step.heard_as.phrases]
    assert len(phrases) > 40
    assert [phrase for phrase in phrases if setup_talk(phrase) is not None] == []
