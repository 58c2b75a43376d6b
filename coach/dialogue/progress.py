"""The procedure as a partial order: what is open, what comes first, what is suggested."""

from __future__ import annotations

from collections.abc import Collection

from coach.dialogue.state import State
from coach.procedure.model import COUNTED, Prerequisite, ReadingSpec, Step


def open_steps(state: State) -> tuple[Step, ...]:
    """Steps neither done nor left out, in the suggested order."""
    gone = state.done | set(state.skipped)
    return tuple(step for step in state.skill.steps if step.id not in gone)


def open_in_their_order(state: State, mentioned: Collection[str]) -> list[Step]:
    """The open steps in the order in which a number is theirs: spoken of with it, suggested, to be
    done now, any."""
    due = suggested(state)
    still = open_steps(state)
    steps = [step for step in still if step.id in mentioned]
    steps += [due] if due else []
    steps += [step for step in still if missing_first(state, step) is None]
    return [*steps, *(step for step in still if step not in steps)]


def missing_first(state: State, step: Step, also_said: Collection[str] = ()) -> Prerequisite | None:
    """The first prerequisite of a step that is not met, the ones of safety before the others.

    A step left out, said in the same breath (`also_said`), or for which beats sound now (breaths
    come between compressions), meets a prerequisite that is not one of safety.
    """
    if not step.after:
        return None
    done = state.done
    met = {*state.skipped, *also_said, *([state.pace.step] if state.pace else [])}
    unmet = [
        needed
        for needed in step.after
        if needed.step not in done and (needed.safety or needed.step not in met)
    ]
    return next((needed for needed in unmet if needed.safety), unmet[0] if unmet else None)


def first_of_all(state: State, step: Step) -> tuple[Step, Prerequisite] | None:
    """The step to be done now so that `step` may follow, and why; None when nothing is missing."""
    needed = missing_first(state, step)
    if needed is None:
        return None
    found = state.step(needed.step)
    return None if found is None else (found, needed)


def open_first(state: State, step: Step) -> Step:
    """What has to be done before that step can be, and can be done now; the step itself if
    nothing has to."""
    seen = {step.id}
    while (found := first_of_all(state, step)) is not None and found[0].id not in seen:
        step = found[0]
        seen.add(step.id)
    return step


def suggested(state: State) -> Step | None:
    """The step the coach leads to: the one gone back to, else the first that may be done now."""
    if state.focus is not None and (step := state.step(state.focus)) is not None:
        return step
    still = open_steps(state)
    if state.asked is not None:
        for step in still:
            # a quiet coach refuses nothing: what was begun is what the next number is for
            if step.id == state.asked and (state.quiet or missing_first(state, step) is None):
                return step
    lawful = next((step for step in still if missing_first(state, step) is None), None)
    return lawful or (still[0] if still else None)


def in_hand(state: State) -> Step | None:
    """The step that a bare "done" is about: the one that the clock runs for, else the suggested."""
    timed = state.step(state.clock.step) if state.clock is not None else None
    return timed or suggested(state)


def awaits_a_number(state: State) -> tuple[Step, ReadingSpec] | None:
    """The step whose number may be said now without a word for it, and which number that is.

    It is the suggested one. Who practises without a lead may have left one out and gone on:
    where the suggested one waits for none, it is the next after what was done last. What was asked
    for anew goes before.
    """
    if anew := asked_anew(state):
        return anew
    steps = [step for step in (suggested(state), _following(state)) if step is not None]
    for step in steps:
        begun = state.quiet and step.id == state.asked
        lawful = begun or missing_first(state, step) is None
        spec = awaited_reading(state, step) if lawful else None
        if spec is not None:
            return step, spec
    return None


def asked_anew(state: State) -> tuple[Step, ReadingSpec] | None:
    """The reading that the coach has just asked for again, with its step."""
    anew = state.asked_anew
    step = state.step(anew.step) if anew else None
    if anew is None or step is None:
        return None
    return next(((step, spec) for spec in step.readings if spec.name == anew.name), None)


def _following(state: State) -> Step | None:
    if not state.quiet or not state.credits:
        return None
    order = [step.id for step in state.skill.steps]
    last = state.credits[-1].step
    later = order[order.index(last) + 1 :] if last in order else []
    still = (step for step in open_steps(state) if step.id in later)
    return next((step for step in still if missing_first(state, step) is None), None)


def is_early(state: State, step: Step) -> bool:
    """Whether an earlier step of the suggested order is still open, and could be done now."""
    for other in open_steps(state):
        if other.id == step.id:
            return False
        if missing_first(state, other) is None:
            return True
    return False


def next_reading(state: State, step: Step) -> ReadingSpec | None:
    """The first reading of a step for which no accepted number stands; None when all stand."""
    for spec in step.readings:
        standing = state.standing(step.id, spec.name)
        if standing is None or not standing.accepted:
            return spec
    return None


def awaited_reading(state: State, step: Step) -> ReadingSpec | None:
    """The reading that may be asked for now: what is counted only once it was timed."""
    spec = next_reading(state, step)
    untimed = step.count is not None and step.id not in state.timed
    return None if spec and spec.name == COUNTED and untimed else spec


def depending_for_safety(state: State, step_id: str) -> tuple[Step, Prerequisite] | None:
    """An open step that must not be done before this one, and why."""
    for step in open_steps(state):
        for needed in step.after:
            if needed.step == step_id and needed.safety:
                return step, needed
    return None
