"""What students said where a step was due and the coach did not hear it, now credited.

Written by one who practised led sessions by keyboard in words of his own (common practice, no
source). A learner's question to the patient or to whoever takes over is the act itself in a step
that asks.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.app.moment import moment_context
from coach.core.meaning import Meaning
from coach.edges.skill_files import load_skill
from coach.language.understand import understand

HEARD = [
    ("aspirin", "age", "he's sixty two"),
    ("aspirin", "bleeding", "he's not on blood thinners"),
    ("aspirin", "complaint", "where does it hurt"),
    ("aspirin", "taken", "he hasn't taken anything today"),
    ("burns", "consent", "hey ma'am I'm Jo with the ambulance, can I take a look at that burn"),
    ("open-chest-wound", "consent", "he nods so I'm going on"),
    ("shock", "consent", "she's too weak to answer me so it's implied"),
    ("stroke-screen", "consent", "can't get an answer, he squeezes my hand for yes, so he agrees"),
    ("bag-valve-mask", "mouth", "mouth looks clean nothing in there"),
    ("choking-infant", "help", "mom call nine one one please"),
    ("cpr", "check", "feeling the brachial pulse"),
    ("cpr", "help", "somebody help me"),
    ("defibrillator", "shock", "pushing shock"),
    ("gloves", "ball", "balled it up in my gloved hand"),
    ("gloves", "ball", "I'm holding it in my other hand"),
    ("handover-report", "complaint", "chest pain since nine this morning"),
    ("handover-report", "complaint", "chest pain since this morning"),
    ("handover-report", "questions", "any questions"),
    ("handover-report", "questions", "Any questions?"),
    ("handover-report", "receiver", "are you ready for my report"),
    ("medical-assessment", "allergies", "do you have any allergies"),
    ("medical-assessment", "changes", "does anything make it better"),
    ("medical-assessment", "complaint", "what's going on today"),
    ("medical-assessment", "exam", "lungs are clear on both sides, no swelling in the legs"),
    ("medical-assessment", "intake", "when did you last eat"),
    ("medical-assessment", "medicines", "takes metoprolol and took it this morning"),
    ("medical-assessment", "allergies", "not allergic to anything"),
    ("medical-assessment", "onset", "when did it start"),
    ("medical-assessment", "onset", "Sir, when did it start?"),
    ("medical-assessment", "past", "he has high blood pressure and a stent"),
    ("naloxone-nasal", "device", "this is Narcan nasal spray, in date"),
    ("normal-birth", "ready", "you take the baby"),
    ("primary-survey", "response", "he only groans when I pinch him"),
    ("sharps", "close", "closed the lid on the sharps box"),
    ("stroke-screen", "last-well", "ma'am, when was she last seen normal?"),
]

NOT_HEARD = [
    ("defibrillator", "shock", "it says press the button"),
    ("defibrillator", "shock", "the machine says press the shock button"),
    ("defibrillator", "shock", "I'm about to push shock"),
    ("aspirin", "age", "he's twelve"),
    ("burns", "consent", "she agrees that it hurts"),
    ("open-chest-wound", "consent", "I asked for help"),
    ("shock", "consent", "she says she's okay"),
    ("stroke-screen", "consent", "does it hurt, he nods"),
    ("suction", "gloves", "gloves are on?"),
    ("cpr", "check", "he has a pulse"),
    ("cpr", "check", "I feel a pulse"),
    ("gloves", "ball", "the glove is in my hand"),
    ("bag-valve-mask", "seal", "I have the mask in my hand"),
    ("bleeding-control", "place", "I have the tourniquet in my hand"),
    ("epinephrine-auto-injector", "grip", "the injector is in my hand"),
    ("handover-report", "questions", "what's the next question I should ask"),
    ("medical-assessment", "allergies", "should I ask about it"),
    ("sharps", "close", "the lid is not closed"),
]


def meant(skill: str, step: str, says: str) -> Meaning:
    context, _ = moment_context(skill, step, None)
    there = {one.id for one in load_skill(skill).chosen({}).steps}
    steps = tuple(one for one in context.steps if one.id in there)
    return understand(says, replace(context, steps=steps))


@pytest.mark.parametrize(("skill", "step", "says"), HEARD)
def test_a_student_s_own_words_tell_of_the_step(skill: str, step: str, says: str) -> None:
    told = meant(skill, step, says).steps
    assert [(one.step, one.denied) for one in told] == [(step, False)]


@pytest.mark.parametrize(("skill", "step", "says"), NOT_HEARD)
def test_what_tells_of_nothing_done_counts_for_nothing(skill: str, step: str, says: str) -> None:
    told = meant(skill, step, says).steps
    assert not [one for one in told if one.step == step and not one.denied]


def test_a_number_after_a_shortened_is_is_read() -> None:
    context, _ = moment_context("stroke-screen", "sugar", "glucose")
    for says, value in (("sugar's one oh four", 104), ("glucose's ninety eight", 98)):
        (reading,) = understand(says, context).readings
        assert reading.values == (value,)
