"""The verdict on the marks of an attempt: what is unclear about safety is never a pass."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.assessment.rule import Rule
from coach.assessment.verdict import verdict_on
from coach.report.attempt import ORDER_UNSURE, Mark, SafetyFailure, StepResult, Verdict

RULE = Rule("usual", 1, 1.0, 2.0, 0.5, 0.5, 0.5, 0.75, (0.75, 0.5, 0.25, 0.0), 0.3, 0.9)
DONE = StepResult("a", "the lid", Mark.DONE, 1, 1, 1.0, "", False, 0, ())
ENOUGH = tuple(replace(DONE, step=f"a{number}") for number in range(30))
"""So many points that one step cannot tip the verdict."""


def last(mark: Mark, points: float, safety: bool, why: str = "") -> StepResult:
    """A step beside those of ENOUGH."""
    return StepResult("z", "the washer", mark, points, 1, None, why, safety, 0, ())


@pytest.mark.parametrize(
    ("step", "verdict"),
    [
        (last(Mark.UNCLEAR, 0, safety=False), Verdict.READY),
        (last(Mark.UNCLEAR, 0, safety=True), Verdict.UNCLEAR),
        (last(Mark.UNCLEAR, 0, safety=False, why=f"{ORDER_UNSURE} and more"), Verdict.UNCLEAR),
        (last(Mark.MISSED, 0, safety=False), Verdict.READY),
        (last(Mark.MISSED, 0, safety=True), Verdict.NOT_YET),
        (last(Mark.LATE, 0.5, safety=True), Verdict.READY),
    ],
)
def test_points_enough_pass_but_for_what_safety_hangs_on(
    step: StepResult, verdict: Verdict
) -> None:
    assert verdict_on((*ENOUGH, step), (), RULE)[0] is verdict


def test_a_safety_failure_decides_unless_it_was_put_right_and_a_possible_one_is_unclear() -> None:
    failure = SafetyFailure("z", "steam without a lid", "it scalds", 3.0, False)
    assert verdict_on(ENOUGH, (failure,), RULE)[0] is Verdict.NOT_YET
    assert verdict_on(ENOUGH, (replace(failure, corrected=True),), RULE)[0] is Verdict.READY
    assert verdict_on(ENOUGH, (), RULE, (failure,))[0] is Verdict.UNCLEAR
