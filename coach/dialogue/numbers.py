"""Readings: heard, read back, contradicted, standing."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from coach.core.meaning import Doubt, Meaning, Outlook, Reading
from coach.core.plain import Plain, one_or_all
from coach.core.units import RATES, Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.burned import unlike_the_parts
from coach.dialogue.complications import brought_by, call_off, corrected, is_bad
from coach.dialogue.crediting import bring, credit, refuse
from coach.dialogue.impossible import BY_NAME_FROM, Ends, beyond, points_of
from coach.dialogue.interval import ask_to_count
from coach.dialogue.oxygen import take_into_account
from coach.dialogue.pressures import ask_for_all, ask_for_the_higher_first, sums_of, unlikely_pair
from coach.dialogue.progress import (
    asked_anew,
    awaits_a_number,
    missing_first,
    next_reading,
    open_in_their_order,
    suggested,
)
from coach.dialogue.scores import tell_scores
from coach.dialogue.state import AskedAnew, Proposal, ReadBack, Standing, State, WhichUnit
from coach.dialogue.turn import About, Turn
from coach.dialogue.two_of_a_kind import held_against_its_own
from coach.dialogue.units_asked import pressure_unit, which_unit, with_unit
from coach.dialogue.weight import beyond_by_weight
from coach.procedure.model import COUNTED, ReadingSpec, Step
from coach.trade.questions import Question
from coach.trade.rates import CountedRate, rate_from_count

_MEASURED = frozenset(
    {
        *(Quantity.PRESSURE, Quantity.FLOW, Quantity.SATURATION, Quantity.GLUCOSE),
        *(Quantity.BLOOD_PRESSURE, Quantity.VACUUM, Quantity.AIRWAY_PRESSURE),
    }
)
"""What an instrument shows, now this and later that."""

RATE = "rate"
"""The name under which the rate of a count stands beside it."""


def take_readings(turn: Turn, readings: Sequence[Reading], mentioned: Collection[str] = ()) -> bool:
    """Read back the numbers that some step waits for; false when none was awaited.

    A number belongs to the step of which the same breath spoke (`mentioned`), if it has one to
    give. That of a done step is taken anew, unless other steps were spoken of: "the gauge reads
    zero" is then about them.
    """
    pending = turn.state.pending
    proposals = list(pending.proposals) if isinstance(pending, ReadBack) else []
    awaited = False
    unclear: WhichUnit | None = None
    impossible: tuple[Step, ReadingSpec, Ends] | None = None
    for reading in readings:
        place = place_of(turn, reading, mentioned, proposals)
        if place is None:
            awaited = _counted_without_me(turn, reading) or awaited
            continue
        step, spec = place
        reading = held_against_its_own(step, spec, reading)
        proposals = [p for p in proposals if (p.step, p.name) != (step.id, spec.name)]
        if (
            refuse(turn, step)
            or (spec.name == COUNTED and ask_to_count(turn, step))
            or ask_for_all(turn, step, spec, reading)
            or ask_for_the_higher_first(turn, step, spec, reading)
        ):
            awaited = True
            continue
        if reading.could_be_in:
            unclear = WhichUnit(step.id, spec.name, reading)
            awaited = True
            continue
        if (ends := beyond(turn.state, step, spec, reading)) is not None:
            if mentioned and step.id not in mentioned:
                continue  # told of another step, it was not meant for this one
            turn.note("impossible", **reading_data(step.id, spec.name, reading))
            impossible, awaited = (step, spec, ends), True
            continue
        if _is_unasked(turn.state, step, spec, reading) or not tells_it(spec, reading):
            reading = replace(reading, doubt=reading.doubt or Doubt.HEDGED)
        proposals.append(Proposal(step.id, spec.name, reading, is_assumed(turn.state, spec)))
        turn.note("reading-offered", **reading_data(step.id, spec.name, reading))
        awaited = True
    if impossible is not None:
        ask_for_another(turn, *impossible, only=not proposals)
    elif unclear is not None and not proposals:
        _ask_for_unit(turn, unclear)
    if proposals and awaited:
        turn.state = replace(turn.state, pending=ReadBack(tuple(proposals)), misses=0)
        turn.sentences = turn.sentences[:1] if not turn.says(About.WARNING) else turn.warnings()
        turn.say(lines.question_of_numbers(proposals), About.NUMBERS)
    return awaited


def take_corrections(turn: Turn, meaning: Meaning) -> tuple[Reading, ...]:
    """Read back the numbers that take the place of one that has brought something: "no,
    ninety-six". The others are returned."""
    others: list[Reading] = []
    for reading in meaning.readings:
        place = corrected(turn.state, reading, meaning)
        if place is None or reading.could_be_in:
            others.append(reading)
            continue
        step, spec = place
        if (ends := beyond(turn.state, step, spec, reading)) is not None:
            turn.note("impossible", **reading_data(step.id, spec.name, reading))
            ask_for_another(turn, step, spec, ends, only=True)
            continue
        proposal = Proposal(step.id, spec.name, reading, corrects=True)
        turn.note("reading-offered", **reading_data(step.id, spec.name, reading))
        turn.state = replace(turn.state, pending=ReadBack((proposal,)), misses=0)
        turn.drop(About.NUMBERS)
        turn.say(lines.question_of_numbers((proposal,)), About.NUMBERS)
    return tuple(others)


def ask_for_another(turn: Turn, step: Step, spec: ReadingSpec, ends: Ends, only: bool) -> None:
    """Say what a number that cannot be goes from and to; where it was the `only` one, ask anew."""
    told = lines.sentence(spec.outside) if spec.scale else ""
    turn.say(told or lines.cannot_be(*ends), About.STEPS if only else About.WARNING)
    if not only:
        return
    asked = step.id if step.id not in turn.state.done else None
    turn.state = replace(turn.state, pending=None, asked=asked, misses=0)
    wait_for(turn, step, spec)
    turn.say(lines.sentence(with_unit(spec, pressure_unit(turn.state))))
    turn.led = True


def wait_for(turn: Turn, step: Step, spec: ReadingSpec) -> None:
    """The next number is for this reading, which has just been asked for again."""
    if turn.state.conversation >= BY_NAME_FROM:
        turn.state = replace(turn.state, asked_anew=AskedAnew(step.id, spec.name))


def _ask_for_unit(turn: Turn, unclear: WhichUnit) -> None:
    """Ask in which unit a bare number was meant: nobody can tell, and nothing is guessed."""
    turn.state = replace(turn.state, pending=unclear, asked=unclear.step, misses=0)
    turn.note("unit-unclear", **reading_data(unclear.step, unclear.name, unclear.reading))
    turn.sentences = turn.sentences[:1] if not turn.says(About.WARNING) else turn.warnings()
    turn.say(lines.sentence(which_unit(unclear.reading)), About.NUMBERS)


def place_of(
    turn: Turn,
    reading: Reading,
    mentioned: Collection[str],
    proposals: Sequence[Proposal] = (),
) -> tuple[Step, ReadingSpec] | None:
    """The reading a number is for: in question, asked for, open, or to be renewed."""
    state = turn.state
    for proposal in proposals:
        step = state.step(proposal.step)
        if step is not None:
            spec = next(s for s in step.readings if s.name == proposal.name)
            if proposal.reading.quantity is reading.quantity or _same_rate(spec, reading):
                return step, spec
    anew = asked_anew(state)
    if anew and (not mentioned or anew[0].id in mentioned) and _fits(anew[1], reading):
        return anew
    if part := _part_told_anew(state, reading, mentioned):
        return part
    taken = {(p.step, p.name) for p in proposals}
    candidates = open_in_their_order(state, mentioned)
    if mentioned and reading.quantity is Quantity.TIME:
        # "The score at one minute" tells of the score, not how long another step took.
        candidates = [step for step in candidates if step.id in mentioned]
    for step in candidates:
        for spec in step.readings:
            standing = state.standing(step.id, spec.name)
            if (step.id, spec.name) in taken or (standing is not None and standing.accepted):
                continue
            if _fits(spec, reading):
                return step, spec
    renewable = [step for step in reversed(state.skill.steps) if step.id in state.done]
    for step in renewable:
        if mentioned and step.id not in mentioned:
            continue
        for spec in step.readings:
            if _fits(spec, reading) and (reading.unit_said or _told_anew(state, spec, reading)):
                return step, spec
    return None


def _part_told_anew(
    state: State, reading: Reading, mentioned: Collection[str]
) -> tuple[Step, ReadingSpec] | None:
    """The part of a score that the words are about, where it stands already and no open step is
    spoken of: "her eyes are only three, she is sleepy" are no points of the limbs."""
    if state.conversation < BY_NAME_FROM or state.quiet or not state.done.issuperset(mentioned):
        return None
    for step in state.skill.steps:
        for spec in step.readings if step.id in mentioned else ():
            of_score = _fits(spec, reading) and points_of(state, step, spec) is not None
            if of_score and beyond(state, step, spec, reading) is None:
                return step, spec
    return None


def _told_anew(state: State, spec: ReadingSpec, reading: Reading) -> bool:
    """Whether a number without a unit is asked about as a later one of a done step.

    Nothing waits for "the gauge reads fifteen hundred", so it was named; where nobody asks about
    it, it changes nothing.
    """
    by_name = state.conversation >= BY_NAME_FROM and not state.quiet
    return by_name and spec.quantity in _MEASURED and spec.quantity is reading.quantity


def _counted_without_me(turn: Turn, reading: Reading) -> bool:
    """Ask for the count where a rate was told that the coach did not time; false elsewhere."""
    due = suggested(turn.state)
    if reading.quantity not in RATES or due is None or missing_first(turn.state, due):
        return False
    return ask_to_count(turn, due)


def _fits(spec: ReadingSpec, reading: Reading) -> bool:
    if spec.quantity is reading.quantity or _same_rate(spec, reading):
        return True
    return {spec.quantity, reading.quantity} == {Quantity.LENGTH, Quantity.SIZE} and (
        reading.unit is spec.unit
    )


def _same_rate(spec: ReadingSpec, reading: Reading) -> bool:
    """Whether one of two rates tells nothing of what is counted, so that it may be the other."""
    quantities = {spec.quantity, reading.quantity}
    return quantities <= RATES and Quantity.RATE in quantities


def _is_unasked(state: State, step: Step, spec: ReadingSpec, reading: Reading) -> bool:
    """Whether silence is not enough for a number that nobody asked for.

    Points, where another part of a score was asked for ("to voice, three" may tell of the eyes);
    a later number of a done step without its unit.
    """
    if state.conversation < BY_NAME_FROM or isinstance(state.pending, ReadBack):
        return False
    if points_of(state, step, spec) is not None:
        return awaits_a_number(state) != (step, spec)
    return step.id in state.done and not reading.unit_said and asked_anew(state) is None


def tells_it(spec: ReadingSpec, reading: Reading) -> bool:
    """Whether a number is told as it is, or as the plan that the step asks for.

    What should be, or is only thought of, is neither.
    """
    intended = reading.outlook is Outlook.INTENDED and spec.told_ahead
    return reading.outlook is None or intended


def is_assumed(state: State, spec: ReadingSpec) -> bool:
    """Whether a pressure is assumed, whoever names it: on a training cylinder none can be read."""
    return state.training and spec.assumed is not None


def reading_data(step: str, name: str, reading: Reading) -> dict[str, Plain]:
    """A reading as JSON values."""
    return {
        "step": step,
        "reading": name,
        "quantity": str(reading.quantity),
        "value": one_or_all(reading.values),
        "unit": str(reading.unit),
        "doubt": str(reading.doubt) if reading.doubt else None,
    }


def let_stand(turn: Turn, how: str) -> None:
    """The numbers in question stand; what follows from them is said and credited."""
    pending = turn.state.pending
    if not isinstance(pending, ReadBack):
        return
    turn.state = replace(turn.state, pending=None, last_credited=())
    touched: list[Step] = []
    for proposal in pending.proposals:
        step = turn.state.step(proposal.step)
        if step is None:
            continue
        spec = next(s for s in step.readings if s.name == proposal.name)
        brought = brought_by(turn.state, step, spec)
        if brought is not None and proposal.corrects:
            if is_bad(spec, proposal.reading):
                turn.note("bad-as-before", **reading_data(step.id, spec.name, proposal.reading))
                continue
            call_off(turn, brought)
        _stand(turn, step, spec, proposal, how)
        if step not in touched:
            touched.append(step)
    for step in touched:
        if next_reading(turn.state, step) is None and step.id not in turn.state.done:
            credit(turn, step)
        elif step.id not in turn.state.done:
            turn.state = replace(turn.state, asked=step.id)
        else:
            tell_scores(turn, step)
        for spec in step.readings:
            standing = turn.state.standing(step.id, spec.name)
            if standing is not None and standing.accepted and is_bad(spec, standing):
                bring(turn, step, standing)


def _stand(turn: Turn, step: Step, spec: ReadingSpec, proposal: Proposal, how: str) -> None:
    state, reading, assumed = turn.state, proposal.reading, proposal.assumed
    before = state.standing(step.id, spec.name)
    insisted = before is not None and before.same_as(reading)
    in_range = reading.doubt is not Doubt.OUT_OF_RANGE
    outside = spec.outside or f"that is outside {spec.low:g} to {spec.high:g} {spec.unit}"
    unlikely = (
        unlikely_pair(state, spec, reading)
        or unlike_the_parts(state, step, spec, reading)
        or beyond_by_weight(state, spec, reading)
    )
    if in_range and unlikely:
        in_range, outside = False, unlikely
    rate: CountedRate | Question | None = None
    if spec.name == COUNTED and step.count is not None:
        fastest = state.skill_file.numbers.fastest
        rate = rate_from_count(reading.values[0], step.count.seconds, step.count.of, fastest)
        if isinstance(rate, Question):
            turn.say(rate.words)
            turn.state = replace(state, asked=step.id)
            return
        turn.say(lines.counted_rate(rate), About.COUNT)
    standing = Standing(
        step=step.id,
        name=spec.name,
        quantity=reading.quantity,
        values=reading.values,
        unit=reading.unit,
        at_s=state.at_s,
        in_range=in_range,
        accepted=in_range or insisted or state.quiet,
        assumed=assumed,
    )
    kept = tuple(r for r in state.readings if (r.step, r.name) != (step.id, spec.name))
    turn.state = replace(turn.state, readings=(*kept, standing))
    if isinstance(rate, CountedRate):
        _keep_rate(turn, step, rate, in_range)
        turn.led = not in_range and not insisted
    turn.note(
        "reading-stands",
        **reading_data(step.id, spec.name, reading),
        how=how,
        in_range=in_range,
        **({"assumed": True} if assumed else {}),
    )
    if in_range:
        turn.say(sums_of(state, spec, reading), About.COUNT)
    if not in_range and insisted:
        turn.say(lines.OUTSIDE_NOTED)
    elif not in_range:
        turn.say(lines.sentence(outside))
    take_into_account(turn, spec.name, reading, in_range or insisted)


def _keep_rate(turn: Turn, step: Step, rate: CountedRate, in_range: bool) -> None:
    """The rate that a count makes stands beside the count."""
    standing = Standing(
        step=step.id,
        name=RATE,
        quantity=Quantity.RATE,
        values=(float(rate.whole),),
        unit=Unit.PER_MINUTE,
        at_s=turn.state.at_s,
        in_range=in_range,
    )
    kept = tuple(r for r in turn.state.readings if (r.step, r.name) != (step.id, RATE))
    turn.state = replace(turn.state, readings=(*kept, standing))
    turn.note("rate-counted", step=step.id, count=rate.count, per_minute=rate.whole)


def contradict(turn: Turn) -> None:
    """The number read back was wrong: drop it and ask again, digit by digit."""
    pending = turn.state.pending
    if not isinstance(pending, ReadBack):
        return
    for proposal in pending.proposals:
        turn.note("reading-dropped", step=proposal.step, reading=proposal.name)
    first = pending.proposals[0]
    turn.state = replace(
        turn.state, pending=None, asked=first.step if first.step not in turn.state.done else None
    )
    step = turn.state.step(first.step)
    specs = [s for s in step.readings if s.name == first.name] if step else []
    ask = with_unit(specs[0], pressure_unit(turn.state)) if specs else ""
    if step is not None and specs:
        wait_for(turn, step, specs[0])
    turn.say(lines.sentence(ask or "then what is it"))
    turn.say("Say it digit by digit.")
