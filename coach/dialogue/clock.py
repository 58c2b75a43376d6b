"""The seconds counted aloud while suction is on; it runs on whatever else is said."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.effects import CancelTimer, StartTimer
from coach.dialogue.interval import stop_interval
from coach.dialogue.state import RunningClock
from coach.dialogue.turn import COUNT, About, Turn
from coach.procedure.model import Step
from coach.report.summary import Count
from coach.trade.wording import cardinal

LONGEST_COUNT_S = 60
"""The count stops here if "out" was never heard."""

WARNING_S = 2
"""Seconds after the limit in which no number cuts off what is said about the limit."""


def start_clock(turn: Turn, step: Step) -> None:
    """Begin to count for a step; counting on if it runs already."""
    if step.clock is None or turn.state.clock is not None or step.id in turn.state.done:
        return
    turn.state = replace(
        turn.state, clock=RunningClock(step.id, turn.state.at_s), misses=0, asked=None, focus=None
    )
    turn.note("clock-started", step=step.id, limit_s=step.clock.limit_s)
    turn.do(StartTimer(COUNT, 1.0, at_once=True))


def end_clock(turn: Turn, step: Step) -> bool:
    """Stop counting and say how long it was; false when no clock ran for this step."""
    clock = turn.state.clock
    if clock is None or clock.step != step.id or step.clock is None:
        return False
    seconds = round(turn.state.at_s - clock.started_s, 1)
    ended = Count(step.id, seconds, step.clock.limit_s)
    turn.state = replace(turn.state, clock=None, clocks=(*turn.state.clocks, ended))
    turn.do(CancelTimer(COUNT))
    turn.note("clock-ended", step=step.id, seconds=seconds, over=ended.over)
    turn.urgent = True
    whole = int(seconds)
    unit = "second" if whole == 1 else "seconds"
    said = f"out after {cardinal(whole)} {unit}"
    if ended.over:
        said += f"; the limit is {cardinal(step.clock.limit_s)}"
    turn.say(lines.sentence(said), About.COUNT)
    return True


def stop_clock(turn: Turn) -> None:
    """Forget whatever runs by the clock, without crediting anything."""
    stop_interval(turn)
    if turn.state.clock is not None:
        turn.note("clock-stopped", step=turn.state.clock.step)
        turn.state = replace(turn.state, clock=None)
        turn.do(CancelTimer(COUNT))


def count(turn: Turn) -> None:
    """One more second: say it, and at the limit what to do."""
    clock = turn.state.clock
    if clock is None:
        return
    step = turn.state.step(clock.step)
    if step is None or step.clock is None or clock.counted >= LONGEST_COUNT_S:
        stop_clock(turn)
        return
    number = clock.counted + 1
    turn.state = replace(turn.state, clock=RunningClock(clock.step, clock.started_s, number))
    turn.urgent = True
    last_said = turn.state.last_said
    over_s = number - step.clock.limit_s
    if not 0 < over_s <= WARNING_S:
        turn.say(lines.sentence(cardinal(number)))
    if over_s == 0:
        turn.say(lines.sentence(step.clock.over or "stop there and come out"))
        turn.note("clock-over", step=step.id, limit_s=step.clock.limit_s)
    turn.finish_line()
    turn.state = replace(turn.state, last_said=last_said)
    due = clock.started_s + number + 1 - turn.state.at_s
    turn.do(StartTimer(COUNT, max(0.05, due), at_once=True))
