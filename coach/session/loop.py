"""The running practice: what is heard becomes an event, is journalled, and then acts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

from coach.core.meaning import Command, Expectation, Kind, Meaning
from coach.core.plain import Fields
from coach.dialogue.effects import (
    CancelTimer,
    CutOff,
    Effect,
    Finish,
    GivePace,
    Listen,
    Noted,
    Say,
    SetVoice,
    StartTimer,
)
from coach.dialogue.engine import UnlawfulEventError, advance
from coach.dialogue.events import (
    DeviceReported,
    Event,
    Heard,
    InputEnded,
    KeyPressed,
    LineEnded,
    NextLearnerCalled,
    SpeechEnded,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.moment import context_of, hint_of
from coach.dialogue.state import Mode, State
from coach.dialogue.turn import STAND
from coach.language.carelessness import Weigher
from coach.session.judgement import judge, voice_after
from coach.session.likeliest import likeliest, understood
from coach.session.moment import moment_of
from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.ports import (
    Clock,
    Ear,
    EarClosed,
    EarEvent,
    EarReported,
    Journal,
    KeyHit,
    NextCalled,
    SetupChanged,
    SilencePassed,
    SpeechBegan,
    TextHeard,
    Voice,
)
from coach.session.timers import Timers
from coach.session.verdict import Decision, Verdict

POLL_SECONDS = 0.05
"""How often a speaking voice is asked whether it has finished."""

LONGEST_WAIT_S = 1.0

AGREEING_SILENCE_S = 2.5
"""Silence that is taken to lie before a scripted or typed line that answers nothing."""

LET_PASS = "let-pass"
"""What is noted of a turn that was not for the coach; it is not journalled, for it does nothing."""


class Observer(Protocol):
    """Told of everything that goes on, to show or print it."""

    def said(self, text: str) -> None:
        """The coach speaks a line."""

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """The coach listens."""

    def heard(self, meaning: Meaning) -> None:
        """An utterance was understood."""

    def noted(self, name: str, data: Fields) -> None:
        """Something worth keeping happened."""


@dataclass(frozen=True, slots=True)
class Ports:
    """The world as the session needs it. `skip` moves the clock on where silence is only scripted
    or typed, None where time is real."""

    clock: Clock
    ear: Ear
    voice: Voice
    journal: Journal
    observer: Observer
    skip: Callable[[float], None] | None = None


class Session:
    """One practice from its first event to its end."""

    def __init__(
        self,
        state: State,
        ports: Ports,
        own_voice: OwnVoice = UNKNOWN,
        careless: Weigher | None = None,
    ) -> None:
        """Begin in `state`; `own_voice` is what is known of the learner's voice, `careless` doubts
        steps by how they are told."""
        self.state = state
        self._ports = ports
        self._timers = Timers()
        self._speaking = False
        self._own_voice = own_voice
        self._careless = careless
        self._left = False

    def run(self, first: Event) -> State:
        """Run until the session ends, or is left before its beginning; the state it ended in."""
        self.apply(first)
        while not self._over():
            self._notice_end_of_line()
            self._fire_due()
            if self._over():
                break
            heard = self._ports.ear.next(self._wait_s())
            if heard is not None:
                self._take(heard)
        return self.state

    def apply(self, event: Event) -> None:
        """Let one event happen: worked out, written down, then acted on.

        An event that cannot happen now (a timer that was late) is dropped.
        """
        try:
            state, effects = advance(self.state, event)
        except UnlawfulEventError:
            return
        self._ports.journal.append(event)
        if isinstance(event, Heard):
            self._ports.observer.heard(event.meaning)
        self.state = state
        for effect in effects:
            self._act(effect)

    def _over(self) -> bool:
        return self._left or self.state.mode is Mode.ENDED

    def _now_s(self) -> float:
        return max(self._ports.clock.now_s(), self.state.at_s)

    def _wait_s(self) -> float:
        if self._speaking:
            return POLL_SECONDS
        due = self._timers.next_due_s()
        return LONGEST_WAIT_S if due is None else min(LONGEST_WAIT_S, max(0.0, due - self._now_s()))

    def _notice_end_of_line(self) -> None:
        if self._speaking and not self._ports.voice.busy():
            self._speaking = False
            self._timers.line_ended(self._now_s())
            self.apply(LineEnded(self._now_s()))

    def _fire_due(self) -> None:
        while (name := self._timers.take_due(self._now_s())) is not None:
            self.apply(TimerFired(self._now_s(), name))
            if self._over():
                return

    def _take(self, heard: EarEvent) -> None:
        match heard:
            case TextHeard():
                self._hear(heard)
            case SpeechBegan():
                self.apply(SpeechStarted(self._now_s()))
            case SilencePassed(seconds=seconds):
                self._pass_silence(seconds)
            case KeyHit(key=key):
                self.apply(KeyPressed(self._now_s(), key))
            case EarReported(message=message):
                self.apply(DeviceReported(self._now_s(), message))
            case NextCalled():
                self.apply(NextLearnerCalled(self._now_s()))
            case SetupChanged():
                self._left = self.state.mode is Mode.READY
            case EarClosed():
                self._agree_by_silence()
                if not self._over():
                    self.apply(InputEnded(self._now_s()))

    def _hear(self, heard: TextHeard) -> None:
        verdict = self._judged(heard)
        meaning = verdict.meaning
        answers = meaning.answer or meaning.readings or meaning.command is Command.UNDO
        if self._ports.skip and self._timers.armed(STAND) and not answers and not meaning.idle:
            self._agree_by_silence()
            verdict = self._judged(heard)
        if self._over():
            return
        self._own_voice = voice_after(self._own_voice, heard.hypothesis, verdict)
        meaning = verdict.meaning
        if self._keeps_unclear(verdict):
            # what was not made out is kept with how surely its words were heard: it is judged
            meaning = replace(meaning, confidence=round(heard.hypothesis.confidence, 3))
            self.apply(Heard(self._now_s(), meaning))
            return
        if verdict.decision is not Decision.IGNORE:
            self.apply(Heard(self._now_s(), meaning))
            return
        if verdict.meaning.text:
            data = {"text": verdict.meaning.text, "reason": verdict.reason}
            self._ports.observer.noted(LET_PASS, data)
        self.apply(SpeechEnded(self._now_s()))

    def _keeps_unclear(self, verdict: Verdict) -> bool:
        """Whether words that mean nothing sure are kept: the learner's, of an attempt that is
        judged afterwards."""
        state, meaning = self.state, verdict.meaning
        judged = state.quiet and state.mode is Mode.RUNNING and not state.counting_aloud
        return bool(judged and meaning.text) and not (
            verdict.neighbour or meaning.idle or meaning.kind is not Kind.NONE
        )

    def _judged(self, heard: TextHeard) -> Verdict:
        context = context_of(self.state)
        hypothesis = likeliest(heard.hypothesis, context, agreeing=self.state.quiet)
        return judge(
            understood(hypothesis, context, self._careless),
            hypothesis,
            moment_of(self.state),
            self._own_voice,
            meant=heard.typed or heard.called,
        )

    def _agree_by_silence(self) -> None:
        if self._timers.armed(STAND):
            self._pass_silence(AGREEING_SILENCE_S)

    def _pass_silence(self, seconds: float) -> None:
        """Let scripted silence pass: timers fire in their order, each at its own time."""
        if self._ports.skip is None:
            return
        self._timers.line_ended(self._now_s())
        end_s = self._now_s() + seconds
        while not self._over():
            due = self._timers.next_due_s()
            if due is None or due > end_s:
                break
            self._ports.skip(max(0.0, due - self._now_s()))
            name = self._timers.take_due(max(due, self._now_s()))
            if name is not None:
                self.apply(TimerFired(self._now_s(), name))
                self._timers.line_ended(self._now_s())
        self._ports.skip(max(0.0, end_s - self._now_s()))

    def _act(self, effect: Effect) -> None:
        voice, observer = self._ports.voice, self._ports.observer
        match effect:
            case Say(text=text, urgent=urgent):
                if urgent:
                    voice.cut_off()
                observer.said(text)
                voice.say(text)
                self._speaking = True
            case GivePace(beats=beats):
                voice.pace(beats)
                self._speaking = True
            case CutOff():
                voice.cut_off()
            case Listen(step=step, expect=expect):
                observer.listening(step, expect)
                self._ports.ear.listen(hint_of(context_of(self.state)))
            case StartTimer(name=name, seconds=seconds, at_once=at_once):
                after_line = not at_once and self._speaking
                self._timers.start(name, seconds, None if after_line else self._now_s())
            case CancelTimer(name=name):
                self._timers.cancel(name)
            case SetVoice(rate=rate, volume=volume):
                voice.change(rate, volume)
            case Noted(name=name, data=data):
                observer.noted(name, data)
            case Finish():
                pass
