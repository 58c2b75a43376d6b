"""The hearing check put together: ten phrases asked for, heard as in a practice, and measured."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import numpy as np

from coach.app.sound import coachs_synthesiser
from coach.core.errors import MissingError
from coach.core.meaning import YES_NO, Command, Expectation, Meaning
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity, Unit
from coach.dialogue.moment import hint_of
from coach.edges.engines import open_recogniser
from coach.edges.loudspeaker import Loudspeaker
from coach.edges.microphone import Microphone
from coach.edges.segmenter import Activity, Segmenter, recognise
from coach.edges.settings import Settings
from coach.edges.spoken_voice import SpokenVoice
from coach.edges.typed_ear import SilentVoice
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.check import Block, Check, Phrase, measure, paired
from coach.hearing.endpointer import SpeechStart, Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context, Range, StepWords, Words
from coach.language.understand import understand
from coach.session.costs import LIMITS
from coach.session.judgement import judge
from coach.session.moment import Moment
from coach.session.ports import EarReported, Recogniser, Voice

PATIENCE_S = 6.0
"""How long a phrase is waited for."""

TAIL_S = 0.3
"""The room gives the coach's own voice back this long after its line."""

EDGE_S = 0.1
"""Sound this near to a word is not taken for the noise of the room."""

BLOCK_SAMPLES = 480
READ_TIMEOUT_S = 0.1
CLOSING_S = 1.0
"""Quiet after a recording, so that its last word ends."""

MOST_TURNS = 4
"""So many turns without words and the next phrase is asked for."""

GIVE_UP_AFTER = 3
"""Nothing heard of the first phrases: the rest would be asked for in vain."""

GONE = "The microphone is gone: plug it in again and start the check again."
GREETING = "I will ask you for ten short things. Say each one after me."


Show = Callable[[str], None]
"""Shows one line as a caption."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """A phrase to say, what the coach expects with it, and whether a meaning is the right one."""

    say: str
    means: Callable[[Meaning], bool]
    expect: Expectation | None = None
    allowed: Range | None = None

    @property
    def is_number(self) -> bool:
        """Whether a number is to be said."""
        return isinstance(self.expect, Quantity)

    @property
    def needed(self) -> float:
        """How sure the recogniser must be for it to count; a number for being read back."""
        if self.is_number:
            return LIMITS.number
        return LIMITS.yes if self.say == "yes" else LIMITS.command

    @property
    def context(self) -> Context:
        """The moment in which it would be said in a practice."""
        return Context(_STEPS, self.expect, self.allowed)

    @property
    def hint(self) -> Hint:
        """What the recogniser is told in that moment."""
        return hint_of(self.context)


def _answers(answer: str) -> Callable[[Meaning], bool]:
    return lambda meaning: meaning.answer == answer


def _commands(command: Command) -> Callable[[Meaning], bool]:
    return lambda meaning: meaning.command is command


def _confirms(step: str) -> Callable[[Meaning], bool]:
    return lambda meaning: any(m.step == step and not m.denied for m in meaning.steps)


def _reads(value: float) -> Callable[[Meaning], bool]:
    return lambda meaning: any(reading.values == (value,) for reading in meaning.readings)


PROMPTS = (
    Prompt("yes", _answers("yes"), YES_NO),
    Prompt("no", _answers("no"), YES_NO),
    Prompt("stop", _commands(Command.STOP)),
    Prompt("next", _commands(Command.NEXT)),
    Prompt("gloves on", _confirms("gloves")),
    Prompt("no leaks", _confirms("leaks")),
    Prompt("seventeen hundred", _reads(1700.0), Quantity.PRESSURE, Range(0.0, 2216.0, Unit.PSI)),
    Prompt("fifteen", _reads(15.0), Quantity.FLOW, Range(0.0, 25.0, Unit.LITRES_PER_MINUTE)),
    Prompt("what's left", _commands(Command.LEFT)),
    Prompt("I'm ready", _commands(Command.RESUME)),
)

_STEPS = (
    StepWords("gloves", Words(("gloves on", "my gloves are on", "gloves and glasses on"))),
    StepWords("leaks", Words(("no leaks", "i hear no leaks", "nothing leaks"), absent=("leak",))),
)


def check_hearing(settings: Settings, recording: Path | None, show: Show) -> Check:
    """Ask for each phrase by voice and caption, and hear it with the microphone or a recording.

    From a recording nothing is asked. MissingError without a microphone or when it goes. No sound
    is kept.
    """
    samples = None if recording is None else read_recording(recording)
    model = Path(settings.model) if settings.model else None
    recogniser, activity = open_recogniser(settings.engine, model), VoiceActivity()
    if samples is not None:
        return take_all(Listening(recorded_blocks(samples), activity), recogniser)
    with ExitStack() as stack:
        microphone = stack.enter_context(closing(Microphone(settings.microphone)))
        voice = stack.enter_context(closing(_voice(settings, stack, show)))
        show(GREETING)
        voice.say(GREETING)
        listening = Listening(live_blocks(microphone), activity)
        return ask_all(listening, recogniser, voice, show, PATIENCE_S)


def _voice(settings: Settings, stack: ExitStack, show: Show) -> Voice:
    """The coach's voice; captions alone do where there is none."""
    try:
        synthesiser = stack.enter_context(closing(coachs_synthesiser(settings)))
        synthesiser.voice()
        voice = SpokenVoice(synthesiser, Loudspeaker(settings.loudspeaker), show)
        voice.change(settings.rate, 1.0)
    except MissingError as missing:
        show(f"Read what to say here, for I cannot speak: {missing}")
        return SilentVoice()
    return voice


class BlockReader(Protocol):
    """A microphone, as coach.edges.microphone.Microphone."""

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        """The next block, a report, or None when nothing came."""


def live_blocks(microphone: BlockReader) -> Iterator[Samples]:
    """The blocks of a microphone; MissingError when it goes."""
    while True:
        got = microphone.read(READ_TIMEOUT_S)
        if isinstance(got, EarReported):
            raise MissingError(GONE)
        if got is not None:
            yield got


def recorded_blocks(samples: Samples) -> Iterator[Samples]:
    """The blocks of a recording and some quiet after it."""
    for begin in range(0, len(samples), BLOCK_SAMPLES):
        yield samples[begin : begin + BLOCK_SAMPLES]
    yield np.zeros(round(CLOSING_S * SAMPLE_RATE_HZ), np.float32)


class Listening:
    """Turns of speech out of a stream of blocks, and the sound of the room between them."""

    def __init__(self, blocks: Iterator[Samples], activity: Activity) -> None:
        self._blocks = blocks
        self._segmenter = Segmenter(activity)
        self.quiet: list[Block] = []

    def skip_while(self, speaking: Callable[[], bool]) -> None:
        """Let the coach's own line and what the room gives back of it pass unheard."""
        if not speaking():
            return
        while speaking():
            next(self._blocks, None)
        tail = round(TAIL_S * SAMPLE_RATE_HZ)
        while tail > 0 and (block := next(self._blocks, None)) is not None:
            tail -= len(block)
        self._segmenter.restart()

    def next_turn(self, hint: Hint, patience_s: float) -> Utterance | None:
        """The next turn; None when none began in time or the sound is over."""
        self._segmenter.expect(hint)
        endpointer = self._segmenter.endpointer
        began_at = endpointer.at_sample
        quiet: list[Samples] = []
        is_open = False
        while is_open or endpointer.at_sample - began_at < patience_s * SAMPLE_RATE_HZ:
            block = next(self._blocks, None)
            cuts = list(endpointer.finish()) if block is None else self._segmenter.feed(block)
            if block is not None and not is_open:
                quiet.append(block)
            for cut in cuts:
                if isinstance(cut, SpeechStart):
                    is_open = True
                    self._keep(quiet, cut.at_sample - began_at)
                elif isinstance(cut, Utterance):
                    return cut
            if block is None:
                break
        self._keep(quiet, endpointer.at_sample - began_at)
        return None

    def _keep(self, blocks: list[Samples], until: int) -> None:
        """Keep the first `until` samples of the blocks, less the edge of the word after them."""
        if blocks:
            edge = round(EDGE_S * SAMPLE_RATE_HZ)
            self.quiet.append(np.concatenate(blocks)[: max(0, until - edge)])


def ask_all(
    listening: Listening, recogniser: Recogniser, voice: Voice, show: Show, patience_s: float
) -> Check:
    """Ask for each phrase in turn, and wait `patience_s` for it."""
    phrases: list[Phrase] = []
    speech: list[Block] = []
    for number, prompt in enumerate(PROMPTS, 1):
        if number > GIVE_UP_AFTER and not speech:
            phrases.append(_unsaid(prompt))
            continue
        line = f"Say: {prompt.say}."
        show(f"{number} of {len(PROMPTS)}. {line}")
        voice.say(line)
        listening.skip_while(voice.busy)
        answer = _answer(listening, recogniser, prompt, patience_s)
        if answer is None:
            phrases.append(_unsaid(prompt))
            continue
        turn, heard = answer
        phrases.append(_judged(prompt, turn, heard))
        speech.append(_spoken(turn))
    return Check(tuple(phrases), measure(speech, listening.quiet))


def _answer(
    listening: Listening, recogniser: Recogniser, prompt: Prompt, patience_s: float
) -> tuple[Utterance, Hypothesis] | None:
    """The first turn with words in it; a cough is none, and neither is a room that never rests."""
    for _ in range(MOST_TURNS):
        turn = listening.next_turn(prompt.hint, patience_s)
        if turn is None:
            return None
        heard = recognise(recogniser, turn, prompt.hint)
        if heard.text:
            return turn, heard
    return None


def take_all(listening: Listening, recogniser: Recogniser) -> Check:
    """The phrases as they come in a recording; one that is missing leaves the others in place."""
    turns: list[Utterance] = []
    while (turn := listening.next_turn(Hint(), math.inf)) is not None:
        if recognise(recogniser, turn, Hint()).text:
            turns.append(turn)
    # Phrases in moments of the same expectation share a hint: a turn is recognised once for each.
    hints = {prompt.expect: prompt.hint for prompt in PROMPTS}
    words = {
        expect: [recognise(recogniser, turn, hint) for turn in turns]
        for expect, hint in hints.items()
    }
    heard = [
        [
            _judged(prompt, turn, said)
            for turn, said in zip(turns, words[prompt.expect], strict=True)
        ]
        for prompt in PROMPTS
    ]
    places = paired([[phrase.understood for phrase in row] for row in heard])
    phrases = (
        _unsaid(prompt) if place is None else row[place]
        for prompt, row, place in zip(PROMPTS, heard, places, strict=True)
    )
    return Check(tuple(phrases), measure([_spoken(turn) for turn in turns], listening.quiet))


def _judged(prompt: Prompt, turn: Utterance, heard: Hypothesis) -> Phrase:
    """What a turn is worth as that phrase, judged as in a practice."""
    said = understand(heard.text, prompt.context)
    meaning = judge(said, heard, Moment(prompt.expect)).meaning
    return Phrase(
        say=prompt.say,
        heard=heard.text,
        understood=prompt.means(meaning),
        is_number=prompt.is_number,
        confidence=round(heard.confidence, 3),
        margin=round(heard.confidence - prompt.needed, 3),
        level_dbfs=measure([_spoken(turn)], []).level_dbfs,
    )


def _unsaid(prompt: Prompt) -> Phrase:
    return Phrase(prompt.say, is_number=prompt.is_number)


def _spoken(turn: Utterance) -> Block:
    """The sound of a turn from its first word to its last."""
    first = turn.first_sample
    return turn.samples[turn.began_at_sample - first : turn.ended_at_sample - first]
