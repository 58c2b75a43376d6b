"""What happens when some time is over: clocks, beats, nudges, hints, the limit, a scenario."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.clock import count
from coach.dialogue.crediting import after_credits, credit
from coach.dialogue.events import TimerFired
from coach.dialogue.hints import hint, more_to_give
from coach.dialogue.interval import end_interval
from coach.dialogue.numbers import let_stand
from coach.dialogue.pace import end_pace
from coach.dialogue.patient import HAPPENS, call_minute, happen
from coach.dialogue.progress import suggested
from coach.dialogue.since import SINCE, call_since
from coach.dialogue.state import Mode, ReadBack
from coach.dialogue.turn import COUNT, INTERVAL, LIMIT, MINUTE, NUDGE, PACE, STAND, About, Turn
from coach.report.attempt import Way


def timer_fired(turn: Turn, event: TimerFired) -> None:
    """Some time is over: what was waited for, or what is told by the clock."""
    running = turn.state.mode is Mode.RUNNING
    if event.name == COUNT:
        count(turn)
    elif event.name.startswith(SINCE) and running:
        call_since(turn, event.name.removeprefix(SINCE))
    elif event.name == PACE:
        pace_over(turn)
    elif event.name == INTERVAL:
        end_interval(turn)
    elif event.name == STAND and running:
        _silence_agrees(turn)
    elif event.name == MINUTE and running:
        call_minute(turn)
        turn.listen()
    elif event.name.startswith(HAPPENS) and running:
        happen(turn, event.name.removeprefix(HAPPENS))
        turn.listen()
    elif event.name == LIMIT:
        _time_is_up(turn)
    elif event.name == NUDGE and running and turn.state.way is Way.RECALL:
        _hint(turn)
    elif event.name == NUDGE and running and not turn.state.nudged:
        _nudge(turn)


def pace_over(turn: Turn) -> None:
    """The beats are over: what they were for is done."""
    pace = turn.state.pace
    step = turn.state.step(pace.step) if pace else None
    if step is None:
        return
    if end_pace(turn, step):
        credit(turn, step)
        after_credits(turn)
    if turn.state.mode is not Mode.ENDED:
        turn.listen()


def _silence_agrees(turn: Turn) -> None:
    pending = turn.state.pending
    if not isinstance(pending, ReadBack) or not pending.sure:
        return
    let_stand(turn, "silence")
    after_credits(turn)
    if turn.state.mode is not Mode.ENDED:
        turn.listen()


def _time_is_up(turn: Turn) -> None:
    """The time limit is called; what is done afterwards is late."""
    state = turn.state
    if state.started is None or state.mode in {Mode.READY, Mode.SILENCED}:
        return
    turn.note("time-called", seconds=state.started.limit_seconds)
    turn.urgent = True
    turn.say(lines.time_is_up(state.started.limit_seconds), About.FRAME)
    turn.listen()


def _hint(turn: Turn) -> None:
    """Nothing was heard for a while: the next larger hint, until the largest was given."""
    if turn.state.timing or not more_to_give(turn.state):
        return
    hint(turn)
    turn.listen()


def _nudge(turn: Turn) -> None:
    if turn.state.timing:
        return
    turn.state = replace(turn.state, nudged=True)
    turn.note("nudged")
    step = suggested(turn.state)
    if isinstance(turn.state.pending, ReadBack):
        turn.say(lines.question_of_numbers(turn.state.pending.proposals))
    elif step is not None:
        turn.say(lines.sentence(f"I'm still listening; next: {step.name}"))
    turn.listen()
