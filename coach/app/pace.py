"""`coach pace` put together: beats from the facts, through the loudspeaker or into a file."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path

from coach.edges.clocks import RealClock
from coach.edges.settings import Settings
from coach.edges.typed_ear import SilentVoice, TypedEar
from coach.session.pacing import PaceEnd, run_pace
from coach.session.ports import Ear, Voice
from coach.trade.pacing import Pattern


@dataclass(frozen=True, slots=True)
class PaceRequest:
    """What is to be paced, for how many seconds, in words or clicks, and what is said first."""

    pattern: Pattern
    seconds: float
    words: bool
    line: str


def pace_typed(request: PaceRequest, tell: Callable[[str], None]) -> PaceEnd:
    """A pace that nobody hears, ended by a typed word; for machines without sound."""
    import sys

    return _run(request, TypedEar(sys.stdin), SilentVoice(), tell)


def pace_into_file(request: PaceRequest, settings: Settings, keep: Path) -> None:
    """The pace as a recording, without any device."""
    from coach.app.sound import coachs_synthesiser
    from coach.edges.loudspeaker import LineRecording, VirtualSpeaker
    from coach.edges.spoken_voice import SpokenVoice

    with ExitStack() as stack:
        synthesiser = stack.enter_context(closing(coachs_synthesiser(settings)))
        synthesiser.voice()  # a voice that is missing is told before there is a file
        recording = stack.enter_context(closing(LineRecording(keep)))
        voice = stack.enter_context(closing(SpokenVoice(synthesiser, VirtualSpeaker(recording))))
        voice.change(settings.rate, 1.0)
        voice.say(request.line)
        voice.pace(request.pattern.beats(request.seconds), request.words)


def pace_aloud(request: PaceRequest, settings: Settings, tell: Callable[[str], None]) -> PaceEnd:
    """A pace through the loudspeaker, ended by a word, a key or a pedal.

    MissingError for what is not there.
    """
    from coach.app.sound import coachs_synthesiser, live_ear
    from coach.edges.engines import open_ears
    from coach.edges.loudspeaker import Loudspeaker
    from coach.edges.spoken_voice import SpokenVoice
    from coach.edges.voice_activity import VoiceActivity

    model = Path(settings.model) if settings.model else None
    recogniser = open_ears(settings.engine, model, second=False)
    with ExitStack() as stack:
        synthesiser = stack.enter_context(closing(coachs_synthesiser(settings)))
        speaker = Loudspeaker(settings.loudspeaker)
        voice = stack.enter_context(closing(SpokenVoice(synthesiser, speaker)))
        voice.change(settings.rate, 1.0)
        ear, _ = live_ear(settings, recogniser, VoiceActivity(), voice)
        stack.enter_context(closing(ear))
        return _run(request, ear, voice, tell)


def _run(request: PaceRequest, ear: Ear, voice: Voice, tell: Callable[[str], None]) -> PaceEnd:
    tell(request.line)
    voice.say(request.line)
    beats = request.pattern.beats(request.seconds)
    return run_pace(beats, request.seconds, ear, voice, RealClock(), request.words)
