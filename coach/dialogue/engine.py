"""The conversation itself: `advance` takes a state and an event and gives the next state.

NEW --SessionStarted--> READY --I'm ready, or any step--> RUNNING --all done--> ENDED
RUNNING --wait, stop--> PAUSED --go on--> RUNNING; PAUSED --yes, end here--> ENDED
any --this is real--> SILENCED
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from coach.core.meaning import Command, Kind, Meaning
from coach.dialogue import lines
from coach.dialogue.crediting import finish, lead_on
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
from coach.dialogue.heard import again_to_stand, heard
from coach.dialogue.oxygen import forget_gauge
from coach.dialogue.pace import go_on_with_pace
from coach.dialogue.patient import end_scenario, scenario_of
from coach.dialogue.state import Mode, ReadBack, State, opening
from coach.dialogue.talk import start_again, start_limit
from coach.dialogue.timers_fired import pace_over, timer_fired
from coach.dialogue.turn import COUNT, INTERVAL, LIMIT, NUDGE, PACE, STAND, About, Turn
from coach.procedure.skill_file import SkillFile


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


def _key(turn: Turn, event: KeyPressed) -> None:
    meanings = {
        "yes": Meaning("yes", Kind.ANSWER, answer="yes", confidence=1.0),
        "next": Meaning("next", Kind.COMMAND, command=Command.NEXT, confidence=1.0),
        "repeat": Meaning("repeat", Kind.COMMAND, command=Command.REPEAT, confidence=1.0),
    }
    if event.key not in meanings:
        raise UnlawfulEventError(f"there is no key '{event.key}': use yes, next or repeat")
    if event.key == "yes" and turn.state.pace is not None:
        pace_over(turn)
        return
    heard(turn, Heard(event.at_s, meanings[event.key]))


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
        again_to_stand(turn)


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
        asked_anew=None,
        speaking=False,
        cut_short=False,
        coming_again=frozenset(),
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
    Heard: heard,
    SpeechStarted: _speech_started,
    SpeechEnded: _speech_ended,
    LineEnded: _line_ended,
    TimerFired: timer_fired,
    KeyPressed: _key,
    DeviceReported: _device,
    SessionResumed: _resumed,
    InputEnded: _input_ended,
    NextLearnerCalled: _next_called,
}
"""One row for each event class; what an event does in which mode stands in its function."""
