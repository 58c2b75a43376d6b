"""What the coach does for each command; one table, one short function each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from coach.core.meaning import Command
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.clock import stop_clock
from coach.dialogue.crediting import lead_on, leave_out, take_back
from coach.dialogue.effects import CancelTimer, CutOff, SetVoice, StartTimer
from coach.dialogue.forbidden import take_back_warning
from coach.dialogue.interval import stop_interval
from coach.dialogue.numbers import contradict
from coach.dialogue.oxygen import oxygen_line
from coach.dialogue.pace import stop_pace
from coach.dialogue.patient import begin_scenario
from coach.dialogue.progress import open_steps, suggested
from coach.dialogue.since import go_on_since, since_lines
from coach.dialogue.state import (
    ChooseStep,
    ConfirmStep,
    ConfirmStop,
    Mode,
    ReadBack,
    State,
    opening,
)
from coach.dialogue.turn import LIMIT, NUDGE, STAND, About, Turn
from coach.language.commands import examples

RATE_STEP = 1.2
SLOWEST, FASTEST = 0.5, 2.0
VOLUME_STEP = 1.25
SOFTEST, LOUDEST = 0.3, 1.6


def silence(turn: Turn) -> None:
    """This is no exercise: be silent at once and for good."""
    for timer in (NUDGE, STAND):
        turn.do(CancelTimer(timer))
    stop_clock(turn)
    turn.state = replace(turn.state, mode=Mode.SILENCED, silenced=True, pending=None)
    turn.note("silenced")
    turn.urgent = True
    turn.sentences = []
    turn.say(lines.CALL_FOR_HELP, About.FRAME)


def _resume(turn: Turn) -> None:
    state = turn.state
    if state.mode is Mode.PAUSED:
        go_on(turn)
    elif state.mode is Mode.READY:
        begin(turn)
        lead_on(turn)
    else:
        _repeat(turn)


def go_on(turn: Turn) -> None:
    """The pause is over."""
    turn.state = replace(turn.state, mode=Mode.RUNNING, pending=None)
    turn.note("resumed")
    start_again(turn)
    lead_on(turn)


def start_again(turn: Turn) -> None:
    """What comes by itself goes on after a pause or a break, in which it does not come."""
    begin_scenario(turn)
    go_on_since(turn)


def begin(turn: Turn) -> None:
    """The learner is ready: the skill begins."""
    turn.state = replace(turn.state, mode=Mode.RUNNING, begun_s=turn.state.at_s)
    turn.note("begun")
    start_limit(turn)
    begin_scenario(turn)


def start_limit(turn: Turn) -> None:
    """Let the time limit be called, if there is one; what is left of it after a break."""
    state = turn.state
    if state.started is None or not state.started.limit_seconds:
        return
    left = state.started.limit_seconds - (state.at_s - state.begun_s)
    if left > 0:
        turn.do(StartTimer(LIMIT, left, at_once=True))


def _repeat(turn: Turn) -> None:
    turn.sentences = []
    turn.say(turn.state.last_said, About.FRAME)


def _next(turn: Turn) -> None:
    if turn.state.mode is Mode.READY:
        begin(turn)
    if isinstance(turn.state.pending, ConfirmStep | ChooseStep):
        turn.state = replace(turn.state, pending=None, misses=0)
    turn.state = replace(turn.state, focus=None, asked=None)
    lead_on(turn)
    if not turn.sentences and turn.state.pending is not None:
        turn.say(turn.state.last_said, About.FRAME)


def _back(turn: Turn) -> None:
    state = turn.state
    earlier = [credit.step for credit in state.credits if state.step(credit.step)]
    if state.focus in earlier:
        earlier = earlier[: earlier.index(state.focus or "")]
    step = state.step(earlier[-1]) if earlier else None
    if step is None:
        turn.say("There is nothing before this.")
        return
    turn.state = replace(turn.state, focus=step.id, asked=None)
    turn.say(lines.sentence(f"back to {step.name}; it stays done"))
    turn.say(lines.sentence(step.say))


def _why(turn: Turn) -> None:
    step = suggested(turn.state)
    turn.say(lines.sentence(step.why) if step else "")


def _how(turn: Turn) -> None:
    step = suggested(turn.state)
    turn.say(lines.sentence(step.how) if step else "")


def _left(turn: Turn) -> None:
    names = [step.name for step in open_steps(turn.state)]
    turn.say(lines.sentence(f"still to do: {lines.listed(names)}") if names else "Nothing is left.")


def _time(turn: Turn) -> None:
    state = turn.state
    begun = 0.0 if state.mode is Mode.READY else state.at_s - state.begun_s
    turn.say(lines.elapsed(begun, state.skill.minutes))
    oxygen = oxygen_line(turn)
    asks = {spec.quantity for step in state.skill.steps for spec in step.readings}
    if not oxygen and {Quantity.PRESSURE, Quantity.FLOW} <= asks:
        oxygen = "For the oxygen I need the pressure and the flow."
    turn.say(oxygen)
    for line in since_lines(state):
        turn.say(line)


def _skip(turn: Turn) -> None:
    step = suggested(turn.state)
    if step is None:
        return
    if step.id in turn.state.done:
        turn.state = replace(turn.state, focus=None)
    else:
        leave_out(turn, step)
    if len(turn.sentences) < 2:
        lead_on(turn)


def _pause(turn: Turn) -> None:
    if turn.state.mode is not Mode.READY:
        turn.state = replace(turn.state, mode=Mode.PAUSED, pending=None)
    stop_interval(turn)
    stop_pace(turn)
    turn.note("paused")
    turn.do(CancelTimer(NUDGE))
    turn.say(lines.PAUSED, About.FRAME)


def _restart(turn: Turn) -> None:
    """All as it was at the beginning, complications still to come; only the voice stays."""
    stop_clock(turn)
    before = turn.state
    if before.started is None:
        return
    turn.state = _with_manner_of(
        before,
        replace(
            opening(before.skill_file, before.started),
            mode=Mode.RUNNING,
            begun_s=before.at_s,
            before_restart=replace(before, before_restart=None, pending=None),
        ),
    )
    turn.note("restarted")
    start_limit(turn)
    begin_scenario(turn)
    turn.say("From the start.", About.FRAME)
    lead_on(turn)


def _with_manner_of(now: State, other: State) -> State:
    """Another state at the present time, with the voice and the way of speaking as they are now."""
    return replace(
        other,
        at_s=now.at_s,
        rate=now.rate,
        volume=now.volume,
        short=now.short,
        help_page=now.help_page,
        last_said=now.last_said,
        training=now.training,
        speaking=now.speaking,
    )


def _undo(turn: Turn) -> None:
    state = turn.state
    if isinstance(state.pending, ReadBack):
        contradict(turn)
        return
    if state.pending is not None:
        # It denies what the coach asks about, of which nothing is credited yet.
        turn.state = replace(state, pending=None, misses=0)
        lead_on(turn)
        return
    if take_back_warning(turn):
        pass
    elif state.timing:
        stop_clock(turn)
        turn.say("The count is stopped and taken back.")
    elif state.before_restart is not None and not state.credits:
        turn.state = _with_manner_of(state, replace(state.before_restart, mode=Mode.RUNNING))
        turn.note("restart-undone")
        start_again(turn)
        turn.say("Back to where we were.")
    else:
        _take_last_back(turn)
    lead_on(turn)


def _take_last_back(turn: Turn) -> None:
    """What the coach went back to, else what was credited last."""
    state = turn.state
    focus = (state.focus,) if state.focus in state.done and state.focus else ()
    steps = focus or state.last_credited or tuple(credit.step for credit in state.credits[-1:])
    if not steps:
        turn.say("There is nothing to take back.")
        return
    names = [step.name for step in state.skill.steps if step.id in steps]
    take_back(turn, steps)
    turn.state = replace(turn.state, asked=steps[0])
    turn.say(lines.sentence(f"taken back: {lines.listed(names)}"))


def _help(turn: Turn) -> None:
    page = turn.state.help_page % len(lines.HELP_PAGES)
    turn.state = replace(turn.state, help_page=page + 1)
    turn.note("help", words=examples())
    turn.say(lines.HELP_PAGES[page])


def _stop(turn: Turn) -> None:
    stop_interval(turn)
    stop_pace(turn)
    turn.state = replace(turn.state, mode=Mode.PAUSED, pending=ConfirmStop())
    turn.do(CancelTimer(NUDGE))
    turn.note("stop-asked")
    turn.urgent = True
    turn.say(lines.CONFIRM_STOP, About.FRAME)


def _voice(rate: float = 1.0, volume: float = 1.0) -> Callable[[Turn], None]:
    def change(turn: Turn) -> None:
        state = turn.state
        new_rate = min(FASTEST, max(SLOWEST, state.rate * rate))
        new_volume = min(LOUDEST, max(SOFTEST, state.volume * volume))
        turn.state = replace(turn.state, rate=new_rate, volume=new_volume)
        turn.do(CutOff())
        turn.do(SetVoice(new_rate, new_volume))
        turn.note("voice", rate=round(new_rate, 3), volume=round(new_volume, 3))
        _repeat(turn)

    return change


def _words(short: bool) -> Callable[[Turn], None]:
    def change(turn: Turn) -> None:
        turn.state = replace(turn.state, short=short)
        turn.note("words", short=short)
        turn.say("Short it is." if short else "In full again.")
        lead_on(turn)

    return change


HANDLERS: Mapping[Command, Callable[[Turn], None]] = {
    Command.NEXT: _next,
    Command.BACK: _back,
    Command.REPEAT: _repeat,
    Command.WHY: _why,
    Command.HOW: _how,
    Command.LEFT: _left,
    Command.TIME: _time,
    Command.SKIP: _skip,
    Command.PAUSE: _pause,
    Command.RESUME: _resume,
    Command.RESTART: _restart,
    Command.UNDO: _undo,
    Command.HELP: _help,
    Command.STOP: _stop,
    Command.QUIET: silence,
    Command.SLOWER: _voice(rate=1 / RATE_STEP),
    Command.FASTER: _voice(rate=RATE_STEP),
    Command.LOUDER: _voice(volume=VOLUME_STEP),
    Command.SOFTER: _voice(volume=1 / VOLUME_STEP),
    Command.SHORTER: _words(short=True),
    Command.LONGER: _words(short=False),
}
"""Every command has its handler; a test walks the table."""

WHILE_PAUSED = frozenset(
    {Command.RESUME, Command.NEXT, Command.STOP, Command.HELP, Command.RESTART, Command.TIME}
    | {Command.REPEAT, Command.LEFT, Command.SLOWER, Command.FASTER, Command.LOUDER}
    | {Command.SOFTER, Command.PAUSE, Command.UNDO}
)
"""Commands answered while the session is paused."""
