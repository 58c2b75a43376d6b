"""Dialogue files: what is read, and that every mistake has its line."""

from __future__ import annotations

import pytest
from skill_samples import DIALOGUES_SCHEMA, TALK, line_of, parsed

from coach.procedure.dialogue_file import Dialogue, Ends, Turn, parse_dialogues


def problems(text: str) -> list[tuple[int, str]]:
    """Line and message of each problem, names checked against the sample skill."""
    skill_file = parsed().skill_file
    dialogues, found = parse_dialogues(text, "x.dialogues.yaml", DIALOGUES_SCHEMA, skill_file)
    assert bool(dialogues) != bool(found)
    return [(problem.line, problem.message) for problem in found]


def test_what_is_written_is_read() -> None:
    dialogues, found = parse_dialogues(TALK, "x.dialogues.yaml", DIALOGUES_SCHEMA)
    assert not found
    assert dialogues == (
        Dialogue(
            name="suggested order",
            line=1,
            settings={"patient": "infant"},
            seed=3,
            region="uk",
            cylinder="CD",
            reserve_psi=150.5,
            turns=(
                Turn(
                    line=8,
                    learner="I'm ready.",
                    means={"command": "resume"},
                    coach=("gloves",),
                    step="gloves",
                ),
                Turn(line=12, silence_s=2.5, coach=("gloves", "put on"), never=("done",)),
                Turn(line=15, key="yes"),
                Turn(
                    line=16,
                    learner="no",
                    means={
                        "kind": "answer",
                        "answer": "no",
                        "steps": [],
                        "negated": ["fit"],
                        "value": 15,
                        "unit": "L/min",
                    },
                ),
            ),
            ends=Ends(18, done=("gloves",), missed=(), oxygen_minutes=16),
        ),
        Dialogue(name="nothing but a key", line=22, turns=(Turn(line=24, key="next"),)),
    )
    assert dialogues[1].cylinder == "D"
    assert dialogues[1].ends.done is None


def test_names_are_sound_for_the_sample_skill() -> None:
    assert problems(TALK) == []


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        (
            "{patient: infant}",
            "{pateint: infant}",
            "{pateint",
            "the skill has no setting 'pateint': did you mean 'patient'?",
        ),
        (
            "{patient: infant}",
            "{patient: horse}",
            "{patient: horse}",
            "setting 'patient' has no option 'horse': the options are adult, infant.",
        ),
        (
            "step: gloves",
            "step: glove",
            "step: glove\n",
            "the skill has no step 'glove': did you mean 'gloves'?",
        ),
        ("done: [gloves]", "done: [glovs]", "done: [glovs]", "the skill has no step 'glovs'"),
        ("negated: [fit]", "negated: [fat]", "negated: [fat]", "the skill has no step 'fat'"),
        ("missed: []", "mised: []", "mised", "unknown key 'mised': did you mean 'missed'?"),
        (
            "command: resume",
            "command: resumes",
            "command: resumes",
            "'command' of 'means' of turn 1 of dialogue 'suggested order' cannot be 'resumes': "
            "did you mean 'resume'?",
        ),
        (
            "    - key: next",
            "    - key: nexts",
            "key: nexts",
            "'key' of turn 1 of dialogue 'nothing but a key' cannot be 'nexts': did you mean",
        ),
        (
            "    - key: next",
            "    - coach: hello",
            "- coach: hello",
            "turn 1 of dialogue 'nothing but a key' has no learner, silence or key: write exactly",
        ),
        (
            "    - silence: 2.5",
            "    - silence: 2.5\n      learner: oh",
            "- silence",
            "turn 2 of dialogue 'suggested order' has both learner and silence: write exactly one",
        ),
        (
            "    - key: next",
            "    - key: next\n      means: {kind: none}",
            "means: {kind: none}",
            "has 'means' without words: take it out",
        ),
        ("silence: 2.5", "silence: 0", "silence: 0", "is 0: give more than 0."),
        ("silence: 2.5", "silence: long", "silence: long", "must be a number, not text"),
        ("seed: 3.0", "seed: three", "seed: three", "must be a whole number, not text"),
        (
            "region: uk",
            "region: mars",
            "region: mars",
            "there is no region 'mars': the regions are",
        ),
        ("cylinder: CD", "cylinder: Q", "cylinder: Q", 'no UK cylinder "Q"'),
        (
            "name: nothing but a key",
            "name: suggested order",
            "turns:\n    - key: next",
            "two dialogues are named 'suggested order'",
        ),
        ("seed: 3.0", "seed: 3.0\n  seed: 4", "seed: 4", "'seed' is here twice (first on line 3)"),
    ],
)
def test_one_mistake_is_one_problem_on_its_line(old: str, new: str, place: str, says: str) -> None:
    assert TALK.count(old) == 1
    broken = TALK.replace(old, new)
    found = problems(broken)
    ((line, message),) = found
    assert says in message
    assert line == line_of(place, broken) - (1 if "two dialogues" in says else 0)


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 1, "the file is empty"),
        ("[]", 1, "the file is empty: give a list of dialogues, each beginning with '- name: ...'"),
        ("name: x\n", 1, "the file must be a list, not keys with values: give a list of dialogues"),
        ("- name: x\n", 1, "dialogue 'x' has no 'turns': add a list of turns"),
        (
            "- turns:\n    - key: next\n",
            1,
            "dialogue 1 has no 'name': add what the dialogue shows.",
        ),
        ("- name: x\n  turns: [hello]\n", 2, "turn 1 of dialogue 'x' must be keys with values"),
        ("- name: x\n  turns:\n    - {}\n", 3, "turn 1 of dialogue 'x' has no learner"),
    ],
)
def test_what_is_no_dialogue(text: str, line: int, says: str) -> None:
    found = problems(text)
    assert len(found) == 1
    assert found[0][0] == line
    assert says in found[0][1]


def test_names_are_not_checked_without_a_skill() -> None:
    text = TALK.replace("step: gloves", "step: unheard-of")
    assert parse_dialogues(text, "x.yaml", DIALOGUES_SCHEMA)[1] == ()
    assert problems(text)
