"""A quiet coach: what the learner does is noted as it comes, in whatever order it comes.

Nobody is led or corrected and no number is read back. In recall the coach hints, the smallest hint
first; the attempt is judged afterwards (`coach.assessment`).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from coach.core.meaning import Command, CylinderTold, Doubt, Meaning, Part, Reading, StepMention
from coach.dialogue import lines
from coach.dialogue.begun import begin
from coach.dialogue.clock import (
    end_clock,
    ends_with_its_telling,
    tells_by_its_finding,
)
from coach.dialogue.complications import corrected
from coach.dialogue.crediting import (
    after_credits,
    choose,
    credit,
    deny,
    finish,
    leave_out,
)
from coach.dialogue.forbidden import warn
from coach.dialogue.hints import hint, how_many_left
from coach.dialogue.just_given import just_given
from coach.dialogue.mentions import take_finding
from coach.dialogue.numbers import is_assumed, let_stand, place_of, reading_data, tells_it
from coach.dialogue.own_count import as_count
from coach.dialogue.pace import end_pace
from coach.dialogue.patient import (
    answer_as_partner,
    answered_from_scenario,
    asked_of_the_patient,
    knows_nothing_of_it,
    show_what_was_revealed,
)
from coach.dialogue.points_in_a_row import told_in_a_row
from coach.dialogue.pressures import as_many_as_wanted
from coach.dialogue.progress import (
    awaits_a_number,
    missing_first,
    next_reading,
    suggested,
)
from coach.dialogue.state import ConfirmTraining, Mode, Proposal, ReadBack, Standing, State
from coach.dialogue.talk import HANDLERS
from coach.dialogue.told_total import unlike_the_points
from coach.dialogue.training import Told, act_on, answered_training, told_of_cylinder
from coach.dialogue.turn import About, Turn
from coach.dialogue.two_of_a_kind import held_against_its_own
from coach.language.numbers import tells_a_number
from coach.language.persons import names_somebody
from coach.language.questions import only_asks
from coach.language.times import names_a_time
from coach.procedure.model import ReadingSpec, Step
from coach.report.attempt import Way

OVER_FROM = 2
"""The way of talking in which a finding takes nothing back once nothing hangs on it any more."""


def heard_quietly(turn: Turn, meaning: Meaning) -> None:
    """Note what an utterance tells; a command is answered as far as a quiet coach answers."""
    meaning = asked_of_the_patient(turn.state, meaning)
    if meaning.command is not None:
        turn.note("asked", command=str(meaning.command))
        commanded_quietly(turn, meaning.command)
        return
    told, rest = _told_of_cylinder(turn, meaning)
    if rest is None:
        after_credits(turn)
        return
    meaning = rest
    asked = answered_from_scenario(turn, meaning)
    if asked and only_asks(meaning.text):
        meaning = _asked_of_the_patient(turn, meaning)
        if not meaning.steps:
            return
    if row := told_in_a_row(turn.state, meaning):
        turn.state = replace(turn.state, last_credited=())
        for proposal in row:
            _stand_as_said(turn, proposal)
        after_credits(turn)
        _give_cue(turn)
        return
    if (unlike := unlike_the_points(turn.state, meaning)) and unlike[0].id not in turn.state.done:
        _note_unclear(turn, meaning, [unlike[0].id])
        meaning = replace(
            meaning, steps=tuple(each for each in meaning.steps if each.step != unlike[0].id)
        )
    before = len(turn.state.breaches)
    warned = warn(turn, meaning.steps)
    turn.state = replace(turn.state, last_credited=())
    if meaning.done_said:
        _note_unclear(turn, meaning, [mention.step for mention in meaning.steps])
    mentioned, readings = [mention.step for mention in meaning.steps], [*meaning.readings]
    numbers: list[bool] = []
    # What is found otherwise beside what is done is so afterwards: "gloves off, washing my hands".
    in_order = sorted(meaning.steps, key=lambda mention: mention.denied and mention.found)
    for mention in () if meaning.done_said else in_order:
        _take(turn, mention, meaning.text)
        # What is said after it in the same breath was done with the number known.
        while readings and _belongs(turn, readings[0], mention, mentioned):
            numbers.append(_number(turn, readings.pop(0), mentioned, meaning))
    numbers += [_number(turn, reading, mentioned, meaning) for reading in readings]
    if _must_end(turn, before):
        turn.note("ended-for-safety")
        finish(turn)
        return
    show_what_was_revealed(turn)
    if told is not None:
        act_on(turn, told)
    elif not asked and not warned and not meaning.steps and not any(numbers):
        _note_unclear(turn, meaning, meaning.likely)
    elif doubted := [d.step for d in meaning.doubted if d.step not in turn.state.done]:
        _note_unclear(turn, meaning, doubted)
    if not asked:
        knows_nothing_of_it(turn, meaning)
    after_credits(turn)
    _give_cue(turn)


def commanded_quietly(turn: Turn, command: Command) -> None:
    """Answer a command as far as a quiet coach answers it."""
    _HANDLERS.get(command, HANDLERS[command])(turn)


def _asked_of_the_patient(turn: Turn, meaning: Meaning) -> Meaning:
    """What a mere question does: it is the act of a step that asks, and tells of nothing else."""
    steps = {step.id: step for step in turn.state.skill.steps}
    asking = tuple(
        mention
        for mention in meaning.steps
        if mention.step in steps and steps[mention.step].history and not mention.denied
    )
    return replace(meaning, steps=asking, readings=())


def _told_of_cylinder(turn: Turn, meaning: Meaning) -> tuple[Told | None, Meaning | None]:
    """What was said of the cylinder, and the rest; no rest where it all was an answer about it.

    A zero stands as it was said, whatever comes of the question.
    """
    pending = turn.state.pending
    if isinstance(pending, ConfirmTraining):
        if meaning.answer and answered_training(turn, meaning, pending):
            return None, None
        turn.state = replace(turn.state, pending=None)
    told, rest = told_of_cylinder(turn.state, meaning)
    asks = told is not None and told.what is CylinderTold.EMPTY and not turn.state.training
    return told, meaning if asks else rest


def _give_cue(turn: Turn) -> None:
    """Tell what the patient shows now, once, where nobody could know it otherwise."""
    step = suggested(turn.state)
    if step is None or not step.cue or step.id in turn.state.cued:
        return
    if missing_first(turn.state, step) is None:
        turn.state = replace(turn.state, cued=turn.state.cued | {step.id})
        turn.note("cue", step=step.id)
        turn.say(step.cue, About.FINDING)


def _note_unclear(turn: Turn, meaning: Meaning, steps: Sequence[str]) -> None:
    """Something was said, but not what; a number without a home may be the one that is awaited."""
    awaited = awaits_a_number(turn.state)
    if not steps and awaited is not None and tells_a_number(meaning.text):
        steps = [awaited[0].id]
    turn.note("unclear", text=meaning.text, steps=list(steps))


def _must_end(turn: Turn, breaches_before: int) -> bool:
    """Whether an attempt that ends at the first safety failure has just had it."""
    state = turn.state
    if state.started is None or not state.started.safety_ends:
        return False
    return len(state.breaches) > breaches_before or any(
        needed.safety and needed.step not in earlier
        for number, done in enumerate(state.credits)
        for earlier in [{credit.step for credit in state.credits[:number]}]
        for step in [state.step(done.step)]
        if step is not None and done.step in state.last_credited
        for needed in step.after
    )


def _take(turn: Turn, mention: StepMention, said: str) -> None:
    """Note one step that was spoken of: begun, done, done again, found bad or not done."""
    step = turn.state.step(mention.step)
    if step is None:
        return
    if mention.denied and mention.found and tells_by_its_finding(step):
        take_finding(turn, step)
        return
    if mention.denied and mention.found and _is_over(turn.state, step):
        turn.note("finding", step=step.id)
        return
    if mention.denied:
        deny(turn, step, mention.found)
        return
    if mention.part is Part.CLOCK_START:
        begin(turn, step)
        return
    choose(turn, step, mention.choice)
    if step.id in turn.state.done:
        turn.note("done-again", step=step.id)
        return
    ended = ends_with_its_telling(turn.state, step, done_said=False)
    timed = mention.part is Part.CLOCK_END or ended
    if timed and not _end(turn, step):
        return
    if not timed and (step.clock or step.pace):
        turn.note("not-timed", step=step.id)
    _note_unsaid(turn, step, mention, said)
    if step.partner is not None and mention.part is not Part.PARTNER:
        answer_as_partner(turn, step)
    if next_reading(turn.state, step) is None:
        credit(turn, step)
    else:
        turn.note("spoken-of", step=step.id)
        turn.state = replace(turn.state, asked=step.id)


def _is_over(state: State, step: Step) -> bool:
    """Whether all that hangs on a done step is done: what is otherwise now ("gloves off") is news.

    What a finding brings with it comes whenever it is told.
    """
    hanging = [each.id for each in state.skill.steps if step.id in {n.step for n in each.after}]
    done = bool(hanging) and state.done.issuperset({step.id, *hanging})
    return done and not step.brings and state.conversation >= OVER_FROM


def _end(turn: Turn, step: Step) -> bool:
    """End what runs for a step; false if it ran too short to count."""
    state = turn.state
    runs = (state.pace and state.pace.step == step.id) or (
        state.clock and state.clock.step == step.id
    )
    return bool(end_pace(turn, step) or end_clock(turn, step) or not runs)


def _note_unsaid(turn: Turn, step: Step, mention: StepMention, said: str) -> None:
    """Note what had to be said with a step and was not: who does it, and the time."""
    partner, since = step.partner, step.since
    if partner and mention.part is not Part.PARTNER and not names_somebody(said, partner.who):
        turn.note("who-not-said", step=step.id)
    if since and since.time_aloud and not names_a_time(said):
        turn.note("time-not-said", step=step.id)


def _belongs(
    turn: Turn, reading: Reading, mention: StepMention, mentioned: Collection[str]
) -> bool:
    """Whether a number is the one that a step which was just spoken of still lacks."""
    step = turn.state.step(mention.step)
    if step is None or mention.denied or next_reading(turn.state, step) is None:
        return False
    place = place_of(turn, *as_count(turn.state, reading, mentioned))
    return place is not None and place[0].id == step.id


def _is_a_time(reading: Reading, meaning: Meaning) -> bool:
    """Whether a bare number that would correct another, and does not fit it, is a time of day."""
    unfit = reading.doubt is Doubt.OUT_OF_RANGE and not reading.unit_said
    return unfit and meaning.answer is None and names_a_time(meaning.text)


def _number(turn: Turn, reading: Reading, mentioned: Collection[str], meaning: Meaning) -> bool:
    """Let a number stand as it was said; false if no step has a use for it."""
    reading, mentioned = as_count(turn.state, reading, mentioned)
    brought = corrected(turn.state, reading, meaning)
    given = just_given(turn.state, reading.quantity)
    place = brought
    if brought is None and not (given and meaning.answer == "no"):
        place = place_of(turn, reading, mentioned)
    of_others = mentioned and given is not None and given.step not in mentioned
    if place is None and given is not None and not of_others and not _is_a_time(reading, meaning):
        place = _spec_of(turn.state, given)
    if place is None:
        turn.note("number-for-nothing", text=meaning.text)
        return False
    step, spec = place
    if reading.could_be_in:  # nobody asks, so nobody knows
        turn.note("unit-unclear", **reading_data(step.id, spec.name, reading))
        return False
    if not tells_it(spec, reading):
        turn.note("number-only-planned", text=meaning.text)
        return False
    strange = mentioned and not reading.unit_said and step.id not in mentioned
    if (strange and missing_first(turn.state, step)) or not as_many_as_wanted(spec, reading):
        turn.note("number-for-nothing", text=meaning.text)
        return False
    reading = held_against_its_own(step, spec, reading)
    assumed = is_assumed(turn.state, spec)
    proposal = Proposal(step.id, spec.name, reading, assumed, corrects=brought is not None)
    _stand_as_said(turn, proposal)
    return True


def _stand_as_said(turn: Turn, proposal: Proposal) -> None:
    data = reading_data(proposal.step, proposal.name, proposal.reading)
    turn.note("reading-offered", **data)
    turn.state = replace(turn.state, pending=ReadBack((proposal,)))
    credited = turn.state.last_credited
    let_stand(turn, "said")
    turn.state = replace(turn.state, last_credited=(*credited, *turn.state.last_credited))


def _spec_of(state: State, standing: Standing) -> tuple[Step, ReadingSpec] | None:
    step = state.step(standing.step)
    specs = step.readings if step else ()
    spec = next((spec for spec in specs if spec.name == standing.name), None)
    return (step, spec) if step and spec else None


def _help(turn: Turn) -> None:
    """A hint in recall; an assessment has none."""
    if turn.state.way is Way.RECALL:
        hint(turn)
    else:
        turn.note("help-asked")
        turn.say(lines.NO_HELP, About.FRAME)


def _left(turn: Turn) -> None:
    if turn.state.way is Way.RECALL:
        how_many_left(turn)
    else:
        _help(turn)


def _time(turn: Turn) -> None:
    """Only the time itself: minutes of oxygen are the learner's to work out."""
    state = turn.state
    seconds = state.at_s - state.begun_s
    limit = state.started.limit_seconds if state.started else 0.0
    turn.say(lines.time_gone(seconds, limit), About.FRAME)


def _skip(turn: Turn) -> None:
    """The step is left out, so that hints go on to the next one."""
    step = suggested(turn.state)
    if step is not None and step.id not in turn.state.done:
        leave_out(turn, step)


def _restart(turn: Turn) -> None:
    if turn.state.way is Way.ASSESSED:
        turn.say(lines.NO_RESTART, About.FRAME)
    else:
        HANDLERS[Command.RESTART](turn)


def _resume(turn: Turn) -> None:
    """ "I'm ready" begins or goes on; said again amid the attempt, it asks whether it has begun."""
    if turn.state.mode is Mode.RUNNING:
        turn.say(lines.BEGUN_ALREADY, About.FRAME)
    else:
        HANDLERS[Command.RESUME](turn)


def _nothing(turn: Turn) -> None:
    """What only changes how a leading coach leads."""


_HANDLERS: Mapping[Command, Callable[[Turn], None]] = {
    Command.NEXT: _help,
    Command.WHY: _help,
    Command.HOW: _help,
    Command.HELP: _help,
    Command.LEFT: _left,
    Command.TIME: _time,
    Command.SKIP: _skip,
    Command.RESTART: _restart,
    Command.RESUME: _resume,
    Command.BACK: _nothing,
    Command.SHORTER: _nothing,
    Command.LONGER: _nothing,
}
"""Commands that a quiet coach takes otherwise; the others are as when it leads."""
