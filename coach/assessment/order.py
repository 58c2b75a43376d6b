"""What was done before something that has to come first, and whether it was put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from coach.assessment.replay import Moment
from coach.core.plain import Fields
from coach.dialogue.state import Standing, State
from coach.procedure.model import CHOSEN, Prerequisite, Skill, Step
from coach.report.attempt import Spoken


@dataclass(frozen=True, slots=True)
class TurnedRound:
    """Step `step` was done before `first`, which had to come first, `because` of that.

    `wrong_number`: `first` was done, with a number that must not be. `made_up`: `first` was done
    later, or its number put right. `put_right`: and `step` was done once more after it. `unsure`:
    something was not made out where `first` belongs, and may have been it.
    """

    step: str
    first: str
    because: str
    safety: bool
    at_s: float
    wrong_number: bool = False
    made_up: bool = False
    put_right: bool = False
    unsure: bool = False


def orders_turned_round(moments: Sequence[Moment], begun_s: float) -> tuple[TurnedRound, ...]:
    """Each wrong order of the attempt, in the order it happened.

    A step left out on purpose, said in the same breath, or during which beats run, may come later
    if it is not one of safety. What was turned round in one round, no later one puts right.
    """
    done: list[str] = []
    settled: list[TurnedRound] = []
    found: list[TurnedRound] = []
    for moment in moments:
        together = [str(data["step"]) for data in moment.noted("step-done")]
        told = moment.before
        for note in moment.notes:
            step_id = str(note.data.get("step", ""))
            if note.name in {"round", "complication"}:
                again = _opened_again(moment, note.name, note.data)
                done = [step for step in done if step not in again]
                if note.name == "round":
                    settled += [turned for turned in found if turned.step in again]
                    found = [turned for turned in found if turned.step not in again]
            elif note.name == "reading-stands":
                told = moment.after
                found = [_number_told(moment.after, turned, step_id) for turned in found]
            elif note.name == "taken-back":
                done = [step for step in done if step != step_id]
                found = [turned for turned in found if turned.step != step_id]
            elif note.name in {"step-done", "done-again"}:
                found = [_later(turned, step_id) for turned in found]
                if note.name == "step-done":
                    step = moment.after.step(step_id) or moment.before.step(step_id)
                    if step is not None and step_id not in done:
                        at_s = round(moment.event.at_s - begun_s, 3)
                        found += _of_step(moment.before, told, step, done, together, at_s)
                    done.append(step_id)
    return tuple(sorted((*settled, *found), key=lambda turned: turned.at_s))


def doubtful(
    turned: Sequence[TurnedRound],
    garbled: Sequence[Spoken],
    done_s: Mapping[str, float],
    skill: Skill,
) -> tuple[TurnedRound, ...]:
    """The same orders; unsure are those before which something was not made out in its place.

    `done_s` tells when each step was first done, in the seconds of what was said.
    """
    order = [step.id for step in skill.steps]

    def place_in_doubt(each: TurnedRound) -> bool:
        if each.wrong_number or each.first not in order:
            return False
        earlier = [done_s[s] for s in order[: order.index(each.first)] if s in done_s]
        begin_s = max((at_s for at_s in earlier if at_s <= each.at_s), default=0.0)
        return any(begin_s <= said.at_s <= each.at_s for said in garbled)

    return tuple(replace(each, unsure=place_in_doubt(each)) for each in turned)


def _opened_again(moment: Moment, name: str, data: Fields) -> frozenset[str]:
    """The steps that are to be done anew: those of the next round, or what a complication opens."""
    skill = moment.before.skill
    if name == "round":
        return frozenset(s for r in skill.repeats if r.id == data["repeat"] for s in r.steps)
    opened = (c.reopens for c in skill.complications if c.id == data["complication"])
    return frozenset(step for steps in opened for step in steps)


def _number_told(after: State, turned: TurnedRound, step: str) -> TurnedRound:
    """A wrong number is made up for as soon as the right one stands."""
    if turned.wrong_number and step == turned.first and not wrong_number(after, step):
        return replace(turned, made_up=True)
    return turned


def wrong_number(state: State, step: str) -> bool:
    """Whether a number that the learner chose for a step stands outside its range."""
    return any(
        standing.step == step and not standing.in_range and _chosen(state, standing)
        for standing in state.readings
    )


def _chosen(state: State, standing: Standing) -> bool:
    """As its reading says; as usual for its quantity where the step asks for it no more."""
    step = state.step(standing.step)
    specs = step.readings if step else ()
    spec = next((spec for spec in specs if spec.name == standing.name), None)
    return spec.counts_for_safety if spec else standing.quantity in CHOSEN


def _later(turned: TurnedRound, step: str) -> TurnedRound:
    if step == turned.first and not turned.wrong_number:
        return replace(turned, made_up=True)
    if step == turned.step and turned.made_up:
        return replace(turned, put_right=True)
    return turned


def _of_step(
    before: State,
    told: State,
    step: Step,
    done: Sequence[str],
    together: Sequence[str],
    at_s: float,
) -> Iterator[TurnedRound]:
    """The orders that a step turns round; `told` has the numbers that stand by then."""
    paced = [before.pace.step] if before.pace else []
    excused = {*before.skipped, *together, *paced}
    for needed in step.after:
        if needed.step in done and needed.safety and wrong_number(told, needed.step):
            yield replace(_turned(step, needed, at_s), wrong_number=True)
        elif needed.step in done or (not needed.safety and needed.step in excused):
            continue
        elif before.step(needed.step) is not None:
            yield _turned(step, needed, at_s)


def _turned(step: Step, needed: Prerequisite, at_s: float) -> TurnedRound:
    return TurnedRound(step.id, needed.step, needed.because, needed.safety, at_s)
