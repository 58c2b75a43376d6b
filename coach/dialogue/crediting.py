"""What becomes of a step: credited, refused, taken back or left out, and what follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.clock import (
    stop_clock,
    stop_clock_left_behind,
)
from coach.dialogue.complications import call_off, come, remember_brought
from coach.dialogue.oxygen import CLOSES_FLOW, close_flow, forget_numbers
from coach.dialogue.progress import (
    awaited_reading,
    depending_for_safety,
    first_of_all,
    is_early,
    missing_first,
    open_steps,
    suggested,
)
from coach.dialogue.rounds import begin_rounds, next_round
from coach.dialogue.scores import tell_scores
from coach.dialogue.since import begin_since, end_since
from coach.dialogue.state import Credit, Mode, Standing
from coach.dialogue.told_early import ASKED_ABOUT_FROM, ask_about, forget
from coach.dialogue.turn import About, Turn
from coach.dialogue.units_asked import pressure_unit, with_unit
from coach.procedure.model import Step


def refuse(turn: Turn, step: Step) -> bool:
    """Say what must come before this step, if something must; true when it was refused."""
    found = first_of_all(turn.state, step)
    if found is None:
        return False
    missing, why = found
    turn.urgent = turn.urgent or why.safety
    if not turn.led:
        turn.state = replace(turn.state, asked=missing.id, focus=None)
        now = suggested(turn.state) if turn.state.conversation >= ASKED_ABOUT_FROM else missing
        turn.say(lines.first(missing, why, None if now is missing else now))
    turn.led = True
    turn.note("too-early", step=step.id, needs=missing.id, safety=why.safety)
    return True


def credit(turn: Turn, step: Step) -> None:
    """Count a step as done now."""
    forget(turn, {step.id})
    stop_clock_left_behind(turn, step)
    state = turn.state
    early = is_early(state, step)
    turn.state = replace(
        turn.state,
        credits=(*state.credits, Credit(step.id, state.at_s, early)),
        last_credited=(*state.last_credited, step.id),
        skipped=tuple(skipped for skipped in state.skipped if skipped != step.id),
        focus=None,
        asked=None if state.asked == step.id else state.asked,
        misses=0,
        before_restart=None,
    )
    turn.note("step-done", step=step.id, early=early)
    begin_rounds(turn, step)
    begin_since(turn, step)
    end_since(turn, step)
    tell_scores(turn, step)
    if step.id == CLOSES_FLOW:
        close_flow(turn)


def choose(turn: Turn, step: Step, option: str | None) -> None:
    """Set the setting that a step chooses to what the learner named."""
    if not step.chooses or option is None or turn.state.choices.get(step.chooses) == option:
        return
    turn.state = replace(turn.state, choices={**turn.state.choices, step.chooses: option})
    turn.note("chosen", setting=step.chooses, option=option)


def deny(turn: Turn, step: Step, found: bool = False) -> None:
    """The learner says that a step was not done: take it back if it was credited.

    With `found` it is a bad finding: the coach says what follows from it, not to look again, and
    what the step `brings` with it comes.
    """
    done = step.id in turn.state.done
    forget(turn, {step.id})
    if found and turn.state.clock is not None and turn.state.clock.step == step.id:
        stop_clock(turn)
    if done:
        take_back(turn, (step.id,))
    else:
        turn.note("finding" if found else "step-denied", step=step.id)
    if found and bring(turn, step):
        return
    turn.state = replace(turn.state, asked=step.id, focus=None)
    if found:
        turn.say(step.found or step.how)
        turn.led = True
    elif done:
        turn.say(lines.sentence(f"taken back: {step.name}"))
    else:
        turn.say(lines.sentence(f"all right, still to do: {step.name}"))


def bring(turn: Turn, step: Step, by: Standing | None = None) -> bool:
    """What the step brings comes; the look itself is done with it, unless that opens it again.

    `by` is the number that tells it, None for words. False where it brings nothing, or nothing
    more.
    """
    known = (c for c in turn.state.skill.complications if c.id == step.brings)
    brought = next(known, None)
    if brought is None or brought.id in turn.state.came:
        return False
    before = turn.state
    come(turn, brought.id, announced=False)
    if by is not None:
        remember_brought(turn, before, brought, by)
    turn.say(step.found)
    now = turn.state.step(step.id)
    again = step.id in brought.reopens
    open_still = now is not None and now.id not in turn.state.done
    if now is not None and open_still and not again and missing_first(turn.state, now) is None:
        credit(turn, now)
    return True


def take_back(turn: Turn, steps: Sequence[str]) -> None:
    """Open steps again and forget their numbers; the record keeps that they were credited."""
    for brought in turn.state.brought:
        if brought.by.step in steps:
            call_off(turn, brought)
    forget_numbers(turn, steps)
    state = turn.state
    turn.state = replace(
        state,
        credits=tuple(credit for credit in state.credits if credit.step not in steps),
        last_credited=(),
        focus=None,
        burned=None if state.burned and state.burned.step in steps else state.burned,
    )
    for step in steps:
        turn.note("taken-back", step=step)


def leave_out(turn: Turn, step: Step) -> None:
    """Skip a step, unless a later one must not be done without it."""
    held = depending_for_safety(turn.state, step.id)
    if held is not None:
        dependent, why = held
        turn.say(lines.sentence("that one can't be left out"))
        turn.say(lines.comes_before(step, dependent, why))
        turn.note("skip-refused", step=step.id, needed_by=dependent.id)
        return
    forget(turn, {step.id})
    turn.state = replace(turn.state, skipped=(*turn.state.skipped, step.id), asked=None)
    turn.note("skipped", step=step.id)
    turn.say(lines.sentence(f"left out: {step.name}"))


def after_credits(turn: Turn) -> None:
    """Let a complication come if one is due, or another round, then lead on or finish."""
    state = turn.state
    for complication in state.skill.complications:
        due = complication.id in state.to_come and complication.after in state.done
        if due and not state.timing:
            come(turn, complication.id)
            return
    if not state.timing:
        next_round(turn)
    lead_on(turn)


def lead_on(turn: Turn) -> None:
    """Say the next step, or end when nothing is left to do."""
    state = turn.state
    if not open_steps(state) and state.pending is None and state.focus is None:
        finish(turn)
        return
    if turn.led or state.timing or state.pending is not None:
        return
    step = suggested(state)
    if step is None or ask_about(turn, step):
        return
    spec = awaited_reading(state, step)
    lawful = missing_first(state, step) is None
    partly = any(reading.step == step.id for reading in state.readings)
    wanted = spec is not None and lawful and (partly or state.asked == step.id)
    question = with_unit(spec, pressure_unit(state)) if spec and wanted else ""
    turn.say(lines.prompt(step, state.short, question))


def finish(turn: Turn) -> None:
    """End the session with what was done and missed."""
    state = turn.state
    if state.mode is Mode.ENDED:
        return
    left = [step.name for step in state.skill.steps if step.id not in state.done]
    acts = {breach.act for breach in state.breaches}
    names = [act.name for act in state.skill.forbidden if act.id in acts]
    but = f"; must not happen: {lines.listed(names)}" if names else ""
    unsaid = [s.name for s in state.skill.steps if s.id in state.unsaid & state.done]
    but += f"; not said aloud: {lines.listed(unsaid)}" if unsaid else ""
    seconds = state.at_s - state.begun_s
    if state.quiet:
        turn.say(lines.ATTEMPT_OVER, About.FRAME)
    elif left:
        done = f"{len(state.done)} {'step' if len(state.done) == 1 else 'steps'} done"
        turn.say(lines.sentence(f"ended with {done}; missed: {lines.listed(left)}{but}"))
    else:
        early = sum(credit.early for credit in state.credits)
        order = f", {early} out of the suggested order" if early else ""
        minutes = max(1, round(seconds / 60))
        unit = "minute" if minutes == 1 else "minutes"
        turn.say(f"All {len(state.done)} steps done in about {minutes} {unit}{order}{but}.")
    turn.sentences = turn.sentences[-1:]
    turn.say(lines.CAUTION, About.FRAME)
    turn.state = replace(turn.state, mode=Mode.ENDED, pending=None)
    turn.note("ended", done=len(state.done), missed=len(left))
