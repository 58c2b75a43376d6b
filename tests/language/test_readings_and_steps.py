"""A number that was asked for is heard as that number, and its words credit no other step.

The sentences are those the benchmark of hearing draws: numbers that gauges and labels show, in the
ways people say them (`tests/benchmarks/sayings.py`).
"""

from __future__ import annotations

import random

import pytest
from benchmarks.hearing.moments import due, mid_skill
from benchmarks.hearing.wanted import readings

from coach.language.understand import understand

DRAWN = 2000


def test_a_number_that_was_asked_for_credits_no_other_step() -> None:
    wrong = []
    for sentence in readings(DRAWN, random.Random(5)):
        moment = sentence.moment.context
        meant = understand(sentence.text, moment)
        others = [mention.step for mention in meant.steps if mention.step != moment.suggested]
        if others:
            wrong.append(f"{sentence.text!r}, asked by {moment.suggested}: {others}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    "said",
    [
        "pressure is one one zero zero",
        "the gauge reads seven zero zero",
        "it reads nine zero zero",
        "flow is one zero",
        "flow is zero point five",
        "the needle is at five zero zero psi",
    ],
)
def test_a_zero_within_a_number_is_no_empty_gauge(said: str) -> None:
    credited = {mention.step for mention in understand(said, mid_skill().context).steps}
    assert not credited & {"bleed", "flow-off", "flow-closed"}


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ("bleed", "the gauge reads zero"),
        ("bleed", "pressure is down to zero"),
        ("flow-off", "the flow is zero"),
        ("pins", "pins at two and five"),
        ("pins", "pin holes two five"),
        ("test-date", "the date is twenty nineteen"),
    ],
)
def test_a_whole_number_still_names_a_step(step: str, said: str) -> None:
    steps = understand(said, due("oxygen-cylinder", step).context).steps
    assert [mention.step for mention in steps] == [step]
