"""The coach gives the pace for a step: beats from a start word until the seconds are over."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.effects import CancelTimer, CutOff, Effect, GivePace, Say, SetVoice, StartTimer
from coach.dialogue.rounds import begin_rounds
from coach.dialogue.state import RunningPace
from coach.dialogue.turn import PACE, About, Turn
from coach.procedure.model import Step


def start_pace(turn: Turn, step: Step) -> None:
    """Begin the beats of a step; they go on if they sound already."""
    if step.pace is None or turn.state.pace is not None or step.id in turn.state.done:
        return
    turn.state = replace(
        turn.state, pace=RunningPace(step.id, turn.state.at_s), misses=0, asked=None, focus=None
    )
    begin_rounds(turn, step)
    spec = step.pace
    turn.note("pace-started", step=step.id, per_minute=spec.pattern.per_minute)
    turn.do(CutOff())
    turn.do(GivePace(spec.pattern.beats(spec.seconds)))
    turn.do(StartTimer(PACE, float(spec.seconds), at_once=True))
    turn.led = True


def end_pace(turn: Turn, step: Step | None) -> bool:
    """End the beats of that step; false when none sound for it, or when it was too short."""
    pace = turn.state.pace
    if pace is None or step is None or step.pace is None or pace.step != step.id:
        return False
    seconds = round(turn.state.at_s - pace.started_s, 1)
    turn.state = replace(turn.state, pace=None)
    turn.do(CancelTimer(PACE))
    turn.do(CutOff())
    turn.note("pace-ended", step=step.id, seconds=seconds)
    turn.urgent = True
    if seconds >= step.pace.seconds:
        turn.say(lines.sentence(step.pace.after or "stop there"), About.COUNT)
        return True
    turn.say(lines.sentence(f"that was {lines.seconds_words(int(seconds))}"), About.COUNT)
    if seconds >= step.pace.least_s:
        return True
    lasting = f"it has to last {lines.seconds_words(step.pace.least_s)}"
    turn.say(lines.sentence(lasting), About.COUNT)
    turn.led = True
    return False


def go_on_with_pace(turn: Turn, before: RunningPace | None) -> None:
    """Beats that sounded before this turn go on behind what was said in it.

    A line would else wait for the last beat; whoever asks, wants to know now.
    """
    pace = turn.state.pace
    step = turn.state.step(pace.step) if pace else None
    if pace is None or pace != before or step is None or step.pace is None:
        return
    first = next((n for n, effect in enumerate(turn.effects) if _breaks_in(effect)), None)
    if first is None:
        return
    turn.effects.insert(first, CutOff())
    gone_s = turn.state.at_s - pace.started_s
    turn.do(GivePace(step.pace.pattern.beats(step.pace.seconds, gone_s)))


def _breaks_in(effect: Effect) -> bool:
    return isinstance(effect, Say | CutOff | SetVoice)


def stop_pace(turn: Turn) -> None:
    """Forget running beats without crediting anything."""
    if turn.state.pace is not None:
        turn.note("pace-stopped", step=turn.state.pace.step)
        turn.state = replace(turn.state, pace=None)
        turn.do(CancelTimer(PACE))
        turn.do(CutOff())
