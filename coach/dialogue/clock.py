"""The time told aloud while something goes on for a step; it runs on whatever else is said."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.effects import CancelTimer, StartTimer
from coach.dialogue.interval import stop_interval
from coach.dialogue.pace import stop_pace
from coach.dialogue.state import RunningClock, State
from coach.dialogue.turn import COUNT, About, Turn
from coach.procedure.model import ClockSpec, Step
from coach.report.summary import Count
from coach.trade.wording import cardinal

LONGEST_COUNT_S = 60
"""The count stops here if "out" was never heard."""

ENDED_BY_A_YES_FROM = 2
"""The way of talking in which a yes to "is this done?" ends what is timed."""

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
    turn.do(StartTimer(COUNT, float(_next_call(step.clock, 0)), at_once=True))


def _next_call(clock: ClockSpec, now_s: int) -> int:
    """The next second at which something is said."""
    regular = (now_s // clock.calls_every_s + 1) * clock.calls_every_s
    return min(s for s in (regular, clock.limit_s, clock.least_s) if s > now_s)


def comes_out(clock: ClockSpec) -> bool:
    """Whether what is timed ends with coming out, as a catheter does."""
    return any("out" in phrase.lower().split() for phrase in clock.end.phrases)


def tells_by_its_finding(step: Step) -> bool:
    """Whether the bad finding is what the step was to show, so that it need not last any more."""
    return step.clock is not None and step.clock.unless_found


def ends_with_its_telling(state: State, step: Step, done_said: bool) -> bool:
    """Whether what has to last for this step ends as the step is told, or said to be "done".

    "I'm pressing on it" tells of what goes on; "no drift" and "done" tell what came of it. A "done"
    in time waits for what has to be said aloud.
    """
    spec, clock = step.clock, state.clock
    if spec is None or not spec.least_s or clock is None or clock.step != step.id:
        return False
    if done_said and step.aloud:
        return state.at_s - clock.started_s < spec.least_s
    return done_said or spec.unless_found


def ends_by_a_word(state: State, step: str) -> bool:
    """Whether this step is timed now and over as soon as that is said; whatever has to last is not.

    Asked whether it is done, because the word was not heard surely, the learner ends it by a yes.
    """
    if state.conversation < ENDED_BY_A_YES_FROM:
        return False
    timed = state.step(step)
    running = state.clock is not None and state.clock.step == step
    return running and timed is not None and timed.clock is not None and not timed.clock.least_s


def end_clock(turn: Turn, step: Step, *, found: bool = False) -> bool:
    """Stop counting and say how long it was; false when it does not do for this step.

    With `found` it had not to last any longer.
    """
    clock = turn.state.clock
    if clock is None or clock.step != step.id or step.clock is None:
        return False
    seconds = round(_ended_s(turn.state, clock, step.clock) - clock.started_s, 1)
    ended = Count(step.id, seconds, step.clock.limit_s, 0 if found else step.clock.least_s)
    turn.state = replace(turn.state, clock=None, clocks=(*turn.state.clocks, ended))
    turn.do(CancelTimer(COUNT))
    turn.note("clock-ended", step=step.id, seconds=seconds, over=ended.over)
    turn.urgent = True
    whole = int(seconds)
    if step.clock.least_s:
        turn.say(lines.sentence(f"that was {lines.seconds_words(whole)}"), About.COUNT)
    else:
        limit = f"; the limit is {cardinal(step.clock.limit_s)}" if ended.over else ""
        unit = "second" if whole == 1 else "seconds"
        told = "out after" if comes_out(step.clock) else "that was"
        turn.say(lines.sentence(f"{told} {cardinal(whole)} {unit}{limit}"), About.COUNT)
    if ended.under:
        lasting = f"it has to last {lines.seconds_words(step.clock.least_s)}"
        turn.say(lines.sentence(step.clock.under or lasting), About.COUNT)
        turn.led = True
    return not ended.under


def _ended_s(state: State, clock: RunningClock, spec: ClockSpec) -> float:
    """When what was timed ended: a look or feel was over when the learner began to tell of it.

    What comes out comes out with the word, and what has to last lasts until it was heard.
    """
    since_s = state.spoken_since_s
    told = state.started is not None and state.started.ends_as_told
    if not told or spec.least_s or comes_out(spec):
        return state.at_s
    return since_s if since_s is not None and since_s > clock.started_s else state.at_s


def stop_clock(turn: Turn) -> None:
    """Forget whatever runs by the clock, without crediting anything."""
    stop_interval(turn)
    stop_pace(turn)
    if turn.state.clock is not None:
        turn.note("clock-stopped", step=turn.state.clock.step)
        turn.state = replace(turn.state, clock=None)
        turn.do(CancelTimer(COUNT))


def stop_clock_left_behind(turn: Turn, step: Step) -> None:
    """Forget a count over its limit once another step is done: its end was not heard."""
    clock = turn.state.clock
    timed = turn.state.step(clock.step) if clock else None
    if clock is None or timed is None or timed.clock is None or timed.id == step.id:
        return
    limit_s = timed.clock.limit_s
    if limit_s and turn.state.at_s - clock.started_s > limit_s:
        stop_clock(turn)


def count(turn: Turn) -> None:
    """The time is told again, and at the limit, or when it lasted long enough, what to do."""
    clock = turn.state.clock
    if clock is None:
        return
    step = turn.state.step(clock.step)
    spec = step.clock if step else None
    longest = max(LONGEST_COUNT_S, 2 * spec.limit_s, 2 * spec.least_s) if spec else 0
    if step is None or spec is None or clock.counted >= longest:
        stop_clock(turn)
        return
    number = _next_call(spec, clock.counted)
    turn.state = replace(turn.state, clock=RunningClock(clock.step, clock.started_s, number))
    turn.urgent = True
    last_said = turn.state.last_said
    over_s = number - spec.limit_s if spec.limit_s else -1
    every_second = spec.calls_every_s == 1
    if not (every_second and 0 < over_s <= WARNING_S):
        said = cardinal(number) if every_second else lines.seconds_words(number)
        turn.say(lines.sentence(said))
    if over_s == 0:
        turn.say(lines.sentence(spec.over or "stop there and come out"))
        turn.note("clock-over", step=step.id, limit_s=spec.limit_s)
    if number == spec.least_s:
        turn.say(lines.sentence(spec.reached))
        turn.note("clock-reached", step=step.id, least_s=spec.least_s)
    turn.keep_saying(last_said)
    due = clock.started_s + _next_call(spec, number) - turn.state.at_s
    turn.do(StartTimer(COUNT, max(0.05, due), at_once=True))
