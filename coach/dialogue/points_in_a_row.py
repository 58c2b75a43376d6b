"""The parts of a score told in one breath: "four, five, six", "eyes four, verbal five"."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Doubt, Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.impossible import RULED_OUT_FROM, points_of
from coach.dialogue.progress import awaits_a_number, missing_first
from coach.dialogue.state import Proposal, ReadBack, State
from coach.dialogue.turn import About, Turn
from coach.language.clause_words import DETERMINERS
from coach.language.told_in_a_row import points_in_a_row
from coach.procedure.model import ReadingSpec, Step

Part = tuple[Step, ReadingSpec]


def told_in_a_row(state: State, meaning: Meaning) -> tuple[Proposal, ...]:
    """The points of the parts of a score, told in their order or each by its name; none elsewhere.

    They stand only after a yes where somebody is led. One part alone is no row, unless parts were
    read back and it takes the place of one.
    """
    if state.conversation < RULED_OUT_FROM or not meaning.text:
        return ()
    asked = _read_back(state)
    parts = asked or _awaited(state)
    row = points_in_a_row(meaning.text, {spec.name: _names(step, spec) for step, spec in parts})
    if len(row) < (1 if asked else 2):
        return ()
    told = [(step, spec, row[spec.name]) for step, spec in parts if spec.name in row]
    return tuple(_proposal(*one) for one in told) if all(_can_be(state, *t) for t in told) else ()


def read_back_row(turn: Turn, row: tuple[Proposal, ...]) -> None:
    """Ask whether the points of a row are right, with those read back before that it leaves."""
    told = {(proposal.step, proposal.name): proposal for proposal in row}
    pending = turn.state.pending
    earlier = pending.proposals if isinstance(pending, ReadBack) else ()
    kept = [told.pop((one.step, one.name), one) for one in earlier]
    proposals = (*kept, *told.values())
    turn.state = replace(turn.state, pending=ReadBack(proposals), misses=0)
    turn.say(lines.question_of_numbers(proposals), About.NUMBERS)


def _read_back(state: State) -> list[Part]:
    """The parts that were read back together."""
    pending = state.pending
    if not isinstance(pending, ReadBack) or len(pending.proposals) < 2:
        return []
    return [
        (step, spec)
        for proposal in pending.proposals
        if (step := state.step(proposal.step)) is not None
        for spec in step.readings
        if spec.name == proposal.name and points_of(state, step, spec)
    ]


def _awaited(state: State) -> list[Part]:
    """The parts still lacking of the score whose part is asked for now, which is their first."""
    awaited = awaits_a_number(state)
    if awaited is None or points_of(state, *awaited) is None:
        return []
    scores = (step.score for step in state.skill.steps if step.score is not None)
    of = next(score for score in scores if awaited[0].id in score.parts)
    steps = (step for step in state.skill.steps if step.id in of.parts)
    parts = [(step, spec) for step in steps for spec in step.readings if _lacks(state, step, spec)]
    return parts if parts[:1] == [awaited] else []


def _lacks(state: State, step: Step, spec: ReadingSpec) -> bool:
    standing = state.standing(step.id, spec.name)
    return points_of(state, step, spec) is not None and not (standing and standing.accepted)


def _names(step: Step, spec: ReadingSpec) -> tuple[str, ...]:
    """What a part is called: as the score names it, or as its step is named."""
    alone = step.name.lower().split() if len(step.readings) == 1 else []
    return (spec.name, *(word for word in alone if word not in DETERMINERS))


def _can_be(state: State, step: Step, spec: ReadingSpec, points: int) -> bool:
    low, high = points_of(state, step, spec) or (0, -1)
    lawful = state.quiet or missing_first(state, step) is None
    return low <= points <= high and lawful


def _proposal(step: Step, spec: ReadingSpec, points: int) -> Proposal:
    doubt = Doubt.HEDGED if spec.low <= points <= spec.high else Doubt.OUT_OF_RANGE
    reading = Reading(Quantity.COUNT, (float(points),), Unit.COUNTED, True, doubt)
    return Proposal(step.id, spec.name, reading)
