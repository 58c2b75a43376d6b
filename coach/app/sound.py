"""A practice in sound: microphone or recording, recogniser, voice and loudspeaker put together."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

from platformdirs import user_cache_path

from coach.app.learners_ear import LearnersEar, learners_ear
from coach.app.not_recorded import NOT_RECORDED
from coach.app.practice import practise
from coach.app.request import Request
from coach.app.script import Played
from coach.app.scripted_practice import Speak, practise_script
from coach.app.senses import Senses
from coach.core.errors import MissingError
from coach.core.sound import Samples
from coach.dialogue.state import State
from coach.edges.convert import convert
from coach.edges.engines import open_ears
from coach.edges.folders import APPLICATION
from coach.edges.keyboard import Keyboard
from coach.edges.listening import SoundEar
from coach.edges.loudspeaker import LineRecording, Loudspeaker, Speaker, VirtualSpeaker
from coach.edges.microphone import Microphone
from coach.edges.recorded_ear import RecordedEar
from coach.edges.second_pass import SecondPass
from coach.edges.settings import Settings
from coach.edges.spoken_voice import SpokenVoice
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Observer
from coach.session.ports import EarEvent, Recogniser, TextHeard


def practise_aloud(
    request: Request, observer: Observer, recording: Path | None, keep: Path | None
) -> State:
    """A session with the live microphone, or hearing a recording, the coach speaking.

    The input is checked before any device is opened. MissingError for what is not there.
    """
    with senses_in_sound(request.settings, observer, recording, keep) as senses:
        return practise(request, senses, observer)


@contextmanager
def senses_in_sound(
    settings: Settings, observer: Observer, recording: Path | None, keep: Path | None
) -> Iterator[Senses]:
    """The live microphone, or a recording, and the coach's voice; `keep` is where it is recorded.

    MissingError for what is not there, before anything is said.
    """
    samples = read_recording(recording) if recording else None
    recogniser, activity = _recogniser(settings, waits=samples is not None), VoiceActivity()
    with ExitStack() as stack:
        synthesiser = stack.enter_context(closing(coachs_synthesiser(settings)))
        if samples is None or settings.voice or keep:
            synthesiser.voice()  # a voice that is missing is told now, not line by line
        kept = stack.enter_context(closing(LineRecording(keep))) if keep else None
        speaker = _speaker(settings, kept, needed=samples is None)
        trouble = _Trouble()
        # Closed here, too: the microphone may fail before the session takes the voice over.
        voice = stack.enter_context(
            closing(
                SpokenVoice(
                    _Paced(synthesiser, settings.rate),
                    speaker,
                    trouble,
                    kept_ready=(NOT_RECORDED,),
                )
            )
        )
        if samples is not None:
            heard = RecordedEar(samples, recogniser, activity, voice.busy)
            yield Senses(heard, voice, skips=True)
        else:
            ear, known = live_ear(settings, recogniser, activity, voice)
            # An attempt closes its ear itself; what else is done with these senses need not.
            stack.enter_context(closing(ear))
            trouble.tell = ear.report
            yield Senses(ear, voice, False, known.own_voice)
        _tell_trouble(recogniser, observer)


def live_ear(
    settings: Settings, recogniser: Recogniser, activity: VoiceActivity, voice: SpokenVoice
) -> tuple[SoundEar, LearnersEar]:
    """The microphone, the keys and the pedal, and what the last hearing check tells of them.

    MissingError where there is no microphone.
    """
    microphone = Microphone(settings.microphone)
    known = learners_ear(os.environ, microphone.name)
    ear = SoundEar(
        microphone,
        recogniser,
        activity,
        voice.busy,
        voice.last_line,
        Keyboard(),
        hears_itself=not settings.headset,
        noise_dbfs=known.noise_dbfs,
    )
    return ear, known


SECOND_EAR_MISSING = "second-ear-missing"
"""What is noted, once and after the session, when a second ear was needed and could not be had."""


def _tell_trouble(recogniser: Recogniser, observer: Observer) -> None:
    if isinstance(recogniser, SecondPass) and recogniser.trouble:
        observer.noted(SECOND_EAR_MISSING, {"message": recogniser.trouble})


class _Trouble:
    """Passes what the voice reports to the ear, which exists only after the voice."""

    def __init__(self) -> None:
        self.tell: Callable[[str], None] = lambda _message: None

    def __call__(self, message: str) -> None:
        self.tell(message)


class _Paced:
    """A synthesiser at the user's ordinary pace."""

    def __init__(self, synthesiser: SystemSynthesiser, rate: float) -> None:
        self._synthesiser = synthesiser
        self._rate = rate

    def render(self, text: str, rate: float = 1.0) -> tuple[Samples, int]:
        """The line, `rate` times as fast as the user's ordinary pace."""
        return self._synthesiser.render(text, rate * self._rate)


def practise_script_aloud(
    skill_file: SkillFile,
    dialogue: Dialogue,
    observer: Observer,
    keep: Path | None,
    settings: Settings,
) -> Played:
    """A scripted learner whose words are synthesised and recognised, the coach's rendered."""
    recogniser = _recogniser(settings, waits=True)
    with ExitStack() as stack:
        synthesiser = stack.enter_context(closing(coachs_synthesiser(settings)))
        kept = stack.enter_context(closing(LineRecording(keep))) if keep else None
        speaker = _speaker(settings, kept, needed=False)
        voice = stack.enter_context(
            closing(SpokenVoice(_Paced(synthesiser, settings.rate), speaker))
        )
        learner = _spoken_learner(synthesiser, recogniser)
        return practise_script(skill_file, dialogue, observer, voice, learner)


RATES = (1.0, 0.85, 1.15)
"""How fast a scripted learner speaks the first, second and third time."""


def _spoken_learner(synthesiser: SystemSynthesiser, recogniser: Recogniser) -> Speak:
    def speak(text: str, hint: Hint, attempt: int) -> EarEvent:
        samples, rate_hz = synthesiser.render(text, RATES[attempt - 1])
        return TextHeard(recogniser.hear(convert(samples, rate_hz), hint))

    return speak


def _recogniser(settings: Settings, waits: bool) -> Recogniser:
    model = Path(settings.model) if settings.model else None
    return open_ears(settings.engine, model, settings.second_ear, waits)


def coachs_synthesiser(settings: Settings) -> SystemSynthesiser:
    """The coach's voice, with what it rendered before kept."""
    return SystemSynthesiser(settings.voice, user_cache_path(APPLICATION) / "speech")


def _speaker(settings: Settings, kept: LineRecording | None, needed: bool) -> Speaker:
    """The loudspeaker; where none is needed and none is there, one that only keeps the lines."""
    try:
        return Loudspeaker(settings.loudspeaker, kept)
    except MissingError:
        if needed or settings.loudspeaker:
            raise
        return VirtualSpeaker(kept)
