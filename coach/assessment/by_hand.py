"""What a result comes to with the marks that people set by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from coach.assessment.rule import Rule
from coach.assessment.verdict import verdict_on
from coach.report.attempt import Mark, Result, SafetyFailure, StepResult
from coach.report.by_hand import THE_LEARNER


@dataclass(frozen=True, slots=True)
class ByHand:
    """A mark that somebody set, and why."""

    mark: Mark
    by: str
    because: str = ""

    @property
    def own_word(self) -> bool:
        """Whether it is but the learner's word, which decides nothing."""
        return self.by == THE_LEARNER


def with_marks(result: Result, marks: Mapping[str, ByHand], rule: Rule) -> Result:
    """The result with these marks in place of the coach's, by step; what is neither a step nor an
    act that must not happen is unknown.

    Points go by the rule, and what the coach's hints cost stays; who sets what the coach had set
    changes nothing of the step. A safety failure that the coach saw in a step that was not done is
    none if a person saw it done, and an act that must not happen is none if a person says that it
    did not (missed); so is a step before its time that was not done at all. A possible failure is
    settled by any mark. What the learner says of it settles nothing. Without a mark that counts it
    is the coach's own result.
    """
    known = {step.step for step in result.steps} | {*result.acts}
    marks = {step: mark for step, mark in marks.items() if step in known and not mark.own_word}
    if not marks:
        return result
    steps = tuple(
        _marked(step, marks[step.step], rule) if step.step in marks else step
        for step in result.steps
    )
    undone = {step.step for step in result.steps if step.mark is not Mark.DONE}
    done = {step for step, each in marks.items() if each.mark is Mark.DONE and step in undone}
    not_so = {act for act in result.acts if act in marks and marks[act].mark is Mark.MISSED}
    failures = tuple(
        each
        for each in result.failures
        if each.about not in done | not_so and not _too_early_and_never_done(each, result, marks)
    )
    possible = tuple(failure for failure in result.possible if failure.about not in marks)
    verdict, why = verdict_on(steps, failures, rule, possible)
    return replace(
        result,
        steps=steps,
        failures=failures,
        possible=possible,
        verdict=verdict,
        why=why,
        points=round(sum(step.points for step in steps), 3),
        judged_by=", ".join(dict.fromkeys(mark.by for mark in marks.values())),
    )


def _too_early_and_never_done(
    failure: SafetyFailure, result: Result, marks: Mapping[str, ByHand]
) -> bool:
    """Whether it is that a step came before another, and a person says that it never came."""
    mark = marks.get(failure.about)
    if mark is None or mark.mark is not Mark.MISSED:
        return False
    name = next((step.name for step in result.steps if step.step == failure.about), None)
    return name is not None and failure.what.startswith(f"{name} before ")


def _marked(step: StepResult, mark: ByHand, rule: Rule) -> StepResult:
    if mark.mark is step.mark:
        return step
    keeps = {Mark.DONE: 1.0, Mark.LATE: rule.late, Mark.OUT_OF_ORDER: rule.out_of_order}
    share = keeps.get(mark.mark, 0.0)
    if step.hints:
        share *= rule.hints[min(step.hints, len(rule.hints)) - 1]
    because = f": {mark.because}" if mark.because else ""
    why = f"Set by hand by {mark.by}{because.rstrip('.')}."
    return replace(step, mark=mark.mark, points=round(step.out_of * share, 3), why=why)
