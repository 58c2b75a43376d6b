"""Steps for two: who does it has to be said, and the other person's own words count."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.core.meaning import Kind, Meaning, Part, StepMention
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hypothesis
from coach.language.understand import understand
from coach.procedure.skill_file import SkillFile
from coach.session.judgement import judge
from coach.session.own_voice import OwnVoice
from coach.session.verdict import Decision

BAG = """steps:
  - id: bag
    name: the bag
    say: One holds the mask, the other squeezes the bag.
    why: Both hands seal better than one.
    how: Thumbs along the sides of the mask.
    heard-as: {phrases: [the bag is being squeezed], keys: [squeeze/squeezing bag]}
    partner:
      who: the second rescuer
      heard-as: {phrases: [i have the bag], keys: [i'm squeezing]}
"""


def skill() -> SkillFile:
    return bench_skill(TEXT.replace("steps:\n", BAG, 1))


def run(*words: str | float) -> Run:
    return Run("I'm ready", *words, skill_file=skill())


@pytest.mark.parametrize(
    "words",
    [
        "you squeeze the bag",
        "can you squeeze the bag",
        "partner, squeeze the bag",
        "my partner is squeezing the bag",
        "I'm squeezing the bag myself",
        "the second rescuer squeezes the bag",
        "he squeezes the bag",
        "you're going to squeeze the bag",
        "give me a squeeze of the bag",
    ],
)
def test_whoever_is_named_the_step_is_done(words: str) -> None:
    assert run(words).done == ("bag",)


def test_somebody_is_nobody_in_particular() -> None:
    played = run("somebody squeeze the bag", "you")
    assert "you or the second rescuer" in played.reply_to(1)
    assert played.done == ("bag",)


@pytest.mark.parametrize("words", ["I have the bag", "okay, I'm squeezing"])
def test_the_words_of_the_other_person_count(words: str) -> None:
    assert run(words).done == ("bag",)


def test_without_a_person_the_coach_asks_who() -> None:
    played = run("the bag is being squeezed")
    assert played.done == ()
    assert played.reply_to(1).startswith("Say aloud who does this: you or the second rescuer.")


@pytest.mark.parametrize(
    "answer", ["my partner", "I do", "you do", "the partner does it", "the second rescuer"]
)
def test_the_answer_is_enough(answer: str) -> None:
    assert run("the bag is squeezed", answer).done == ("bag",)


def test_a_second_time_it_is_believed_and_noted() -> None:
    played = run("bag squeezed", "bag squeezed")
    assert played.done == ("bag",)
    assert played.events("who-not-said") == [{"step": "bag"}, {"step": "bag"}]


@pytest.mark.parametrize(
    "words",
    [
        "you didn't squeeze the bag",
        "nobody is squeezing the bag",
        "if you squeeze the bag it fills",
        "do you squeeze the bag first?",
    ],
)
def test_what_is_not_so_does_not_count(words: str) -> None:
    assert run(words).done == ()


def test_a_partner_farther_from_the_microphone_is_no_neighbour() -> None:
    learner = OwnVoice((-20.0, -20.0, -20.0))
    heard = Hypothesis("i have the bag", 0.95, level_dbfs=-36.0, noise_dbfs=-70.0)
    words = (StepMention("bag", part=Part.PARTNER),)
    meaning = Meaning("i have the bag", Kind.STEP, steps=words, confidence=1.0)
    assert judge(meaning, heard, own_voice=learner).decision is Decision.ACT
    own = Meaning("gloves on", Kind.STEP, steps=(StepMention("gloves"),), confidence=1.0)
    assert judge(own, heard, own_voice=learner).decision is Decision.IGNORE


@pytest.mark.parametrize(
    "words",
    [
        "Maria squeezes the bag",
        "my partner Tom squeezes the bag",
        "okay, Tom is squeezing the bag",
        "Tom has the bag",
        "Mike's squeezing the bag",
        "she is squeezing",
    ],
)
def test_a_helper_called_by_name_does_it(words: str) -> None:
    assert run(words).done == ("bag",)


@pytest.mark.parametrize("words", ["the bag squeezes well", "Maria doesn't squeeze the bag"])
def test_a_thing_is_nobody_and_a_denial_no_doing(words: str) -> None:
    assert run(words).done == ()


@pytest.mark.parametrize(
    ("words", "counts"),
    [
        ("Maria measures the airway", False),
        ("Tom measured it", False),
        ("Tom inserts the airway", False),
        ("I measured the airway", True),
        ("airway measured", True),
        ("measured the airway", True),
    ],
)
def test_what_somebody_named_did_is_not_the_learners(words: str, counts: bool) -> None:
    context = asked_context(load_skill("oral-airway").chosen({}), None, None)
    meaning = understand(words, context)
    assert bool(meaning.steps) is counts
    assert counts or meaning.likely
