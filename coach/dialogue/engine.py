"""The conversation itself: `advance` takes a state and an event and gives the next state.

NEW --SessionStarted--> READY --I'm ready, or any step--> RUNNING --all done--> ENDED
RUNNING --wait, stop--> PAUSED --go on--> RUNNING; PAUSED --yes, end here--> ENDED
any --this is real--> SILENCED
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from coach.core.meaning import Command, CylinderTold, Kind, Meaning
from coach.dialogue import lines
from coach.dialogue.answers import answered, ask_again
from coach.dialogue.burned import note_burned_parts
from coach.dialogue.clock import count
from coach.dialogue.crediting import after_credits, credit, finish, lead_on, take_mentions
from coach.dialogue.effects import CancelTimer, CutOff, Effect, Finish, GivePace, StartTimer
from coach.dialogue.events import (
    DeviceReported,
    Event,
    Heard,
    InputEnded,
    KeyPressed,
    LineEnded,
    NextLearnerCalled,
    SessionResumed,
    SessionStarted,
    SpeechEnded,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.forbidden import warn
from coach.dialogue.hints import hint, more_to_give
from coach.dialogue.interval import end_interval, without_begun
from coach.dialogue.misses import choose_between, not_understood
from coach.dialogue.numbers import let_stand, take_corrections, take_readings
from coach.dialogue.oxygen import forget_gauge
from coach.dialogue.pace import end_pace, go_on_with_pace
from coach.dialogue.patient import HAPPENS, call_minute, end_scenario, happen, scenario_of
from coach.dialogue.progress import suggested
from coach.dialogue.quietly import commanded_quietly, heard_quietly
from coach.dialogue.since import SINCE, call_since
from coach.dialogue.state import (
    ChooseStep,
    ConfirmStep,
    ConfirmStop,
    ConfirmTraining,
    DoubtScore,
    Mode,
    ReadBack,
    State,
    WhichUnit,
    opening,
)
from coach.dialogue.talk import (
    HANDLERS,
    WHILE_PAUSED,
    begin,
    go_on,
    silence,
    start_again,
    start_limit,
)
from coach.dialogue.training import act_on, told_of_cylinder
from coach.dialogue.turn import (
    COUNT,
    INTERVAL,
    LIMIT,
    MINUTE,
    NUDGE,
    PACE,
    STAND,
    STAND_SECONDS,
    About,
    Turn,
)
from coach.dialogue.weight import note_weight
from coach.language.counting import counted_in, told_among_numbers
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way


class UnlawfulEventError(Exception):
    """An event that cannot happen in this state; the state stays as it was."""


def new_state(skill_file: SkillFile) -> State:
    """The state before a session of that skill begins."""
    return State(skill_file)


def advance(state: State, event: Event) -> tuple[State, tuple[Effect, ...]]:
    """The state after an event, and what to say and do.

    Raises UnlawfulEventError for a second SessionStarted, for anything before it or after the
    end, and for an event from before the last one; the given state is never changed.
    """
    started = isinstance(event, SessionStarted)
    if started != (state.mode is Mode.NEW):
        raise UnlawfulEventError(f"{type(event).__name__} in a session that is {state.mode}")
    if state.mode is Mode.ENDED:
        raise UnlawfulEventError(f"{type(event).__name__} after the end of the session")
    if event.at_s < state.at_s:
        raise UnlawfulEventError(f"{type(event).__name__} at {event.at_s} s, before {state.at_s} s")
    turn = Turn(state)
    turn.state = replace(turn.state, at_s=event.at_s)
    if state.mode is Mode.SILENCED and not isinstance(
        event, Heard | InputEnded | NextLearnerCalled
    ):
        return turn.state, ()
    _TRANSITIONS[type(event)](turn, event)
    if isinstance(event, Heard | SpeechEnded | KeyPressed):
        turn.state = replace(turn.state, spoken_since_s=None)
    go_on_with_pace(turn, state.pace)
    if turn.state.mode is Mode.ENDED:
        turn.finish_line()
        turn.do(CancelTimer(NUDGE))
        turn.do(CancelTimer(COUNT))
        turn.do(CancelTimer(STAND))
        turn.do(CancelTimer(INTERVAL))
        turn.do(CancelTimer(PACE))
        turn.do(CancelTimer(LIMIT))
        end_scenario(turn)
        turn.do(Finish())
    if turn.state.quiet:  # the learner keeps the beat alone
        turn.effects = [effect for effect in turn.effects if not isinstance(effect, GivePace)]
    return turn.state, tuple(turn.effects)


def _started(turn: Turn, event: SessionStarted) -> None:
    rules = turn.state.skill_file.in_force
    if event.program != (rules.key if rules else ""):
        raise UnlawfulEventError("the session was begun by other rules than are in force now")
    turn.state = opening(turn.state.skill_file, event)
    turn.note("started", skill=event.skill, choices=dict(event.choices))
    if rules is not None:
        turn.say(lines.introduction_by(turn.state, rules), About.FRAME)
        for weaker, reason in rules.weaker:
            turn.finish_line()
            turn.say(weaker, About.FRAME)
            given = f"the reason that your program gives: {reason}"
            turn.say(lines.sentence(given), About.FRAME)
        if turn.state.quiet and rules.scoring is not None:
            otherwise = lines.scored_otherwise(rules.scoring, event.safety_ends)
            if otherwise:
                turn.finish_line()
                turn.say(otherwise, About.FRAME)
        turn.finish_line()
    elif turn.state.quiet:
        turn.say(lines.introduction_quiet(turn.state), About.FRAME)
    else:
        turn.say(lines.introduction(turn.state))
    scenario = scenario_of(turn.state)
    if scenario is not None:
        turn.finish_line()
        turn.say(lines.sentence(scenario.dispatch), About.FINDING)
    if turn.state.quiet:
        turn.finish_line()
        turn.say(lines.quiet_frame(turn.state.way, event.limit_seconds), About.FRAME)
        turn.say(lines.READY, About.FRAME)
    elif rules is not None:
        turn.say(lines.BEGIN)
    turn.listen()


def _heard(turn: Turn, event: Heard) -> None:
    meaning = event.meaning
    if meaning.command is Command.QUIET:
        silence(turn)
        turn.finish_line()
        return
    if turn.state.mode is Mode.SILENCED:
        if meaning.command is Command.STOP:
            turn.state = replace(turn.state, mode=Mode.ENDED)
            turn.note("ended-silently")
        return
    if not meaning.text or meaning.idle:
        _again_to_stand(turn)
        return
    turn.state = replace(turn.state, nudged=False, cut_short=False, said_again=False)
    if counted_in(meaning.text):
        turn.state = replace(turn.state, spoken_since_s=None)  # counted on into the words
    if turn.state.mode is Mode.PAUSED:
        _heard_paused(turn, meaning)
    else:
        _heard_running(turn, meaning)
    if turn.state.mode is not Mode.ENDED:
        turn.listen()


def _again_to_stand(turn: Turn) -> None:
    """Noise interrupted the silence in which a sure number would have stood."""
    pending = turn.state.pending
    if isinstance(pending, ReadBack) and pending.sure:
        turn.do(StartTimer(STAND, STAND_SECONDS))


def _heard_paused(turn: Turn, meaning: Meaning) -> None:
    stopping = isinstance(turn.state.pending, ConfirmStop)
    if stopping and (meaning.answer == "yes" or meaning.command is Command.STOP):
        finish(turn)
        return
    if stopping and (meaning.answer == "no" or meaning.command is Command.UNDO):
        go_on(turn)
        return
    clock = turn.state.clock
    counted = [mention for mention in meaning.steps if clock and mention.step == clock.step]
    if counted:
        take_mentions(turn, counted)
    elif meaning.command in WHILE_PAUSED and meaning.command is not None:
        turn.note("asked", command=str(meaning.command))
        if turn.state.quiet:
            commanded_quietly(turn, meaning.command)
        else:
            HANDLERS[meaning.command](turn)
    elif meaning.kind is not Kind.NONE and not stopping:
        turn.say(lines.STILL_PAUSED, About.FRAME)


def _heard_running(turn: Turn, meaning: Meaning) -> None:
    if turn.state.counting_aloud and meaning.command is None:
        if not told_among_numbers(meaning):
            turn.note("counted-aloud", text=meaning.text)
            return
        meaning = replace(meaning, steps=told_among_numbers(meaning), readings=(), answer=None)
    if turn.state.mode is Mode.READY and _begins(meaning):
        begin(turn)
        if not meaning.steps and not meaning.readings:
            lead_on(turn)
            return
    note_burned_parts(turn, meaning)
    weighed = note_weight(turn, meaning)
    if weighed and meaning.kind is Kind.NONE:
        ask_again(turn)
        after_credits(turn)
        return
    if turn.state.quiet:
        heard_quietly(turn, without_begun(turn.state, meaning))
        return
    if meaning.answer and not _of_cylinder(turn, meaning) and answered(turn, meaning):
        return
    acted = False
    if meaning.command is not None:
        turn.note("asked", command=str(meaning.command))
        turn.state = replace(turn.state, misses=0)
        HANDLERS[meaning.command](turn)
        return
    turn.state = replace(turn.state, warned=())
    told, meaning = told_of_cylinder(turn.state, without_begun(turn.state, meaning))
    if meaning.steps:
        warn(turn, meaning.steps)
        if isinstance(
            turn.state.pending, ConfirmStep | ChooseStep | ConfirmTraining | DoubtScore | WhichUnit
        ):
            turn.state = replace(turn.state, pending=None)
        turn.state = replace(turn.state, misses=0)
        take_mentions(turn, meaning.steps, meaning.done_said, meaning.text)
        acted = True
    if meaning.readings:
        left = take_corrections(turn, meaning)
        acted = acted or len(left) < len(meaning.readings)
        meaning = replace(meaning, readings=left)
    if meaning.readings:
        mentioned = [mention.step for mention in meaning.steps]
        acted = take_readings(turn, meaning.readings, mentioned) or acted
    if told is not None:
        act_on(turn, told)
        acted = turn.state.mode is not Mode.READY
    if acted:
        ask_again(turn)
        after_credits(turn)
    elif told is not None:
        pass
    elif isinstance(turn.state.pending, ChooseStep):
        choose_between(turn, meaning)
    else:
        not_understood(turn, meaning)


def _of_cylinder(turn: Turn, meaning: Meaning) -> bool:
    """Whether an answer to a number says what the cylinder is, which then decides: "no, it's a
    real one"."""
    told = meaning.cylinder in {CylinderTold.TRAINING, CylinderTold.REAL}
    return told and isinstance(turn.state.pending, ReadBack)


def _begins(meaning: Meaning) -> bool:
    ready = meaning.command in {Command.RESUME, Command.NEXT} or meaning.done_said
    return bool(ready or meaning.answer == "yes" or meaning.steps or meaning.readings)


def _timer(turn: Turn, event: TimerFired) -> None:
    running = turn.state.mode is Mode.RUNNING
    if event.name == COUNT:
        count(turn)
    elif event.name.startswith(SINCE) and running:
        call_since(turn, event.name.removeprefix(SINCE))
    elif event.name == PACE:
        _pace_over(turn)
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


def _pace_over(turn: Turn) -> None:
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


def _key(turn: Turn, event: KeyPressed) -> None:
    meanings = {
        "yes": Meaning("yes", Kind.ANSWER, answer="yes", confidence=1.0),
        "next": Meaning("next", Kind.COMMAND, command=Command.NEXT, confidence=1.0),
        "repeat": Meaning("repeat", Kind.COMMAND, command=Command.REPEAT, confidence=1.0),
    }
    if event.key not in meanings:
        raise UnlawfulEventError(f"there is no key '{event.key}': use yes, next or repeat")
    if event.key == "yes" and turn.state.pace is not None:
        _pace_over(turn)
        return
    _heard(turn, Heard(event.at_s, meanings[event.key]))


def _speech_started(turn: Turn, event: SpeechStarted) -> None:
    """Somebody speaks: the coach is quiet at once."""
    turn.state = replace(turn.state, spoken_since_s=event.at_s)
    turn.do(CancelTimer(NUDGE))
    if isinstance(turn.state.pending, ReadBack):
        turn.do(CancelTimer(STAND))
    if turn.state.pace is not None:
        return  # whoever counts with the beats does not want them to end
    if turn.state.speaking and not turn.state.said_again:
        turn.do(CutOff())
        turn.state = replace(turn.state, cut_short=True)


def _speech_ended(turn: Turn, event: SpeechEnded) -> None:
    """It was nothing: a line that was cut off for it is said again, and the nudge is due anew."""
    state = turn.state
    if state.mode is Mode.RUNNING and not state.nudged:
        turn.do(StartTimer(NUDGE, state.nudge_seconds))
    if state.cut_short:
        turn.state = replace(turn.state, cut_short=False, said_again=True)
        turn.say(turn.state.last_said)
        turn.listen()
    else:
        _again_to_stand(turn)


def _line_ended(turn: Turn, event: LineEnded) -> None:
    """Timers start by themselves at the end of a line."""
    turn.state = replace(turn.state, speaking=False)


def _device(turn: Turn, event: DeviceReported) -> None:
    """Say that a device went or came back, in place of anything older, and go on when it is back.

    A loudspeaker that does not work cannot say so.
    """
    turn.note("device", message=event.message)
    back = event.message.endswith("back.")
    if "loudspeaker" in event.message and not back:
        return
    turn.urgent = True
    turn.say(event.message, About.FRAME)
    if back and turn.state.mode is Mode.RUNNING:
        lead_on(turn)
    turn.listen()


def _resumed(turn: Turn, event: SessionResumed) -> None:
    """The gauge has to be read again: nobody knows for how long the oxygen ran on."""
    turn.note("taken-up-again")
    turn.state = replace(
        turn.state,
        clock=None,
        interval=None,
        pace=None,
        pending=None,
        speaking=False,
        cut_short=False,
    )
    forget_gauge(turn)
    if turn.state.mode is Mode.PAUSED:
        turn.state = replace(turn.state, mode=Mode.RUNNING)
    done = len(turn.state.done)
    are = "step is" if done == 1 else "steps are"
    start_limit(turn)
    if turn.state.mode is Mode.RUNNING:
        start_again(turn)
    turn.say(f"We go on where we were: {done} {are} done.", About.FRAME)
    lead_on(turn)
    turn.listen()


def _input_ended(turn: Turn, event: InputEnded) -> None:
    if turn.state.mode is Mode.SILENCED:
        turn.state = replace(turn.state, mode=Mode.ENDED)
    else:
        finish(turn)


def _next_called(turn: Turn, event: NextLearnerCalled) -> None:
    if turn.state.mode is Mode.SILENCED:
        turn.state = replace(turn.state, mode=Mode.ENDED)
        return
    turn.note("ended-for-next")
    finish(turn)


_TRANSITIONS: Mapping[type[Any], Callable[[Turn, Any], None]] = {
    SessionStarted: _started,
    Heard: _heard,
    SpeechStarted: _speech_started,
    SpeechEnded: _speech_ended,
    LineEnded: _line_ended,
    TimerFired: _timer,
    KeyPressed: _key,
    DeviceReported: _device,
    SessionResumed: _resumed,
    InputEnded: _input_ended,
    NextLearnerCalled: _next_called,
}
"""One row for each event class; what an event does in which mode stands in its function."""
