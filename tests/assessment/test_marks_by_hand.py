"""Marks that people set change the result by the rule, and only where they set one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from attempts import NOT_YET

from coach.app.judging import rule_in_force
from coach.assessment.by_hand import ByHand, with_marks
from coach.report.attempt import Mark, SafetyFailure, Verdict
from coach.report.by_hand import THE_LEARNER

RULE = replace(
    rule_in_force(), late=0.5, out_of_order=0.25, hints=(0.9, 0.8, 0.7, 0.6), ready_from=0.8
)
"""The rule in force with shares that are easy to reckon with."""


def points(step: str, mark: Mark) -> float:
    found = with_marks(NOT_YET, {step: ByHand(mark, "J. Doe")}, RULE)
    return next(one.points for one in found.steps if one.step == step)


@pytest.mark.parametrize(
    ("step", "mark", "expected"),
    [
        ("look", Mark.DONE, 2.0),
        ("look", Mark.LATE, 1.0),
        ("look", Mark.OUT_OF_ORDER, 0.5),
        ("look", Mark.MISSED, 0.0),
        ("look", Mark.UNCLEAR, 0.0),
        # It is worth three, and there was one hint, which costs a tenth.
        ("washer", Mark.DONE, 2.7),
    ],
)
def test_points_go_by_the_rule(step: str, mark: Mark, expected: float) -> None:
    assert points(step, mark) == expected


def test_the_others_stay_the_coachs() -> None:
    found = with_marks(NOT_YET, {"look": ByHand(Mark.DONE, "J. Doe", "I saw it.")}, RULE)
    assert [one for one in found.steps if one.step != "look"] == [
        one for one in NOT_YET.steps if one.step != "look"
    ]
    assert found.points == NOT_YET.points + 2
    (look,) = (one for one in found.steps if one.step == "look")
    assert (look.why, look.evidence) == (
        "Set by hand by J. Doe: I saw it.",
        NOT_YET.steps[7].evidence,
    )


def test_who_agrees_with_the_coach_changes_no_step_and_no_failure() -> None:
    wrong = SafetyFailure("gloves", "the kettle touched with bare hands", "it burns", 5.0, False)
    half = replace(NOT_YET.steps[4], points=0.125)
    steps = (*NOT_YET.steps[:4], half, *NOT_YET.steps[5:])
    result = replace(NOT_YET, steps=steps, failures=(*NOT_YET.failures, wrong))
    agreed = {step.step: ByHand(step.mark, "J. Doe") for step in steps}
    found = with_marks(result, agreed, RULE)
    assert (found.steps, found.failures) == (result.steps, result.failures)
    assert found.judged_by == "J. Doe"


def test_who_judged_is_told_once_each_and_nobody_else() -> None:
    marks = {
        "look": ByHand(Mark.DONE, "J. Doe"),
        "stir": ByHand(Mark.DONE, "K. Roe"),
        "flow": ByHand(Mark.DONE, "J. Doe"),
    }
    assert with_marks(NOT_YET, marks, RULE).judged_by == "J. Doe, K. Roe"
    assert with_marks(NOT_YET, {}, RULE) is NOT_YET
    assert with_marks(NOT_YET, {"no such step": ByHand(Mark.DONE, "J. Doe")}, RULE) is NOT_YET


def test_a_safety_step_seen_by_a_person_is_no_failure() -> None:
    seen = {step.step: ByHand(Mark.DONE, "J. Doe") for step in NOT_YET.steps}
    found = with_marks(NOT_YET, seen, RULE)
    assert [failure.about for failure in found.failures] == ["lid"]
    assert found.verdict is Verdict.READY


def test_an_act_that_a_person_says_did_not_happen_is_no_failure() -> None:
    """Misheard it would decide for ever; whoever says that it happened changes nothing."""
    act = SafetyFailure("scald", "the spout held to the face", "it burns", 5.0, False)
    result = replace(NOT_YET, failures=(act,))
    assert result.acts == ("scald",)
    for mark, left in ((Mark.MISSED, ()), (Mark.DONE, (act,))):
        found = with_marks(result, {"scald": ByHand(mark, "J. Doe")}, RULE)
        assert (found.failures, found.steps, found.judged_by) == (left, result.steps, "J. Doe")
    (own,) = with_marks(result, {"scald": ByHand(Mark.MISSED, THE_LEARNER)}, RULE).failures
    assert own == act


def test_a_safety_step_missed_by_a_persons_eye_decides() -> None:
    seen = {step.step: ByHand(Mark.DONE, "J. Doe") for step in NOT_YET.steps}
    found = with_marks(NOT_YET, {**seen, "gloves": ByHand(Mark.MISSED, "J. Doe")}, RULE)
    assert found.verdict is Verdict.NOT_YET
    assert "gloves" in found.why


def test_a_step_before_its_time_that_never_came_is_no_failure() -> None:
    """What was left out or had a wrong number stays one: who says that it was missed agrees."""
    early = SafetyFailure(
        "open", "the valve, opened slowly before the washer under the lid", "", 3.0, False
    )
    without = SafetyFailure(
        "washer", "the valve, opened slowly without the washer under the lid", "", 3.0, False
    )
    number = SafetyFailure(
        "gauge", "the valve, opened slowly with a wrong number of the pressure", "", 3.0, False
    )
    result = replace(NOT_YET, failures=(early, without, number))
    for step, left in (
        ("open", (without, number)),
        ("washer", result.failures),
        ("gauge", result.failures),
    ):
        found = with_marks(result, {step: ByHand(Mark.MISSED, "J. Doe")}, RULE)
        assert found.failures == left
    (own, *_) = with_marks(result, {"open": ByHand(Mark.MISSED, THE_LEARNER)}, RULE).failures
    assert own == early
