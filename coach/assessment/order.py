"""What was done before something that has to come first, and whether it was put right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from coach.assessment.replay import Moment
from coach.dialogue.state import State
from coach.procedure.model import Prerequisite, Step


@dataclass(frozen=True, slots=True)
class TurnedRound:
    """Step `step` was done before `first`, which had to come first, `because` of that.

    `made_up`: `first` was done later. `put_right`: and `step` was done once more after it.
    """

    step: str
    first: str
    because: str
    safety: bool
    at_s: float
    made_up: bool = False
    put_right: bool = False


def orders_turned_round(moments: Sequence[Moment], begun_s: float) -> tuple[TurnedRound, ...]:
    """Each wrong order of the attempt, in the order it happened.

    A step left out on purpose, said in the same breath, or during which beats run, may come later
    if it is not one of safety.
    """
    done: list[str] = []
    found: list[TurnedRound] = []
    for moment in moments:
        together = [str(data["step"]) for data in moment.noted("step-done")]
        for note in moment.notes:
            step_id = str(note.data.get("step", ""))
            if note.name == "taken-back":
                done = [step for step in done if step != step_id]
                found = [turned for turned in found if turned.step != step_id]
            elif note.name in {"step-done", "done-again"}:
                found = [_later(turned, step_id) for turned in found]
                if note.name == "step-done":
                    step = moment.after.step(step_id) or moment.before.step(step_id)
                    if step is not None and step_id not in done:
                        at_s = round(moment.event.at_s - begun_s, 3)
                        found += _of_step(moment.before, step, done, together, at_s)
                    done.append(step_id)
    return tuple(found)


def _later(turned: TurnedRound, step: str) -> TurnedRound:
    if step == turned.first:
        return replace(turned, made_up=True)
    if step == turned.step and turned.made_up:
        return replace(turned, put_right=True)
    return turned


def _of_step(
    before: State, step: Step, done: Sequence[str], together: Sequence[str], at_s: float
) -> Iterator[TurnedRound]:
    paced = [before.pace.step] if before.pace else []
    excused = {*before.skipped, *together, *paced}
    for needed in step.after:
        if needed.step in done or (not needed.safety and needed.step in excused):
            continue
        if before.step(needed.step) is not None:
            yield _turned(step, needed, at_s)


def _turned(step: Step, needed: Prerequisite, at_s: float) -> TurnedRound:
    return TurnedRound(step.id, needed.step, needed.because, needed.safety, at_s)
