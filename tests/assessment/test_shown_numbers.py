"""What a learner tells of a scenario's patient is held against what that patient has shown."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice
from known_numbers import known_numbers

from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.dialogue.engine import new_state
from coach.dialogue.events import CONVERSATION
from coach.edges.scenario_files import load_scenario
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.report.attempt import NumberResult, Result, Way
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened
from coach.session.loop import Ports, Session
from coach.trade.burns import NinesPart

BEGAN = "2026-01-01T10:00:00+00:00"


def result(name: str, *words: str | float, conversation: int = CONVERSATION) -> Result:
    """What an assessed attempt at a scenario comes to."""
    scenario = load_scenario(name)
    skill_file = replace(load_skill(scenario.skill), scenario=scenario)
    first = first_event(
        skill_file, load_settings({}, {}), scenario.settings, (), Way.ASSESSED, "c" * 32, ()
    )
    clock, journal, ear = FakeClock(), FakeJournal(), FakeEar("I'm ready", *words, "finish", "yes")
    ports = Ports(clock, ear, FakeVoice(), journal, FakeObserver(), clock.skip)
    first = replace(first, scenario=scenario.id, conversation=conversation)
    Session(new_state(skill_file), ports).run(first)
    opened = JournalOpened(skill_file.id, BEGAN, "0", attempt="a" * 32)
    contents = JournalContents(opened, tuple(journal.events), JournalClosed(BEGAN), False, (), 0)
    return score(contents, skill_file, rule_in_force())


def number(name: str, *words: str | float, conversation: int = CONVERSATION) -> NumberResult | None:
    numbers = result(name, *words, conversation=conversation).numbers
    return numbers[-1] if numbers else None


HOW = "how does the burn look?"


@pytest.mark.parametrize(
    ("said", "right"),
    [("five percent burned", True), ("four percent burned", True), ("nine percent burned", False)],
)
def test_an_estimated_area_is_held_against_the_blisters_alone(said: str, right: bool) -> None:
    """Half of an arm is 4.5 % (rule of nines, Wallace 1951; named in procedures/facts.yaml)."""
    half_of_an_arm = known_numbers().burns.nines.at(26)[NinesPart.RIGHT_ARM] / 2
    told = number("camp-stove", HOW, said)
    assert told is not None
    assert (told.low + told.high) / 2 == half_of_an_arm
    assert (told.high - told.low, told.in_range) == (2, right)
    unseen = number("camp-stove", "nine percent burned")
    assert unseen is not None
    assert unseen.in_range, "nobody has shown the burn"


@pytest.mark.parametrize(
    ("said", "unit", "expected", "right"),
    [
        ("his temperature is thirty six point seven", "°C", 36.7, True),
        ("his temperature is thirty seven", "°C", 36.7, False),
        # 98.06 by pint
        ("temperature is ninety eight point one fahrenheit", "°F", 98.06, True),
        ("temperature is ninety eight point six fahrenheit", "°F", 98.06, False),
    ],
)
def test_a_temperature_is_held_against_the_thermometer(
    said: str, unit: str, expected: float, right: bool
) -> None:
    told = number("camp-stove", "what's his temperature?", said)
    assert told is not None
    assert (told.step, told.name, told.unit) == ("warm", "temperature", unit)
    assert (told.low, told.in_range) == (expected, right)
    assert number("camp-stove", said) is None, "nothing was measured"


def test_it_is_held_against_what_was_shown_by_then() -> None:
    """The thermometer falls while the water runs; the number of before is no longer the one."""
    words = (
        "what's his temperature?",
        "the scene is safe, gloves on",
        "running water over it for twenty minutes",
        300.0,
    )
    later = number(
        "camp-stove", *words, "what is his temperature now?", "temperature thirty six point seven"
    )
    assert later is not None
    # half of the way from 36.7 to 34.8
    assert later.low == pytest.approx(35.75, abs=0.06)
    assert not later.in_range


@pytest.mark.parametrize(
    ("said", "right"),
    [
        ("she weighs fifty two kilos", True),
        ("she weighs one hundred fifteen pounds", True),  # 114.6 by pint
        ("she weighs sixty kilos", False),
    ],
)
def test_a_weight_is_held_against_what_was_shown(said: str, right: bool) -> None:
    told = number("toboggan-run", "how much does she weigh?", said)
    assert told is not None
    assert (told.step, told.name, told.in_range) == ("traction", "weight", right)


@pytest.mark.parametrize(
    ("said", "right"),
    [
        ("it pulls eleven pounds", True),
        ("it pulls fifteen pounds", False),  # 10 % of 52 kg are 11.5 lbf by pint
        ("it pulls ten percent of her weight", True),
        ("she weighs eighty kilos, it pulls fifteen pounds", False),
    ],
)
def test_a_pull_is_held_against_the_weight_that_was_shown(said: str, right: bool) -> None:
    played = result("toboggan-run", "how much does she weigh?", said)
    pull = next(each for each in played.numbers if each.name == "pull")
    assert pull.in_range is right


def test_a_number_in_another_unit_is_the_one_shown() -> None:
    """5.5 mmol/L are 99 mg/dL; an attempt of before was compared in the same unit alone."""
    shown = "what's the sugar?"
    first = number("waiting-room", shown, "the meter shows three millimoles")
    assert first is not None
    assert (first.unit, first.in_range) == ("mmol/L", False)
    before = number("waiting-room", shown, "the meter shows three millimoles", conversation=2)
    assert before is not None
    assert before.low < before.high
