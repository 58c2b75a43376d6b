"""The running practice: what is heard becomes an event, is journalled, and then acts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

from coach.core.meaning import Command, Doubt, Expectation, Kind, Meaning, Reading
from coach.core.plain import Fields
from coach.dialogue.effects import (
    CancelTimer,
    CutOff,
    Effect,
    Finish,
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
    SpeechEnded,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.moment import context_of, hint_of
from coach.dialogue.state import Mode, State
from coach.dialogue.turn import STAND
from coach.hearing.hypothesis import Hypothesis
from coach.language.understand import understand
from coach.session.ports import (
    Clock,
    Ear,
    EarClosed,
    EarEvent,
    EarReported,
    Journal,
    KeyHit,
    SilencePassed,
    SpeechBegan,
    TextHeard,
    Voice,
)
from coach.session.timers import Timers

POLL_SECONDS = 0.05
"""How often a speaking voice is asked whether it has finished."""

LONGEST_WAIT_S = 1.0

AGREEING_SILENCE_S = 2.5
"""Silence that is taken to lie before a scripted or typed line that answers nothing."""

LEAST_CONFIDENCE = 0.35
"""A hypothesis less sure than this is asked about and never acted on."""

LEAST_OF_SENTENCE = 0.15
WHOLE_SENTENCE_WORDS = 4
SURE_NUMBER = 0.95
"""A number heard less surely than this does not stand by silence alone: of the five wrong ones that
could have stood so, four lay between .8 and this, of the right ones 19 in 100 (1,200 dialogues of
tests.benchmarks.dialogues with the voices and noises for tuning)."""

SURE_YES = 0.6
"""A yes heard less surely is asked for again, for it makes numbers stand. In those dialogues 13 of
868 true ones were fainter; of the numbers heard at .35 to .6 one in six was wrong."""

SURE_OUT_OF_RANGE = 0.8
"""A number outside its range and fainter than this is taken for a slip of the ear and asked for
again: 43 of the 44 read back in those dialogues were slips. True ones were not among what was said;
if one reading in twenty were, four of five so faint would still be slips."""


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

    def __init__(self, state: State, ports: Ports) -> None:
        self.state = state
        self._ports = ports
        self._timers = Timers()
        self._speaking = False

    def run(self, first: Event) -> State:
        """Run until the session ends; the state it ended in."""
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
        return self.state.mode is Mode.ENDED

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
            case EarClosed():
                self._agree_by_silence()
                if not self._over():
                    self.apply(InputEnded(self._now_s()))

    def _hear(self, heard: TextHeard) -> None:
        meaning = self._understood(heard.hypothesis)
        answers = meaning.answer or meaning.readings or meaning.command is Command.UNDO
        if self._ports.skip and self._timers.armed(STAND) and not answers and not meaning.idle:
            self._agree_by_silence()
            meaning = self._understood(heard.hypothesis)
        if self._over():
            return
        if not meaning.text:
            self.apply(SpeechEnded(self._now_s()))
            return
        self.apply(Heard(self._now_s(), meaning))

    def _understood(self, hypothesis: Hypothesis) -> Meaning:
        context = context_of(self.state)
        meaning = understand(hypothesis.text, context)
        if meaning.kind is Kind.NONE and hypothesis.second:
            second = understand(hypothesis.second, context)
            meaning = second if second.kind is not Kind.NONE else meaning
        return judged(meaning, hypothesis)

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


def judged(meaning: Meaning, hypothesis: Hypothesis) -> Meaning:
    """The meaning as far as it was heard: what was hardly heard is only likely.

    A "stop", a "this is real" and a "no" are obeyed however faint: stopping asks, silence harms
    nobody, a number denied is asked for again. A whole sentence about a step bears more slips of
    the ear than a single word. A number that was not heard surely needs the yes. Where a number
    was heard too faintly, no step is offered instead, so that the number is asked for again.
    """
    sure = hypothesis.confidence
    heard = _without_slips(meaning, sure)
    whole = bool(heard.steps) and len(heard.text.split()) >= WHOLE_SENTENCE_WORDS
    least = LEAST_OF_SENTENCE if whole or heard.readings else LEAST_CONFIDENCE
    if sure >= least or heard.command in {Command.STOP, Command.QUIET, Command.PAUSE}:
        return replace(
            heard,
            readings=tuple(_doubted(reading, sure) for reading in heard.readings),
            confidence=round(heard.confidence * sure, 3),
        )
    if heard.answer == "no":
        return Meaning(heard.text, Kind.ANSWER, answer="no", confidence=round(sure, 3))
    if meaning.readings:
        return Meaning(heard.text)
    likely = tuple(mention.step for mention in heard.steps if not mention.denied)[:2]
    return Meaning(heard.text, likely=likely or heard.likely)


def _without_slips(meaning: Meaning, sure: float) -> Meaning:
    """The meaning without a yes and without numbers that need to be heard more surely than this."""
    readings = tuple(
        reading
        for reading in meaning.readings
        if reading.doubt is not Doubt.OUT_OF_RANGE or sure >= SURE_OUT_OF_RANGE
    )
    answer = None if meaning.answer == "yes" and sure < SURE_YES else meaning.answer
    if (readings, answer) == (meaning.readings, meaning.answer):
        return meaning
    if readings:
        kind = Kind.READING
    elif answer:
        kind = Kind.ANSWER
    elif meaning.command:
        kind = Kind.COMMAND
    elif meaning.steps:
        kind = Kind.STEP
    else:
        return Meaning(meaning.text, likely=() if meaning.readings else meaning.likely)
    return replace(meaning, kind=kind, readings=readings, answer=answer)


def _doubted(reading: Reading, sure: float) -> Reading:
    if reading.doubt is not None or sure >= SURE_NUMBER:
        return reading
    return replace(reading, doubt=Doubt.HEDGED)
