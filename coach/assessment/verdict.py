"""What a whole attempt came to, from its steps, its safety failures and the rule."""

from __future__ import annotations

from collections.abc import Sequence

from coach.assessment.rule import Rule
from coach.report.attempt import ORDER_UNSURE, Mark, SafetyFailure, StepResult, Verdict

MOST_TOLD = 3
"""Possible safety failures that a reason names."""


def verdict_on(
    steps: Sequence[StepResult],
    failures: Sequence[SafetyFailure],
    rule: Rule,
    possible: Sequence[SafetyFailure] = (),
) -> tuple[Verdict, str]:
    """The verdict, and why in a sentence.

    A safety failure that was not put right decides by itself, and so does a safety step missed.
    Where the steps that are unclear could tip it, it is unclear; `possible` are the safety failures
    that may hang on them.
    """
    unsafe = _perhaps(possible)
    also = f"; {unsafe}" if unsafe else ""
    open_failures = [failure for failure in failures if not failure.corrected]
    if open_failures:
        first = open_failures[0]
        return Verdict.NOT_YET, f"Not yet: {first.what}; {first.because.rstrip('.')}{also}."
    missed = [step for step in steps if step.safety and step.mark is Mark.MISSED]
    if missed:
        return Verdict.NOT_YET, f"Not yet: missed {missed[0].name}, a safety step{also}."
    out_of = sum(step.out_of for step in steps)
    least = sum(step.points for step in steps)
    most = least + sum(step.out_of for step in steps if step.mark is Mark.UNCLEAR)
    wanted = rule.ready_from * out_of - 1e-9
    share = f"{100 * least / out_of:.0f} % of the points" if out_of else "nothing to do"
    need = f"{100 * rule.ready_from:.0f} % are needed"
    if most < wanted:
        return Verdict.NOT_YET, f"Not yet: {share}; {need}{also}."
    unclear = [step for step in steps if step.mark is Mark.UNCLEAR]
    safety = any(step.safety or step.why.startswith(ORDER_UNSURE) for step in unclear)
    if least < wanted or safety or possible:
        weighty = sorted(unclear, key=lambda step: not step.safety) if possible else unclear
        names = ", ".join(step.name for step in weighty[:3])
        told = f" {unsafe};" if unsafe else ""
        why = f"Unclear:{told} it hangs on {names}, which a person has to settle."
        return Verdict.UNCLEAR, why
    return Verdict.READY, f"Ready: {share}, nothing unsafe."


def _perhaps(possible: Sequence[SafetyFailure]) -> str:
    """What may have been unsafe, each once; empty for nothing."""
    acts = list(dict.fromkeys(failure.what for failure in possible))[:MOST_TOLD]
    return f"perhaps {', '.join(acts)}, which is unsafe" if acts else ""
