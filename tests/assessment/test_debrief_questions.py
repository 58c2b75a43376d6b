"""What learners ask after an attempt, in their own words: what each is about, and the answers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from attempts import GLOVES, NOT_YET

from coach.assessment.debrief import question_about
from coach.assessment.questions import answer, understood
from coach.assessment.topics import EXAMPLES, Asked
from coach.core.meaning import Command
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.understand import understand
from coach.report.attempt import Mark, Result, Tells, Timed

DATA = Path(__file__).parent.parent / "data" / "debrief_questions.yaml"
ASKED: dict[str, dict[str, list[str]]] = yaml.safe_load(DATA.read_text("utf-8"))
SKILL = load_skill("oral-airway").chosen({})
RESULT = replace(
    NOT_YET,
    steps=tuple(
        replace(GLOVES, step=step.id, name=step.name, mark=Mark.MISSED, points=0.0)
        for step in SKILL.steps
    ),
)

UNDERSTOOD = {"first": 40, "second": 40, "third": 35}
"""Before any was mended 5 of the first; when the first were, 29 of the second, unseen; when those
were looked at, 33 of the third, unseen. Four words later named no step any more, and one does
again."""


def about(text: str) -> str:
    """What a question is understood to be about, as the debrief goes about it."""
    if understand(text, Context(steps=())).command is Command.REPEAT:
        return "repeat"
    return str(understood(text, SKILL, RESULT)[0])


@pytest.mark.parametrize("written", ASKED)
def test_questions_are_understood(written: str) -> None:
    lines = [(kind, text) for kind, texts in ASKED[written].items() for text in texts]
    wrong = [f"{text}: {about(text)}" for kind, text in lines if about(text) != kind]
    assert len(lines) - len(wrong) >= UNDERSTOOD[written], "\n".join(wrong)


def test_each_example_that_the_recogniser_is_told_of_is_understood() -> None:
    assert [about(way) for asked, ways in EXAMPLES.items() for way in ways] == [
        str(asked) for asked, ways in EXAMPLES.items() for way in ways
    ]


@pytest.mark.parametrize(
    ("text", "step"),
    [
        ("why was the size wrong", "size"),
        ("what did I do wrong with the suction", "suction-ready"),
        ("how did I do with the gloves", "gloves"),
        ("did I forget the gloves", "gloves"),
        ("when should I have measured the size", "size"),
    ],
)
def test_a_question_that_names_a_step_is_about_it(text: str, step: str) -> None:
    asked, found = understood(text, SKILL, RESULT)
    assert (asked, found.step if found else None) == (Asked.STEP, step)


def told(asked: Asked, result: Result = RESULT, when: str = "") -> str:
    return answer(asked, None, SKILL, result, when)


def test_the_next_rehearsal_is_told_with_its_day() -> None:
    assert told(Asked.NEXT, when="tomorrow").endswith(", tomorrow.")
    nobodys = replace(RESULT, learner="")
    assert told(Asked.NEXT, nobodys).endswith("nobody was named for the attempt.")


def test_the_time_is_told_with_its_limit_and_what_took_too_long() -> None:
    slow = Timed("gloves", 18.0, 15, 0)
    result = replace(RESULT, seconds=190.0, limit_s=180.0, timed=(slow,))
    assert told(Asked.TIME, result) == (
        "It took three minutes and ten seconds, over the limit of three minutes. "
        "Your gloves: 18 seconds, over the limit of 15 s."
    )


def test_hints_and_what_is_unclear_are_told() -> None:
    assert told(Asked.HINTS, replace(RESULT, hints=0)) == "No hint was needed."
    assert told(Asked.UNCLEAR) == "Nothing was unclear."
    steps = (replace(RESULT.steps[0], mark=Mark.UNCLEAR, hints=2), *RESULT.steps[1:])
    result = replace(RESULT, steps=steps, hints=2)
    assert told(Asked.HINTS, result) == f"2 hints: {steps[0].name}."
    assert told(Asked.UNCLEAR, result) == f"Unclear: {steps[0].name}."


def test_the_question_about_a_doubted_step_names_the_words() -> None:
    doubted = replace(GLOVES.evidence[0], tells=Tells.PERHAPS, doubted="half on")
    step = replace(GLOVES, mark=Mark.UNCLEAR, evidence=(doubted,))
    assert f'{GLOVES.name}, for you said "half on". Did you do it?' in question_about(step)


def test_a_question_with_enough_in_it_ends_nothing() -> None:
    assert about("was I fast enough") == "time"
    assert about("that's enough") == "end"
