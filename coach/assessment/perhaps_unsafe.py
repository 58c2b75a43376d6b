"""What may have hurt a patient, for all that was not made out: a person has to settle it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coach.assessment.failures import left_out
from coach.assessment.order import wrong_number
from coach.assessment.replay import Moment
from coach.dialogue.forbidden import forbidden_now
from coach.dialogue.state import State
from coach.language.questions import share_said
from coach.procedure.model import Prerequisite
from coach.report.attempt import Mark, SafetyFailure, Spoken, StepResult

PERHAPS_THE_ACT = 0.6
"""Share of the words of a line of a forbidden act from which what was heard badly may have been it
(our own choice, no source)."""


def perhaps_unsafe(
    moments: Sequence[Moment],
    badly_heard: Sequence[Spoken],
    steps: Sequence[StepResult],
    failures: Sequence[SafetyFailure],
    hanging: Sequence[SafetyFailure],
) -> tuple[SafetyFailure, ...]:
    """Each possible safety failure, once about each act or step, the likelier ones first.

    `failures` are those for sure, which are not told again, `hanging` those of which only one of
    the two steps was not made out.
    """
    state = moments[-1].after
    found = {failure.about: failure for failure in failures}
    possible: dict[str, SafetyFailure] = {}
    acts = _acts(moments, badly_heard, state.begun_s)
    numbers, orders = _orders(state, steps)
    unclear = left_out(state, {step.step: step for step in steps}, Mark.UNCLEAR)
    for failure in (*acts, *numbers, *hanging, *orders, *unclear):
        if failure.about not in found:
            possible.setdefault(failure.about, failure)
    return tuple(possible.values())


def _acts(
    moments: Sequence[Moment], badly_heard: Sequence[Spoken], begun_s: float
) -> Iterator[SafetyFailure]:
    """Forbidden acts most words of which were in something heard badly."""
    texts = {said.at_s: said.text for said in badly_heard}
    for moment in moments:
        at_s = round(moment.event.at_s - begun_s, 3)
        if at_s not in texts:
            continue
        for act in forbidden_now(moment.before):
            lines = (*act.heard_as.phrases, *act.heard_as.keys)
            if share_said(texts[at_s], lines) >= PERHAPS_THE_ACT:
                yield SafetyFailure(act.id, act.name, act.because, at_s, corrected=False)


def _orders(
    state: State, steps: Sequence[StepResult]
) -> tuple[list[SafetyFailure], list[SafetyFailure]]:
    """What an unclear step may have been done with a wrong number of; what before or without."""
    marked = {step.step: step for step in steps}
    numbers: list[SafetyFailure] = []
    others: list[SafetyFailure] = []
    for step in state.skill.steps:
        then = marked.get(step.id)
        if then is None or then.mark is not Mark.UNCLEAR:
            continue
        for needed in step.after:
            first = marked.get(needed.step)
            if first is None or not needed.safety:
                continue
            if wrong_number(state, needed.step):
                numbers.append(_failure(first, then, "with a wrong number of", needed))
            elif _spoken_of_before(then, first):
                what = f"{then.name} before {first.name}"
                others.append(SafetyFailure(then.step, what, needed.because, _last_s(then), False))
            elif first.mark is Mark.UNCLEAR:
                others.append(_failure(first, then, "without", needed))
    return numbers, others


def _spoken_of_before(then: StepResult, first: StepResult) -> bool:
    return first.at_s is not None and any(said.at_s < first.at_s for said in then.evidence)


def _failure(first: StepResult, then: StepResult, how: str, needed: Prerequisite) -> SafetyFailure:
    what = f"{then.name} {how} {first.name}"
    return SafetyFailure(first.step, what, needed.because, _last_s(then), corrected=False)


def _last_s(step: StepResult) -> float:
    """When it was last heard of; 0 where it was not heard of at all."""
    return step.evidence[-1].at_s if step.evidence else 0.0
