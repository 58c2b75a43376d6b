"""What of an attempt could have hurt a patient, and whether it was put right in time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from coach.assessment.order import TurnedRound
from coach.dialogue.progress import missing_first
from coach.dialogue.state import State
from coach.report.attempt import Mark, SafetyFailure, StepResult


def safety_failures(
    state: State, turned: Sequence[TurnedRound], steps: Sequence[StepResult]
) -> tuple[SafetyFailure, ...]:
    """Forbidden acts, safety orders turned round and safety steps left out, by their time.

    What hangs on a step that is only unclear is no failure yet: the verdict waits for it.
    """
    by_id = {step.step: step for step in steps}
    found = [*_acts(state), *_orders(turned, by_id), *left_out(state, by_id, Mark.MISSED)]
    return tuple(sorted(found, key=lambda failure: (failure.at_s, failure.about)))


def possible_failures(
    turned: Sequence[TurnedRound], steps: Sequence[StepResult]
) -> tuple[SafetyFailure, ...]:
    """What would be a failure if what was not made out was not the step that belongs there."""
    found = _orders(turned, {step.step: step for step in steps}, doubted=True)
    return tuple(failure for failure in found if not failure.corrected)


def left_out(state: State, steps: Mapping[str, StepResult], mark: Mark) -> Iterator[SafetyFailure]:
    """The steps with this mark that were due in the end, and that it is unsafe to leave out."""
    at_s = round(state.at_s - state.begun_s, 3)
    for step in state.skill.steps:
        found = steps.get(step.id)
        if found is None or found.mark is not mark or not step.unsafe_left_out:
            continue
        if missing_first(state, step) is None:
            about, because = step.id, step.unsafe_left_out
            yield SafetyFailure(about, f"{step.name} left out", because, at_s, corrected=False)


def _hangs_on_doubt(each: TurnedRound, first: StepResult) -> bool:
    """Whether it is not known that the order was turned round, or the step left out."""
    left_out = not each.made_up and not each.wrong_number
    return each.unsure or (left_out and first.mark is Mark.UNCLEAR)


def _acts(state: State) -> Iterator[SafetyFailure]:
    acts = {act.id: act for act in state.skill.forbidden}
    for breach in state.breaches:
        if (act := acts.get(breach.act)) is not None:
            at_s = round(breach.at_s - state.begun_s, 3)
            yield SafetyFailure(act.id, act.name, act.because, at_s, corrected=False)


def _orders(
    turned: Sequence[TurnedRound], steps: Mapping[str, StepResult], doubted: bool = False
) -> Iterator[SafetyFailure]:
    told: set[tuple[str, str]] = set()
    for each in sorted(turned, key=lambda each: each.put_right):
        first, then = steps.get(each.first), steps.get(each.step)
        if not each.safety or first is None or then is None:
            continue
        if _hangs_on_doubt(each, first) is not doubted:
            continue
        # what was left out was left out once, however much of what followed hangs on it
        about, before = (each.step, each.first) if each.made_up else (each.first, "")
        if (about, before) in told:
            continue
        told.add((about, before))
        if each.wrong_number:
            how = "before the right number of" if each.made_up else "with a wrong number of"
        else:
            how = "before" if each.made_up else "without"
        what = f"{then.name} {how} {first.name}"
        yield SafetyFailure(about, what, each.because, each.at_s, each.put_right)
