"""What no learner said moves no practice on: from broken sound to people of another language.

Each recording begins with a learner who is ready, so that the steps of the skill are open.
"""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from benchmarks.scenes import breathing, hiss
from fakes import FakeObserver

from coach.app.practice import practise
from coach.app.request import Request
from coach.app.senses import Senses
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import StreamConverter, convert
from coach.edges.embedded_recogniser import EmbeddedRecogniser
from coach.edges.recorded_ear import RecordedEar
from coach.edges.settings import Settings
from coach.edges.skill_files import load_skill
from coach.edges.typed_ear import SilentVoice
from coach.edges.voice_activity import VoiceActivity

pytestmark = pytest.mark.live

SKILL = "oral-airway"
LASTS_S = 20
MOVES = {"step-done", "finding", "skipped", "taken-back", "silenced", "paused", "restarted"}
MOVES |= {"reading-stands", "reading-offered", "clock-started", "stop-asked", "step-denied"}
"""What is noted where talk has changed something."""

TALK = "we went down to the river on Sunday and had a long lunch under the old trees there"
OTHER = "my sister keeps telling everybody about the garden and about her new yellow bicycle"
LANGUAGES = {
    "de": "Am Sonntag sind wir an den Fluss gegangen und haben unter den Bäumen gegessen",
    "fr": "Dimanche nous sommes allés au bord de la rivière et nous avons mangé sous les arbres",
    "es": "El domingo fuimos al río y comimos mucho tiempo bajo los árboles viejos",
    "pl": "W niedzielę poszliśmy nad rzekę i jedliśmy długo pod starymi drzewami",
    "cmn": "星期天我们去了河边在老树下吃了很长时间的午饭",
    "hi": "रविवार को हम नदी के किनारे गए और पुराने पेड़ों के नीचे खाना खाया",
}


def spoken(text: str, voice: str = "en-us+m3") -> Samples:
    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("espeak-ng is not installed: no synthetic speech to hear")
    run = [program, "-v", voice, "-s", "150", "--stdout", text]
    frames, rate_hz = soundfile.read(
        io.BytesIO(subprocess.run(run, capture_output=True, check=True).stdout), dtype="float32"
    )
    return convert(frames * 0.5, rate_hz)


def room(samples: int) -> Samples:
    noise = np.random.default_rng(6).normal(0.0, 20 / 32768, samples)
    return np.asarray(noise, np.float32)


def noted(*parts: Samples) -> list[str]:
    """What is noted in a practice in which these are heard one after another."""
    pause = np.zeros(SAMPLE_RATE_HZ, np.float32)
    ready = [pause, spoken("I'm ready"), pause]
    sound = np.concatenate([*ready, *(p for part in parts for p in (part, pause, pause))])
    with np.errstate(invalid="ignore"):
        sound = np.asarray(sound + room(len(sound)), np.float32)
    observer = FakeObserver()
    ear = RecordedEar(sound, EmbeddedRecogniser(), VoiceActivity())
    request = Request(load_skill(SKILL), Settings(), {})
    practise(request, Senses(ear, SilentVoice(), skips=True), observer)
    names = [name for name, _ in observer.log]
    assert "begun" in names, "the learner was not heard to be ready"
    return names


def swapped(sound: Samples) -> Samples:
    steps = np.round(sound * 32767).astype(np.int16)
    return (steps.byteswap() / 32768).astype(np.float32)


def clicks() -> Samples:
    rng = np.random.default_rng(8)
    sound = np.zeros(LASTS_S * SAMPLE_RATE_HZ, np.float32)
    sound[rng.integers(0, len(sound), 200)] = rng.choice([-1.0, 1.0], 200)
    return sound


def broken() -> Samples:
    sound = np.resize(spoken(TALK), LASTS_S * SAMPLE_RATE_HZ).copy()
    sound[::7] = np.nan
    sound[3::11] = np.inf
    return sound


def made(noise: Callable[..., np.ndarray[tuple[int, ...], np.dtype[np.float64]]]) -> Samples:
    samples = noise(LASTS_S * SAMPLE_RATE_HZ, np.random.default_rng(9))
    return np.asarray(samples * 0.05, np.float32)


def together() -> Samples:
    one, other = spoken(TALK), spoken(OTHER, "en-us+f3")
    length = min(len(one), len(other))
    return one[:length] + other[:length]


SOUNDS: dict[str, Callable[[], Samples]] = {
    "silence": lambda: np.zeros(LASTS_S * SAMPLE_RATE_HZ, np.float32),
    "clicks": clicks,
    "clipping": lambda: np.clip(spoken(TALK) * 40.0, -1.0, 1.0),
    "swapped bytes": lambda: swapped(spoken(TALK)),
    "no numbers": broken,
    "a mask's breathing": lambda: made(breathing),
    "oxygen": lambda: made(hiss),
    "two at once": together,
}


@pytest.fixture(autouse=True)
def _nobodys_records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))


def test_what_the_learner_says_does_move_it_on() -> None:
    assert "step-done" in noted(spoken("my gloves and goggles are on"))


@pytest.mark.parametrize("name", SOUNDS)
def test_sound_that_is_no_learner_moves_nothing(name: str) -> None:
    assert MOVES.isdisjoint(noted(SOUNDS[name]()))


@pytest.mark.parametrize("language", LANGUAGES)
def test_another_language_moves_nothing(language: str) -> None:
    assert MOVES.isdisjoint(noted(spoken(LANGUAGES[language], language)))


@pytest.mark.parametrize("rate_hz", [8_000, 44_100])
def test_a_microphone_of_another_rate_is_understood(rate_hz: int) -> None:
    words = spoken("my gloves and goggles are on")
    there = at_rate(words, rate_hz)
    stream = StreamConverter(rate_hz)
    blocks = [stream.feed(there[at : at + 333]) for at in range(0, len(there), 333)]
    assert "step-done" in noted(np.concatenate(blocks))


def at_rate(samples: Samples, rate_hz: int) -> Samples:
    """The same sound as a device of that rate gives it."""
    return convert(samples, SAMPLE_RATE_HZ, rate_hz)
