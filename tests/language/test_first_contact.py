"""Denials, commands, answers and numbers as people first say them to the coach.

The sentences are invented here (common practice, no source), as a nervous student, a terse
veteran, somebody with simple grammar and a narrating instructor might say them. Each is tried as
typed and as a recogniser writes it, without punctuation.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
import yaml
from benchmarks.hearing.moments import asked_yes_no

from coach.app.moment import moment_context
from coach.core.meaning import YES_NO, Doubt, Kind
from coach.dialogue.effects import Say
from coach.dialogue.engine import advance
from coach.dialogue.events import Heard
from coach.dialogue.state import ReadBack
from coach.hearing.hypothesis import Hypothesis
from coach.language.normal import plain
from coach.language.understand import understand
from coach.session.judgement import judge
from coach.session.moment import moment_of
from coach.session.verdict import Decision

DATA = Path(__file__).parent.parent / "data" / "first_contact.yaml"
LINES: dict[str, Any] = yaml.safe_load(DATA.read_text("utf-8"))
DENIED = [
    (skill, step, said)
    for skill, steps in LINES["denied"].items()
    for step, lines in steps.items()
    for said in lines
]


def both_ways(said: str) -> tuple[str, ...]:
    """A sentence as typed, and as heard."""
    return said, plain(said)


@pytest.mark.parametrize(("skill", "step", "said"), DENIED)
def test_what_is_said_to_be_undone_is_denied_and_nothing_credited(
    skill: str, step: str, said: str
) -> None:
    due, _ = moment_context(skill, step, None)
    anytime, _ = moment_context(skill, None, None)
    for text in both_ways(said):
        assert [m.step for m in understand(text, due).steps if m.denied] == [step], text
        assert [m for m in understand(text, anytime).steps if not m.denied] == [], text


@pytest.mark.parametrize("command", LINES["commands"])
def test_commands_are_understood_in_everyday_words(command: str) -> None:
    anytime, _ = moment_context("oxygen-cylinder", None, None)
    for said in LINES["commands"][command]:
        for text in both_ways(said):
            assert understand(text, anytime).command == command, text


@pytest.mark.parametrize("answer", LINES["answers"])
def test_answers_are_understood_in_everyday_words(answer: str) -> None:
    asked, _ = moment_context("oxygen-cylinder", None, YES_NO)
    for said in LINES["answers"][answer]:
        for text in both_ways(said):
            assert understand(text, asked).answer == answer, text


@pytest.mark.parametrize("said", LINES["hedged"])
def test_a_yes_with_a_doubt_is_no_answer_and_asks_for_a_plain_one(said: str) -> None:
    asked, _ = moment_context("oxygen-cylinder", None, YES_NO)
    state = asked_yes_no(random.Random(1))
    for text in both_ways(said):
        meaning = understand(text, asked)
        assert (meaning.kind, meaning.answer, meaning.done_said) == (Kind.NONE, None, False), text
        verdict = judge(meaning, Hypothesis(text, 0.9), moment_of(state))
        assert verdict.decision is Decision.ASK_AGAIN, text
        after, effects = advance(state, Heard(1.0, verdict.meaning))
        assert isinstance(after.pending, ReadBack), text
        assert after.readings == state.readings, "no number stands by a doubtful yes"
        spoken = " ".join(effect.text for effect in effects if isinstance(effect, Say))
        assert "plain yes or no" in spoken
        assert spoken.endswith("?")


@pytest.mark.parametrize("case", LINES["numbers"], ids=lambda case: str(case["means"][0]))
def test_numbers_are_read_however_they_are_said(case: dict[str, Any]) -> None:
    asked, _ = moment_context(case["skill"], case["step"], case.get("expect"))
    for said in case["says"]:
        for text in both_ways(said):
            readings = understand(text, asked).readings
            found = [
                {"quantity": str(r.quantity), "value": r.values[0], "unit": str(r.unit)}
                for r in readings
            ]
            assert found == case["means"], text
            if "doubt" in case:
                assert readings[0].doubt in {Doubt(case["doubt"]), Doubt.SOUND_ALIKE}, text
