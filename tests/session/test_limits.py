"""The limits of the judgement are those at which mistakes on recorded hypotheses cost least."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache

import pytest
from benchmarks.hypotheses import (
    GRIDS,
    OWN_VOICE,
    Choice,
    Understood,
    all_understood,
    choices,
    recorded,
    total_cost,
    verdict_on,
)

from coach.core.meaning import Command
from coach.session.costs import COST_REPEATS, LIMITS, Limits, Mistake
from coach.session.judgement import judge
from coach.session.verdict import Decision

NEARLY = 0.03
"""What a limit in force may cost more than the cheapest: a single turn moves it by as much."""

SET_BY_HAND = {"unasked": 0.05}
"""Limits that may cost more: numbers nobody asked for are hardly ever the learner's, and the one
recorded turn that says otherwise is a "wait a second" heard as a number."""

DOING = {Decision.ACT, Decision.READ_BACK}


@lru_cache(maxsize=1)
def items() -> list[Understood]:
    return all_understood(recorded())


@lru_cache(maxsize=1)
def in_force() -> dict[str, Choice]:
    return {choice.name: choice for choice in choices(items())}


def of_kind(*kinds: str) -> list[Understood]:
    return [item for item in items() if item.turn.kind in kinds]


def test_each_mistake_has_its_cost_and_the_weighty_ones_weigh() -> None:
    assert set(COST_REPEATS) == set(Mistake)
    repeat = COST_REPEATS[Mistake.NEEDLESS_REPEAT]
    assert COST_REPEATS[Mistake.WRONG_READING_STANDS] == 1000 * repeat
    assert COST_REPEATS[Mistake.FALSE_YES] >= 20 * COST_REPEATS[Mistake.FALSE_STOP]
    assert COST_REPEATS[Mistake.MISSED_STOP] >= 20 * COST_REPEATS[Mistake.FALSE_STOP]


def test_each_limit_is_tried() -> None:
    assert set(GRIDS) == {field.name for field in fields(Limits)}


@pytest.mark.parametrize("name", sorted(GRIDS))
def test_each_limit_in_force_is_among_the_cheapest(name: str) -> None:
    choice = in_force()[name]
    assert choice.cost <= choice.least_cost * (1 + SET_BY_HAND.get(name, NEARLY)), (
        f"{name} = {choice.in_force:g} costs {choice.cost:.1f}, {choice.cheapest} cost "
        f"{choice.least_cost:.1f}: run python -m tests.benchmarks.hypotheses choose"
    )


@pytest.mark.parametrize(
    "elsewhere",
    [{"stands": 0.0}, {"yes": 1.01}, {"fainter_db": 30.0}, {"sentence": 1.01}, {"number": 1.01}],
)
def test_a_limit_far_from_there_would_not_be(elsewhere: dict[str, float]) -> None:
    now = total_cost(items(), LIMITS)
    assert total_cost(items(), replace(LIMITS, **elsewhere)) > now * (1 + NEARLY)


def test_no_recorded_wrong_number_of_the_learner_stands_by_silence() -> None:
    wrong = []
    for item in of_kind("number", "answer", "phrase", "own words"):
        for reading in verdict_on(item, LIMITS).meaning.readings:
            if reading.doubt is None and not set(reading.values) <= set(item.turn.meant.values):
                wrong.append((item.turn.said, item.turn.hypothesis))
    assert len(wrong) <= len(of_kind("number")) // 100, wrong


def test_every_recorded_stop_that_was_made_out_is_obeyed() -> None:
    stops = [item for item in items() if item.meaning.command is Command.STOP]
    assert stops and min(item.turn.hypothesis.confidence for item in stops) < LIMITS.stands
    assert {verdict_on(item, LIMITS).decision for item in stops} == {Decision.ACT}


def test_a_recorded_yes_counts_only_above_its_limit() -> None:
    """Each is judged as it was heard, and once more as if it had been heard too faintly."""
    said = [item for item in of_kind("answer") if item.meaning.answer == "yes"]
    assert said
    for item in said:
        faint = replace(item.turn.hypothesis, confidence=LIMITS.yes - 0.01)
        verdict = judge(item.meaning, faint, item.moment, OWN_VOICE)
        assert verdict.meaning.answer is None
    taken = [item for item in said if verdict_on(item, LIMITS).meaning.answer == "yes"]
    assert len(taken) >= 0.9 * len(said)


def test_a_neighbours_readings_are_let_pass() -> None:
    readings = [item for item in of_kind("neighbour") if item.meaning.readings]
    passed = [item for item in readings if verdict_on(item, LIMITS).decision not in DOING]
    assert len(readings) >= 10
    assert len(passed) >= 0.8 * len(readings)


def test_talk_that_is_not_meant_for_the_coach_hardly_ever_does_anything() -> None:
    """A single "tree" is a three to people, too, where a number was asked for: it is left out."""
    for kind in ("talk", "other word", "noise"):
        turns = [item for item in of_kind(kind) if item.turn.said != "tree"]
        doing = [item.turn for item in turns if verdict_on(item, LIMITS).decision in DOING]
        assert len(doing) <= max(1, len(turns) // 7), doing
