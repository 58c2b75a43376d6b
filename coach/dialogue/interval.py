"""Counting by the clock: the coach times the seconds, asks for the number, and tells the rate."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning, Part
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.effects import CancelTimer, StartTimer
from coach.dialogue.progress import next_reading
from coach.dialogue.state import RunningInterval, State
from coach.dialogue.turn import INTERVAL, About, Turn
from coach.dialogue.units_asked import with_unit
from coach.procedure.model import Step


def start_interval(turn: Turn, step: Step) -> None:
    """Begin to time what the learner counts; said again, the count begins anew."""
    if step.count is None or step.id in turn.state.done:
        return
    state = turn.state
    turn.state = replace(
        state,
        interval=RunningInterval(step.id, state.at_s),
        timed=tuple(other for other in state.timed if other != step.id),
        readings=tuple(reading for reading in state.readings if reading.step != step.id),
        pending=None,
        misses=0,
        asked=None,
        focus=None,
    )
    turn.note("interval-started", step=step.id, seconds=step.count.seconds)
    turn.urgent = True
    turn.say("Go.", _about(turn))
    turn.do(StartTimer(INTERVAL, float(step.count.seconds), at_once=True))


def end_interval(turn: Turn) -> None:
    """The seconds are over: stop the learner, and ask for the number."""
    interval = turn.state.interval
    step = turn.state.step(interval.step) if interval else None
    if interval is None or step is None:
        stop_interval(turn)
        return
    state = turn.state
    turn.state = replace(state, interval=None, timed=(*state.timed, step.id), asked=step.id)
    turn.note("interval-ended", step=step.id)
    spec = next_reading(turn.state, step)
    turn.urgent = True
    turn.say("Stop counting.", _about(turn))
    turn.say(lines.sentence(with_unit(spec)) if spec else "")
    turn.listen()


def _about(turn: Turn) -> About:
    """A quiet coach is still the clock by which the learner counts."""
    return About.FRAME if turn.state.quiet else About.COUNT


def stop_interval(turn: Turn) -> None:
    """Forget a running count."""
    if turn.state.interval is not None:
        turn.note("interval-stopped", step=turn.state.interval.step)
        turn.state = replace(turn.state, interval=None)
        turn.do(CancelTimer(INTERVAL))


def without_begun(state: State, meaning: Meaning) -> Meaning:
    """What was said, less the start of a count whose number it tells: "I count eight breaths"."""
    if not any(reading.quantity is Quantity.COUNT for reading in meaning.readings):
        return meaning
    steps = tuple(
        mention
        for mention in meaning.steps
        if mention.part is not Part.CLOCK_START or mention.step not in state.timed
    )
    return replace(meaning, steps=steps)


def ask_to_count(turn: Turn, step: Step) -> bool:
    """Ask for the count where it was not timed yet; false where nothing is to be counted."""
    if step.count is None or step.id in turn.state.timed:
        return False
    turn.say(lines.how_to_count(step.count))
    turn.led = True
    return True
