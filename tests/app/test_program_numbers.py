"""A program's numbers of what is worked out change what the coach says, and say so themselves."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from dialogue_sessions import dialogues_of

from coach.app.scripted_practice import practise_script
from coach.dialogue.state import State
from coach.edges.local_program_file import load_local_program
from coach.edges.skill_files import load_skill
from coach.edges.skill_text import BrokenFileError
from coach.procedure.local_facts import LocalProgram

NONE: Mapping[str, str] = {}


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """Where an invented program's file lies."""
    return tmp_path / "own.local.yaml"


def program(path: Path, changes: str) -> LocalProgram:
    """A program that has these facts, or other parts of the table, otherwise."""
    head = "program: Own\ndate: 2026-01-02\napproved-by: nobody real\n"
    path.write_text(head + changes, "utf-8")
    return load_local_program(path)


def refused(path: Path, changes: str) -> str:
    """What is wrong with such a program."""
    with pytest.raises(BrokenFileError) as caught:
        program(path, changes)
    return str(caught.value)


def practised(
    skill: str, local: LocalProgram | None, others: Mapping[str, str] = NONE, number: int = 0
) -> tuple[str, State]:
    """Everything that the coach says in a dialogue of a skill, and how it ends.

    It is that of the number, from 0. What the learner says of the words in `others` is said
    otherwise.
    """
    first = dialogues_of(skill)[number]
    turns = tuple(
        replace(turn, learner=re.sub("|".join(others), lambda at: others[at[0]], turn.learner))
        if turn.learner and others
        else turn
        for turn in first.turns
    )
    played = practise_script(load_skill(skill, local), replace(first, turns=turns))
    return " ".join(line for exchange in played.exchanges for line in exchange.said), played.state


def test_a_pulse_pressure_is_narrow_by_the_program(own: Path) -> None:
    # A pulse pressure of 30 is a quarter of 120: not narrow, until narrow is under a third.
    facts = 'facts:\n  pulse-pressure-narrow: {value: 33, unit: "%", because: So.}\n'
    told = {"one twenty over eighty": "one twenty over ninety"}
    usual, _ = practised("vital-signs", None, told)
    assert "pulse pressure thirty" in usual
    assert "close together" not in usual
    said, _ = practised("vital-signs", program(own, facts), told)
    assert "Those two lie close together" in said


def test_a_pulse_pressure_less_often_doubted_needs_a_reason_and_is_said_aloud(own: Path) -> None:
    facts = "facts:\n  pulse-pressure-wide: {value: 120, unit: mmHg, because: So.}\n"
    wrong = refused(own, facts)
    assert "own.local.yaml:5: fact 'pulse-pressure-wide' weakens a safety rule" in wrong
    weaker = program(own, facts.replace("So.}", "So., weakens: Our patients are old.}"))
    said, _ = practised("vital-signs", weaker)
    assert "120 millimeters of mercury instead of 100 millimeters of mercury" in said
    assert "Our patients are old." in said
    unconcerned, _ = practised("recovery-position", weaker)
    assert "Our patients are old." not in unconcerned


def test_a_usual_rate_is_the_program_s(own: Path) -> None:
    facts = "facts:\n  respirations-adult: {low: 12, high: 15, unit: /min, because: So.}\n"
    usual, _ = practised("vital-signs", None)
    said, state = practised("vital-signs", program(own, facts))
    assert "For an adult 12 to 15" in said
    assert "For an adult 12" not in usual
    assert "breaths" not in state.done


def test_a_count_that_nobody_has_is_the_program_s(own: Path) -> None:
    facts = "facts:\n  fastest-breaths:\n    {value: 90, unit: /min, because: So., weakens: So.}\n"
    local = program(own, facts)
    said, _ = practised("vital-signs", local, {"eight": "forty eight"})
    assert "That would be more than ninety a minute" in said
    usual, _ = practised("vital-signs", None, {"eight": "forty eight"})
    assert "more than" not in usual


def test_a_palm_is_the_program_s(own: Path) -> None:
    facts = 'facts:\n  burn-palm: {value: 2, unit: "%", because: So.}\n'
    told = {"the whole arm": "five of her palms", "nine percent": "ten percent"}
    usual, before = practised("burns", None, told)
    assert "By the palms: about five percent" in usual
    said, after = practised("burns", program(own, facts), told)
    assert "By the palms" not in said
    assert ("area" in before.done, "area" in after.done) == (False, True)


def test_a_chart_of_a_program_is_said_aloud_where_burns_are_counted(own: Path) -> None:
    chart = (
        "body-chart:\n  parts: {head: [21, 17, 13, 11, 9, 7], thighs: [9, 13, 16, 17, 18, 19]}\n"
        "  because: So.\n  weakens: Nobody measures newborns here.\n"
    )
    said, _ = practised("burns", program(own, chart))
    assert "other parts of the body by age" in said
    assert "Nobody measures newborns here." in said
    unconcerned, _ = practised("vital-signs", program(own, chart))
    assert "Nobody measures newborns here." not in unconcerned


def test_scores_are_grouped_by_the_program(own: Path) -> None:
    facts = (
        "facts:\n  coma-mild: {value: 15, unit: counted, because: So.}\n"
        "  birth-upper: {value: 10, unit: counted, because: So.}\n"
    )
    local = program(own, facts)
    for skill, number, usual, by_program in (
        ("consciousness-scale", 1, "grouped as mild", "grouped as moderate"),
        ("normal-birth", 0, "in the band seven to ten", "in the band four to nine"),
    ):
        before, _ = practised(skill, None, number=number)
        assert usual in before
        assert by_program not in before
        said, _ = practised(skill, local, number=number)
        assert by_program in said


def test_a_temperature_is_measured_again_by_the_program(own: Path) -> None:
    facts = 'facts:\n  temperature-measured: {low: 35, high: 40, unit: "°C", because: So.}\n'
    told = {"Her skin is pink": "Her temperature is forty one Celsius and her skin is pink"}
    usual, _ = practised("vital-signs", None, told)
    assert "Forty-one Celsius is one hundred five point eight Fahrenheit." in usual
    assert "will you measure again" not in usual
    said, _ = practised("vital-signs", program(own, facts), told)
    assert "Forty-one Celsius is rare: will you measure again?" in said
