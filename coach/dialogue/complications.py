"""Complications: they come, open steps again, and go with a wrong number that brought them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Meaning, Reading
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.just_given import RECENT_S
from coach.dialogue.state import Brought, Standing, State
from coach.dialogue.turn import About, Turn
from coach.procedure.model import Complication, ReadingSpec, Step
from coach.trade.unit_conversions import converted_to

_CORRECTING = frozenset("no nope sorry correction meant mean misread actually rather wrong".split())
"""Words with which a number takes the place of the one before it."""


def come(turn: Turn, complication_id: str, announced: bool = True) -> None:
    """A complication comes: open its steps and change its settings.

    It is `announced`, unless the learner has found it himself.
    """
    state = turn.state
    complication = next(c for c in state.skill.complications if c.id == complication_id)
    turn.state = replace(
        turn.state,
        to_come=tuple(c for c in state.to_come if c != complication_id),
        came=state.came | {complication_id},
        choices={**state.choices, **complication.sets},
        told_early=(),  # the patient is another now
        asked=None,
        focus=None,
    )
    open_again(turn, complication.reopens)
    turn.note("complication", complication=complication_id, reopened=list(complication.reopens))
    if announced:
        turn.drop(About.STEPS, About.NUMBERS, About.OXYGEN)
        turn.say(complication.announce, About.FINDING)


def come_again(turn: Turn, complication_id: str, announced: bool = True) -> None:
    """A complication that has come already comes once more: its own steps are to be done anew."""
    state = turn.state
    complication = next(c for c in state.skill.complications if c.id == complication_id)
    own = tuple(step.id for step in state.skill.steps if step.complication == complication_id)
    turn.state = replace(
        state,
        choices={**state.choices, **complication.sets},
        told_early=(),
        asked=None,
        focus=None,
    )
    open_again(turn, (*own, *complication.reopens))
    reopened = list(complication.reopens)
    turn.note("complication", complication=complication_id, reopened=reopened)
    if announced:
        turn.drop(About.STEPS, About.NUMBERS, About.OXYGEN)
        turn.say(complication.announce, About.FINDING)


def open_again(turn: Turn, steps: Sequence[str]) -> None:
    """Steps that were done have to be done once more: what they rested on has changed."""
    state = turn.state
    for step in steps:
        if step in state.done:
            turn.note("opened-again", step=step)
    turn.state = replace(
        state,
        credits=tuple(credit for credit in state.credits if credit.step not in steps),
        readings=tuple(reading for reading in state.readings if reading.step not in steps),
        timed=tuple(step for step in state.timed if step not in steps),
    )


def remember_brought(turn: Turn, before: State, brought: Complication, by: Standing) -> None:
    """Keep what stood before a number brought this, so that it can be called off."""
    again = set(brought.reopens)
    kept = Brought(
        complication=brought.id,
        by=by,
        was_to_come=brought.id in before.to_come,
        choices={name: before.choices[name] for name in brought.sets if name in before.choices},
        credits=tuple(credit for credit in before.credits if credit.step in again),
        readings=tuple(reading for reading in before.readings if reading.step in again),
        timed=tuple(step for step in before.timed if step in again),
    )
    turn.state = replace(turn.state, brought=(*turn.state.brought, kept))


def is_bad(spec: ReadingSpec, standing: Standing | Reading) -> bool:
    """Whether a number is a finding from which something follows."""
    value = converted_to(standing.values[0], standing.unit, spec.unit)
    return value is not None and spec.is_bad(value)


def corrected(state: State, reading: Reading, meaning: Meaning) -> tuple[Step, ReadingSpec] | None:
    """The reading whose bad number this one takes the place of, as the words say; else None."""
    if meaning.answer != "no" and _CORRECTING.isdisjoint(meaning.text.split()):
        return None
    for brought in reversed(state.brought):
        step = state.step(brought.by.step)
        for spec in step.readings if step else ():
            if step and spec.name == brought.by.name and brought.by.quantity is reading.quantity:
                return step, spec
    return None


def just_brought(state: State) -> Quantity | None:
    """The quantity of a number that has just brought something, and may be corrected bare."""
    for brought in reversed(state.brought):
        if state.at_s - brought.by.at_s <= RECENT_S:
            return brought.by.quantity
    return None


def brought_by(state: State, step: Step, spec: ReadingSpec) -> Brought | None:
    """What the number of a reading has brought and could still be called off, if anything."""
    for brought in state.brought:
        if (brought.by.step, brought.by.name) == (step.id, spec.name):
            return brought
    return None


def call_off(turn: Turn, brought: Brought) -> None:
    """The number that brought a complication was wrong: what was not done for it yet goes.

    What it opened again is done as before, unless it has been done anew; what was done for it
    stays done.
    """
    state = turn.state
    own = [step for step in state.skill.steps if step.complication == brought.complication]
    still = [step for step in own if step.id not in state.done]
    state = replace(state, brought=tuple(each for each in state.brought if each is not brought))
    if len(still) == len(own):
        state = replace(
            state,
            came=state.came - {brought.complication},
            to_come=(*state.to_come, *([brought.complication] if brought.was_to_come else [])),
            choices={**state.choices, **brought.choices},
        )
    else:
        state = replace(state, called_off=state.called_off | {step.id for step in still})
    back = [credit for credit in brought.credits if credit.step not in state.done]
    ids = {credit.step for credit in back}
    gone = {step.id for step in still}
    turn.state = replace(
        state,
        credits=tuple(sorted((*state.credits, *back), key=lambda credit: credit.at_s)),
        readings=(
            *state.readings,
            *(
                reading
                for reading in brought.readings
                if reading.step in ids and state.standing(reading.step, reading.name) is None
            ),
        ),
        timed=(*state.timed, *(step for step in brought.timed if step in ids)),
        skipped=tuple(step for step in state.skipped if step not in gone),
        asked=None,
        focus=None,
    )
    turn.note("called-off", complication=brought.complication, steps=sorted(gone))
    if still:
        turn.say(lines.no_need_for([step.name for step in still]))
