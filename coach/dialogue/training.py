"""A training cylinder without pressure: told by the learner, asked about, and a pressure assumed.

"Empty" and "zero" may be told of a real cylinder that has to be changed, so they are asked about.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from coach.core.meaning import CylinderTold, Doubt, Meaning, Reading
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.numbers import let_stand, reading_data
from coach.dialogue.progress import awaits_a_number, missing_first
from coach.dialogue.state import ConfirmTraining, Proposal, ReadBack, State
from coach.dialogue.turn import About, Turn
from coach.dialogue.units_asked import pressure_unit, with_unit
from coach.procedure.model import ReadingSpec, Step


@dataclass(frozen=True, slots=True)
class Told:
    """What was said of a cylinder, and the reading that waits for its pressure, if one does.

    `zero` is the pressure of zero that was read of it.
    """

    what: CylinderTold
    step: Step | None = None
    spec: ReadingSpec | None = None
    zero: Reading | None = None


def cylinder_asked(state: State) -> tuple[Step, ReadingSpec] | None:
    """The step that waits for the pressure of a cylinder that may be one to train with."""
    if not isinstance(state.pending, ReadBack):
        awaited = awaits_a_number(state)
        return awaited if awaited and awaited[1].assumed else None
    for proposal in state.pending.proposals:
        step = state.step(proposal.step)
        for spec in step.readings if step else ():
            if step and spec.name == proposal.name and spec.assumed:
                return step, spec
    return None


def told_of_cylinder(state: State, meaning: Meaning) -> tuple[Told | None, Meaning]:
    """What is to be acted on of what was said of the cylinder, and what else was said.

    None where a scenario shows a pressure, and for an "empty" or a zero of a cylinder that is
    known to be real, which is a reading like any other.
    """
    what = meaning.cylinder
    if what is None or meaning.command is not None or _shown(state):
        return None, meaning
    place = cylinder_asked(state)
    if what is CylinderTold.EMPTY and (
        place is None or (place[0].id in state.real and not state.training)
    ):
        return None, meaning
    of_it = place[0].id if place else ""
    steps = tuple(
        mention
        for mention in meaning.steps
        if (step := state.step(mention.step)) is not None
        and step.id != of_it
        and missing_first(state, step) is None
    )
    pressures = [r for r in meaning.readings if r.quantity is Quantity.PRESSURE]
    zero = next((reading for reading in pressures if reading.values[0] == 0), None)
    readings = tuple(reading for reading in meaning.readings if reading is not zero)
    rest = replace(meaning, steps=steps, readings=readings, answer=None, cylinder=None)
    step, spec = place or (None, None)
    return Told(what, step, spec, zero), rest


def _shown(state: State) -> bool:
    """Whether a scenario says what the gauge shows."""
    playing = state.started is not None and state.started.scenario and state.skill_file.scenario
    findings = playing.findings if playing else ()
    return any(f.value is not None and f.value.quantity is Quantity.PRESSURE for f in findings)


def act_on(turn: Turn, told: Told) -> None:
    """Take note of what the cylinder is, assume a pressure, or ask whether one is to be assumed."""
    training = told.what is CylinderTold.TRAINING
    if told.what is CylinderTold.REAL:
        turn.note("real-cylinder")
        turn.state = replace(turn.state, training=False, pending=None)
        turn.say(lines.A_REAL_ONE if told.step else "", About.FRAME)
        return
    if training:
        turn.note("training-cylinder")
        turn.state = replace(turn.state, training=True)
    if told.step is None or told.spec is None:
        turn.say(lines.WILL_ASSUME, About.FRAME)
    elif turn.state.training:
        assume(turn, told.step, told.spec)
    else:
        turn.note("training-asked", step=told.step.id)
        question = ConfirmTraining(told.step.id, told.spec.name, told.zero)
        turn.state = replace(turn.state, pending=question, misses=0)
        turn.drop(About.NUMBERS)
        turn.say(lines.IS_IT_FOR_TRAINING, About.FRAME)


def assume(turn: Turn, step: Step, spec: ReadingSpec) -> None:
    """Propose the pressure that is assumed here, unless the learner has just named another.

    It stands like a number that was read; a quiet coach, which reads nothing back, says it.
    """
    if spec.assumed is None:
        return
    value, unit = spec.assumed.value, spec.assumed.unit
    proposal = Proposal(
        step.id, spec.name, Reading(Quantity.PRESSURE, (value,), unit, unit_said=True), assumed=True
    )
    pending = turn.state.pending
    proposals = pending.proposals if isinstance(pending, ReadBack) else ()
    named = [p for p in proposals if (p.step, p.name) == (step.id, spec.name)]
    if named and named[0].reading.values[0]:
        proposal = replace(named[0], assumed=True)
    others = tuple(p for p in proposals if p not in named)
    data = reading_data(step.id, spec.name, proposal.reading)
    turn.note("reading-offered", **data, assumed=True)
    turn.state = replace(turn.state, pending=ReadBack((proposal, *others)), misses=0)
    if turn.state.quiet:
        let_stand(turn, "assumed")
        turn.say(lines.assumed_now(spec.assumed), About.FRAME)
        return
    turn.drop(About.NUMBERS)
    turn.say(lines.question_of_numbers((proposal, *others)), About.NUMBERS)


def answered_training(turn: Turn, meaning: Meaning, question: ConfirmTraining) -> bool:
    """A yes assumes a pressure; a no lets the zero be what was read. True if nothing is left."""
    step = turn.state.step(question.step)
    turn.state = replace(turn.state, pending=None)
    if step is None:
        return False
    spec = next(s for s in step.readings if s.name == question.name)
    rest = bool(meaning.steps or meaning.readings or meaning.command)
    if meaning.answer == "yes":
        turn.note("training-cylinder")
        turn.state = replace(turn.state, training=True)
        assume(turn, step, spec)
        if rest:
            turn.drop(About.NUMBERS)
        return not rest
    turn.note("real-cylinder")
    turn.state = replace(turn.state, real=turn.state.real | {step.id})
    if not rest and not turn.state.quiet:
        _take_as_read(turn, step, spec, question.said)
    return not rest


def _take_as_read(turn: Turn, step: Step, spec: ReadingSpec, said: Reading | None) -> None:
    """The cylinder is real: its zero is read back, needing a yes; without one it is asked for."""
    if said is None:
        turn.state = replace(turn.state, asked=step.id)
        turn.say(lines.sentence(with_unit(spec, pressure_unit(turn.state))))
        return
    proposal = Proposal(step.id, spec.name, replace(said, doubt=said.doubt or Doubt.HEDGED))
    turn.note("reading-offered", **reading_data(step.id, spec.name, proposal.reading))
    turn.state = replace(turn.state, pending=ReadBack((proposal,)))
    turn.say(lines.question_of_numbers((proposal,)), About.NUMBERS)
