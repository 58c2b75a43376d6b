"""The steps of one utterance: credited, denied, refused, or told early and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Part, StepMention
from coach.dialogue import lines
from coach.dialogue.begun import begin
from coach.dialogue.clock import (
    comes_out,
    end_clock,
    ends_with_its_telling,
    tells_by_its_finding,
)
from coach.dialogue.crediting import choose, credit, deny, refuse
from coach.dialogue.interval import ask_to_count
from coach.dialogue.pace import end_pace
from coach.dialogue.progress import (
    awaited_reading,
    first_of_all,
    missing_first,
    next_reading,
)
from coach.dialogue.told_early import forget, keep
from coach.dialogue.turn import Turn
from coach.language.persons import names_somebody
from coach.language.times import names_a_time
from coach.procedure.model import Prerequisite, Step


def take_mentions(
    turn: Turn, mentions: Sequence[StepMention], done_said: bool = False, said: str = ""
) -> None:
    """Credit, deny or refuse the steps of one utterance, in the order they were spoken of.

    `said` are its words, in which somebody may be named. A prerequisite that is not one of safety
    may be named later in the same breath.
    """
    turn.state = replace(turn.state, last_credited=())
    names: list[str] = []
    refused: list[tuple[Step, StepMention, tuple[Step, Prerequisite]]] = []
    waiting: list[tuple[Step, StepMention]] = []
    for mention in mentions:
        step = turn.state.step(mention.step)
        if step is None:
            continue
        forget(turn, {step.id})
        if mention.denied and mention.found and _built_upon(turn, step):
            turn.note("finding", step=step.id)
            continue
        told = mention.found and tells_by_its_finding(step)
        if mention.denied and not told:
            deny(turn, step, mention.found)
            continue
        needed = missing_first(turn.state, step)
        if needed is None or step.id in turn.state.done:
            names += _take(turn, step, mention, done_said, said)
        elif needed.safety:
            refused.append((step, mention, _needed(turn, step)))
        else:
            waiting.append((step, mention))
    while ready := [pair for pair in waiting if missing_first(turn.state, pair[0]) is None]:
        waiting = [pair for pair in waiting if pair not in ready]
        for step, mention in ready:
            names += _take(turn, step, mention, done_said, said)
    if names and turn.state.pace is None:  # no word for it between the beats
        turn.say_first(lines.credited(names, turn.state.short))
    for step, mention, (first, why) in refused:
        if not refuse(turn, step):
            _tell_order(turn, step, first, why)
        else:
            keep(turn, step, mention, said, first)
    for step, mention in waiting:
        found = first_of_all(turn.state, step)
        if found is not None and refuse(turn, step):
            keep(turn, step, mention, said, found[0])


def _needed(turn: Turn, step: Step) -> tuple[Step, Prerequisite]:
    found = first_of_all(turn.state, step)
    if found is None:
        raise KeyError(step.id)
    return found


def _tell_order(turn: Turn, step: Step, first: Step, why: Prerequisite) -> None:
    """Both were said in one breath, in the unsafe order: say so, and let it be done again."""
    turn.urgent = True
    turn.say(lines.comes_before(first, step, why))
    turn.note("too-early", step=step.id, needs=first.id, safety=True)
    turn.state = replace(turn.state, asked=step.id, focus=None)
    turn.led = True


def _built_upon(turn: Turn, step: Step) -> bool:
    """Whether a done step came after this one: a finding is then news, and takes nothing back."""
    done = turn.state.done
    return step.id in done and any(
        needed.step == step.id
        for other in turn.state.skill.steps
        if other.id in done
        for needed in other.after
    )


def _take(turn: Turn, step: Step, mention: StepMention, done_said: bool, said: str) -> list[str]:
    """Act on a lawful mention; the name of the step if it was credited with a word for it."""
    if mention.denied:
        return take_finding(turn, step)
    if mention.part is Part.CLOCK_START:
        begin(turn, step)
        return []
    if mention.part is Part.CLOCK_END or ends_with_its_telling(turn.state, step, done_said):
        if end_pace(turn, step) or end_clock(turn, step):
            credit(turn, step)
        return []
    choose(turn, step, mention.choice)
    if step.id in turn.state.done:
        return []
    told_who = mention.part is Part.PARTNER or _tells_who(step, said)
    if _complete(turn, step, done_said, told_who, said):
        credit(turn, step)
        return [step.name]
    if awaited_reading(turn.state, step) is not None:
        turn.state = replace(turn.state, asked=step.id)
    else:
        ask_to_count(turn, step)
    return []


def take_finding(turn: Turn, step: Step) -> list[str]:
    """A finding for which the step is there: what had to last ends with it, and it is done.

    The name of the step if it was credited.
    """
    if step.id in turn.state.done:
        turn.note("done-again", step=step.id)
        return []
    end_clock(turn, step, found=True)
    credit(turn, step)
    return [step.name]


def _tells_who(step: Step, said: str) -> bool:
    return step.partner is None or names_somebody(said, step.partner.who)


def _complete(turn: Turn, step: Step, done_said: bool, told_who: bool, said: str) -> bool:
    """Whether the mention is enough; says what is still asked for where it is not.

    What an evaluator must hear, who does it, and the time, is asked for once; what is said then
    is believed, and noted.
    """
    if next_reading(turn.state, step) is not None:
        return False
    if step.partner is not None and not told_who:
        turn.note("who-not-said", step=step.id)
        if turn.state.aloud_asked != step.id and turn.state.pace is None:
            turn.state = replace(turn.state, aloud_asked=step.id, asked=step.id)
            turn.say(lines.who_does_it(step.partner))
            turn.led = True
            return False
    if step.since is not None and step.since.time_aloud and not names_a_time(said):
        turn.note("time-not-said", step=step.id)
        if turn.state.aloud_asked != step.id:
            turn.state = replace(turn.state, aloud_asked=step.id, asked=step.id)
            turn.say(lines.SAY_THE_TIME)
            turn.led = True
            return False
        turn.state = replace(turn.state, unsaid=turn.state.unsaid | {step.id})
    if done_said and step.aloud and turn.state.aloud_asked == step.id:
        turn.note("not-said-aloud", step=step.id)
        turn.state = replace(turn.state, unsaid=turn.state.unsaid | {step.id})
    elif done_said and step.aloud:
        turn.state = replace(turn.state, aloud_asked=step.id)
        turn.say(lines.say_aloud(step))
        turn.note("aloud-missing", step=step.id)
        return False
    if step.pace is not None:
        turn.say(lines.how_to_start(step.pace))
        turn.led = True
        return False
    if step.clock is not None:
        start = (step.clock.start.phrases or ("start",))[0]
        end = (step.clock.end.phrases or ("out",))[0]
        at_end = "when you are out" if comes_out(step.clock) else "at the end"
        runs = turn.state.clock is not None and turn.state.clock.step == step.id
        as_you_start = "" if runs else f'"{start}" as you start and '
        turn.say(lines.sentence(f'say {as_you_start}"{end}" {at_end}'))
        return False
    return True
