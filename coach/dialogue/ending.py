"""The summary of a state, at the end or anywhere on the way."""

from __future__ import annotations

from coach.dialogue.state import State
from coach.report.summary import BreachDone, ReadingDone, RoundsDone, Summary


def summary_of(state: State) -> Summary:
    """What was done, missed and read up to this state."""
    skill = state.skill
    rules = state.skill_file.in_force
    return Summary(
        skill=skill.id,
        title=skill.title,
        done=tuple(credit.step for credit in state.credits),
        missed=tuple(step.id for step in skill.steps if step.id not in state.done),
        unsaid=tuple(credit.step for credit in state.credits if credit.step in state.unsaid),
        out_of_order=tuple(credit.step for credit in state.credits if credit.early),
        readings=tuple(
            ReadingDone(r.step, r.name, r.quantity, r.values, r.unit, r.in_range, r.assumed)
            for r in state.readings
        ),
        oxygen_minutes=state.told_minutes,
        oxygen_assumed=state.told_assumed,
        seconds=state.at_s - state.begun_s,
        names={step.id: step.name for step in skill.steps},
        clocks=state.clocks,
        cautions=skill.cautions,
        forbidden=_breaches(state),
        rounds=_rounds(state),
        program=rules.named if rules else "",
        weaker=tuple(f"{what} {reason}" for what, reason in rules.weaker) if rules else (),
    )


def _breaches(state: State) -> tuple[BreachDone, ...]:
    acts = {act.id: act for act in state.skill.forbidden}
    return tuple(
        BreachDone(breach.act, act.name, act.because, breach.at_s - state.begun_s)
        for breach in state.breaches
        if (act := acts.get(breach.act)) is not None
    )


def _rounds(state: State) -> tuple[RoundsDone, ...]:
    repeats = {repeat.id: repeat for repeat in state.skill.repeats}
    return tuple(
        RoundsDone(
            round_.repeat,
            repeat.name,
            round_.number if set(repeat.steps) <= state.done else round_.number - 1,
            repeat.times,
        )
        for round_ in state.rounds
        if (repeat := repeats.get(round_.repeat)) is not None
    )
