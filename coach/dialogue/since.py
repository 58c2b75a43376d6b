"""What runs on from a step's end: told when asked, and every so often."""

from __future__ import annotations

from coach.dialogue import lines
from coach.dialogue.effects import CancelTimer, StartTimer
from coach.dialogue.state import State
from coach.dialogue.turn import About, Turn
from coach.procedure.model import Since, Step

SINCE = "since:"
"""Begins the names of these timers; the step's id follows."""


def begin_since(turn: Turn, step: Step) -> None:
    """The step is done: what runs on from it is told every so often, if it is."""
    if step.since is not None and step.since.calls_every_s:
        turn.note("runs-on", step=step.id)
        turn.do(StartTimer(SINCE + step.id, float(step.since.calls_every_s), at_once=True))


def go_on_since(turn: Turn) -> None:
    """After a pause or a break, in which nothing was told: the next time is told again."""
    for step in turn.state.skill.steps:
        since = step.since
        if since is not None and since.calls_every_s and _runs(turn.state, step, since):
            every_s = float(since.calls_every_s)
            left_s = every_s - _begun_for_s(turn.state, step) % every_s
            turn.do(StartTimer(SINCE + step.id, left_s, at_once=True))


def end_since(turn: Turn, ending: Step) -> None:
    """The step is done: what ran on until then has ended, and the coach tells how long it was."""
    for step in turn.state.skill.steps:
        if step.since is not None and step.since.until == ending.id and step.id in turn.state.done:
            turn.note("ran-on", step=step.id, seconds=_seconds(turn.state, step))
            turn.do(CancelTimer(SINCE + step.id))
            turn.say(_line(turn.state, step, step.since), About.COUNT)


def call_since(turn: Turn, step_id: str) -> None:
    """Tell how long it has run; one that was taken back is told no more."""
    step = turn.state.step(step_id)
    if step is None or step.since is None or not _runs(turn.state, step, step.since):
        return
    last_said = turn.state.last_said
    turn.say(_line(turn.state, step, step.since))
    turn.keep_saying(last_said)
    turn.do(StartTimer(SINCE + step.id, float(step.since.calls_every_s), at_once=True))


def since_lines(state: State) -> list[str]:
    """How long everything that runs on has run, a sentence each."""
    return [
        _line(state, step, step.since)
        for step in state.skill.steps
        if step.since is not None and _runs(state, step, step.since)
    ]


def _runs(state: State, step: Step, since: Since) -> bool:
    return step.id in state.done and since.until not in state.done


def _line(state: State, step: Step, since: Since) -> str:
    return lines.sentence(f"{since.says} for {lines.seconds_words(_seconds(state, step))}")


def _seconds(state: State, step: Step) -> int:
    return int(_begun_for_s(state, step) + 1e-6)


def _begun_for_s(state: State, step: Step) -> float:
    """For how long it has run, in seconds."""
    return state.at_s - next(credit.at_s for credit in state.credits if credit.step == step.id)
