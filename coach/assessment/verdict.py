"""What a whole attempt came to, from its steps, its safety failures and the rule."""

from __future__ import annotations

from collections.abc import Sequence

from coach.assessment.rule import Rule
from coach.report.attempt import Mark, SafetyFailure, StepResult, Verdict


def verdict_on(
    steps: Sequence[StepResult], failures: Sequence[SafetyFailure], rule: Rule
) -> tuple[Verdict, str]:
    """The verdict, and why in a sentence.

    A safety failure that was not put right decides by itself, and so does a safety step missed.
    Where the steps that are unclear could tip it, it is unclear.
    """
    open_failures = [failure for failure in failures if not failure.corrected]
    if open_failures:
        first = open_failures[0]
        return Verdict.NOT_YET, f"Not yet: {first.what}; {first.because.rstrip('.')}."
    missed = [step for step in steps if step.safety and step.mark is Mark.MISSED]
    if missed:
        return Verdict.NOT_YET, f"Not yet: missed {missed[0].name}, a safety step."
    out_of = sum(step.out_of for step in steps)
    least = sum(step.points for step in steps)
    most = least + sum(step.out_of for step in steps if step.mark is Mark.UNCLEAR)
    wanted = rule.ready_from * out_of - 1e-9
    share = f"{100 * least / out_of:.0f} % of the points" if out_of else "nothing to do"
    need = f"{100 * rule.ready_from:.0f} % are needed"
    if most < wanted:
        return Verdict.NOT_YET, f"Not yet: {share}; {need}."
    unclear = [step for step in steps if step.mark is Mark.UNCLEAR]
    if least < wanted or any(step.safety for step in unclear):
        names = ", ".join(step.name for step in unclear[:3])
        return Verdict.UNCLEAR, f"Unclear: it hangs on {names}, which a person has to settle."
    return Verdict.READY, f"Ready: {share}, nothing unsafe."
