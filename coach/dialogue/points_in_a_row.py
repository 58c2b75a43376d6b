"""The points of a score told by the names of its parts, or of all parts in one breath: "four, five,
six", "eyes four, verbal five", "the pulse gets two points"."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Doubt, Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.impossible import BY_NAME_FROM, RULED_OUT_FROM, Ends, beyond, points_of
from coach.dialogue.numbers import reading_data
from coach.dialogue.progress import awaits_a_number, missing_first
from coach.dialogue.state import Proposal, ReadBack, State
from coach.dialogue.turn import About, Turn
from coach.language.clause_words import DETERMINERS
from coach.language.numbers import tells_a_number
from coach.language.told_in_a_row import points_by_name, points_in_a_row
from coach.procedure.model import ReadingSpec, ScoreSpec, Step

Part = tuple[Step, ReadingSpec]


def told_in_a_row(state: State, meaning: Meaning) -> tuple[Proposal, ...]:
    """The points of the parts of a score, told in their order or each by its name; none elsewhere.

    They stand only after a yes where somebody is led, but for a part told alone by its name when it
    is the one that was asked for. In the third way of talking one part alone is no row, unless
    parts were read back and it takes the place of one.
    """
    if state.conversation < RULED_OUT_FROM or not meaning.text:
        return ()
    asked = _read_back(state)
    parts = asked or _awaited(state)
    row = points_in_a_row(meaning.text, {spec.name: _names(step, spec) for step, spec in parts})
    if len(row) < (1 if asked else 2):
        row, parts = {}, []
    if not row and state.conversation >= BY_NAME_FROM:
        row, parts = _by_name(state, meaning)
    told = [(step, spec, row[spec.name]) for step, spec in parts if spec.name in row]
    if not all(_can_be(state, *one) for one in told):
        return ()
    alone = told[0] if len(told) == 1 and told[0][:2] == awaits_a_number(state) else None
    if alone is not None and not isinstance(state.pending, ReadBack):
        return (_as_asked_for(_proposal(*alone), meaning),)
    return tuple(_proposal(*one) for one in told)


def named_and_impossible(state: State, meaning: Meaning) -> tuple[Step, ReadingSpec, Ends] | None:
    """The part of a score named with points that it cannot have, and its fewest and most."""
    if state.conversation < BY_NAME_FROM or not meaning.text:
        return None
    row, parts = _by_name(state, meaning, only=True)
    for step, spec in parts:
        if spec.name in row and missing_first(state, step) is None:
            ends = beyond(state, step, spec, _proposal(step, spec, row[spec.name]).reading)
            if ends is not None:
                return step, spec, ends
    return None


def without_choice(state: State, meaning: Meaning) -> Meaning:
    """The meaning without what points tell again of a step that chooses: "no response, one point"
    and "to pain, two" score a part, and choose no other patient."""
    awaited = awaits_a_number(state)
    if state.conversation < BY_NAME_FROM or awaited is None or points_of(state, *awaited) is None:
        return meaning
    if not tells_a_number(meaning.text):
        return meaning
    chosen = {step.id for step in state.skill.steps if step.chooses and step.id in state.done}
    kept = tuple(mention for mention in meaning.steps if mention.step not in chosen)
    return meaning if len(kept) == len(meaning.steps) else replace(meaning, steps=kept)


def read_back_row(turn: Turn, row: tuple[Proposal, ...], instead: bool = False) -> None:
    """Ask whether the points of a row are right, with those read back before that it leaves.

    `instead`: a single number read back before was denied with them, and is none of them.
    """
    told = {(proposal.step, proposal.name): proposal for proposal in row}
    pending = turn.state.pending
    earlier = pending.proposals if isinstance(pending, ReadBack) else ()
    if instead and len(earlier) == 1:
        earlier = ()
    kept = [told.pop((one.step, one.name), one) for one in earlier]
    proposals = (*kept, *told.values())
    for one in row:
        turn.note("reading-offered", **reading_data(one.step, one.name, one.reading))
    turn.state = replace(turn.state, pending=ReadBack(proposals), misses=0)
    turn.say(lines.question_of_numbers(proposals), About.NUMBERS)


def _by_name(
    state: State, meaning: Meaning, only: bool = False
) -> tuple[dict[str, int], list[Part]]:
    """The points told by name of the score that is spoken of now, and all its parts.

    After some of its parts are told, all of them may be told anew in their order, unless `only`
    what is named counts.
    """
    score, asked_for = _score_in_hand(state)
    if score is None:
        return {}, []
    named = parts_of(state, score)
    parts = [(step, spec) for step, spec, _ in named]
    names = {spec.name: said for _, spec, said in named}
    row = dict(points_by_name(meaning.text, names))
    if not row and asked_for and not only:
        row = dict(points_in_a_row(meaning.text, names))
    return row, parts


def parts_of(state: State, score: ScoreSpec) -> list[tuple[Step, ReadingSpec, tuple[str, ...]]]:
    """The parts of a score, each with its step and with what it is called."""
    steps = [step for step in state.skill.steps if step.id in score.parts]
    each = [(step, spec) for step in steps for spec in step.readings]
    return [(*part, _names(*part)) for part in each if points_of(state, *part)]


def _score_in_hand(state: State) -> tuple[ScoreSpec | None, bool]:
    """The score a part of which is in question or asked for, else the last one begun; and whether a
    part is asked for."""
    pending, awaited = state.pending, awaits_a_number(state)
    now = pending.proposals[0].step if isinstance(pending, ReadBack) else None
    if now is None and awaited is not None:
        now = awaited[0].id
    scores = [step.score for step in state.skill.steps if step.score is not None]
    for score in scores:
        if now in score.parts:
            return score, True
    begun = {reading.step for reading in state.readings}
    return next((s for s in reversed(scores) if begun & set(s.parts)), None), False


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


def _as_asked_for(proposal: Proposal, meaning: Meaning) -> Proposal:
    """The points of the part that was asked for, as sure as any number that is asked for."""
    heard = [r for r in meaning.readings if r.quantity is proposal.reading.quantity]
    if len(heard) != 1 or heard[0].values != proposal.reading.values:
        return proposal
    beyond_the_usual = proposal.reading.doubt is Doubt.OUT_OF_RANGE
    doubt = proposal.reading.doubt if beyond_the_usual else heard[0].doubt
    return replace(proposal, reading=replace(proposal.reading, doubt=doubt))


def _proposal(step: Step, spec: ReadingSpec, points: int) -> Proposal:
    doubt = Doubt.HEDGED if spec.low <= points <= spec.high else Doubt.OUT_OF_RANGE
    reading = Reading(Quantity.COUNT, (float(points),), Unit.COUNTED, True, doubt)
    return Proposal(step.id, spec.name, reading)
