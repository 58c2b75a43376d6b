"""What a thing is, and what it is not: "above the joint, not on it".

Sentences invented (common practice, no source). Each is tried as typed and as a recogniser writes
it, without punctuation.
"""

from __future__ import annotations

from functools import cache

import pytest

from coach.core.meaning import Meaning
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context, StepWords
from coach.language.normal import plain
from coach.language.understand import understand

RIGHT = (
    ("bleeding-control", "place", "the tourniquet is on the thigh not over the joint"),
    ("bleeding-control", "place", "the tourniquet is above the joint, not on it"),
    ("bleeding-control", "place", "I put the tourniquet above the wound, not below it"),
    ("bleeding-control", "place", "the tourniquet is on his arm, not over the elbow"),
    ("vital-signs", "find-pulse", "I feel the pulse at the wrist with two fingers, not the thumb"),
    ("vital-signs", "cuff", "the cuff is wrapped above the elbow, not too tight but snug"),
    ("vital-signs", "cuff", "the cuff is not too tight but snug above the elbow"),
    ("oral-airway", "size", "I measured from the corner of the mouth to the lobe, not to the chin"),
    ("choking", "thrusts", "fist above the navel, not on the ribs, five thrusts"),
    ("cpr", "hands", "hands on the lower half of the breastbone, not on the ribs"),
    (
        "naloxone-nasal",
        "spray",
        "the tip is in the nostril, not the mouth, and I pressed the plunger all the way",
    ),
    (
        "epinephrine-auto-injector",
        "press",
        "I pushed it into the outer thigh, not the buttock, until it clicked",
    ),
    ("blood-glucose", "lance", "I pricked the side of the finger, not the tip"),
    ("oxygen-cylinder", "mount", "I tightened it by hand, not with a wrench"),
    ("nasal-airway", "lubricate", "water based gel, not vaseline"),
    ("nasal-airway", "insert", "I slid it straight back, not up"),
)
"""Skill, step and a sentence that tells it as it should be, and how it is not."""

WRONG = (
    ("bleeding-control", "place", "the tourniquet is on, not above the wound"),
    ("bleeding-control", "place", "the tourniquet is on below the wound, not above it"),
    ("bleeding-control", "place", "the tourniquet is on the knee, not on the thigh"),
    ("bleeding-control", "place", "I put the tourniquet over the joint, not above it"),
    ("vital-signs", "find-pulse", "I feel the pulse at the wrist with the thumb, not two fingers"),
    ("oral-airway", "size", "I measured to the chin, not to the lobe"),
    ("cpr", "hands", "hands on the ribs, not on the breastbone"),
    ("oral-airway", "suction-ready", "the suction is there, not within reach"),
    ("nasal-airway", "lubricate", "vaseline, not water based gel"),
)
"""A sentence that tells the wrong way, and how it should have been."""


@cache
def steps_of(skill: str) -> tuple[StepWords, ...]:
    skill_file = load_skill(skill)
    every = frozenset(complication.id for complication in skill_file.complications)
    return asked_context(skill_file.chosen({}, every), None, None).steps


def meanings(skill: str, step: str, text: str) -> list[Meaning]:
    steps = tuple(sorted(steps_of(skill), key=lambda one: one.id != step))
    texts = dict.fromkeys((text, plain(text)))
    return [understand(one, Context(steps=steps, suggested=step)) for one in texts]


@pytest.mark.parametrize(("skill", "step", "text"), RIGHT)
def test_how_it_is_not_done_takes_nothing_from_how_it_is(skill: str, step: str, text: str) -> None:
    for meaning in meanings(skill, step, text):
        assert step in {told.step for told in meaning.steps if not told.denied}, meaning
        acts = {words.id for words in steps_of(skill) if words.forbidden}
        assert not acts & {told.step for told in meaning.steps if not told.denied}, meaning


@pytest.mark.parametrize(("skill", "step", "text"), WRONG)
def test_how_it_should_have_been_credits_nothing(skill: str, step: str, text: str) -> None:
    for meaning in meanings(skill, step, text):
        assert step not in {told.step for told in meaning.steps if not told.denied}, meaning
