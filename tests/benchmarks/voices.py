"""Synthetic voices and real people in noise and in rooms, the same for the same seed.

Synthetic voices come from the programs espeak-ng and flite, both on the search path; what they
said is kept in the folder for temporary files. Real people say digits, yes and no (Free Spoken
Digit Dataset and Speech Commands), clips set in a row.
"""

from __future__ import annotations

import hashlib
import random
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.wave_file import read_recording

from .sayings import ONES

RATIOS_DB = (20.0, 10.0, 5.0)
LANGUAGES = ("en-us", "en-us", "en-us", "en", "en-gb-x-rp", "en-gb-scotland", "en-029")
LEAD_S, TAIL_S = 0.7, 1.0
PEOPLE = "people"
PEOPLE_SHARE, FLITE_SHARE = 0.15, 0.2
GAP_S = (0.06, 0.2)
"""Silence between two clips of real people in a row."""

SPEECH_LEVEL = 0.06
"""Root mean square of the speech; of full scale, as a headset gives it."""

QUIET_AT_ENDS = 0.01


@dataclass(frozen=True, slots=True)
class Cast:
    """Voices and noises that are kept apart from those of another purpose."""

    name: str
    espeak: tuple[str, ...]
    flite: tuple[str, ...]
    noise_folder: str
    digits_folder: str
    words_folder: str
    people: tuple[str, ...] = ("george", "nicolas", "theo")


MEASURING = Cast(
    "test",
    ("f4", "m6", "klatt4", "f4", "m6", "klatt4", "Andrea", "klatt6", "Marco", "pedro"),
    ("slt",),
    "test",
    "digits",
    "words",
)
"""Of these only f4, m6, klatt4 and slt were kept from the network on purpose; it never had the
others either."""

TUNING = Cast(
    "train",
    ("aunty", "antonio", "ed", "gustave", "klatt5", "Mario", "Michael", "shelby", "Nguyen"),
    ("rms", "awb"),
    "train",
    "train/digits/fsdd",
    "train/words",
)
CASTS = {cast.name: cast for cast in (MEASURING, TUNING)}


@dataclass(frozen=True, slots=True)
class Speaker:
    """One learner's voice and room: as drawn for a dialogue."""

    program: str
    voice: str
    language: str
    words_a_minute: int
    pitch: int
    room: int
    reverberation_db: float
    noise: int
    ratio_db: float

    @property
    def name(self) -> str:
        """The voice for a table."""
        return f"{self.program} {self.voice}"


def draw_speaker(cast: Cast, rooms: int, noises: int, dice: random.Random) -> Speaker:
    """A voice, its speed and pitch, a room, a noise and its ratio."""
    chance = dice.random()
    if chance < PEOPLE_SHARE:
        program, voices = PEOPLE, cast.people
    elif chance < PEOPLE_SHARE + FLITE_SHARE:
        program, voices = "flite", cast.flite
    else:
        program, voices = "espeak-ng", cast.espeak
    return Speaker(
        program=program,
        voice=dice.choice(voices),
        language=dice.choice(LANGUAGES),
        words_a_minute=dice.randint(120, 200),
        pitch=dice.randint(25, 75),
        room=dice.randrange(rooms),
        reverberation_db=dice.uniform(-20.0, -8.0),
        noise=dice.randrange(noises),
        ratio_db=dice.choice(RATIOS_DB),
    )


class Studio:
    """Renders words by a speaker and sets them in a room and in noise."""

    def __init__(self, speech: Path, cast: Cast) -> None:
        for program in ("espeak-ng", "flite"):
            if shutil.which(program) is None:
                sys.exit(f"{program} is not installed: install it with the system's packages.")
        self._digits = speech / cast.digits_folder
        self._words = speech / cast.words_folder
        noises = sorted((speech / "noise" / cast.noise_folder).glob("*.flac"))
        self.noises = [read_recording(path) for path in noises]
        rooms = sorted((speech / "noise" / "rir").glob("*.flac"))
        self.rooms = [read_recording(path) for path in rooms]
        self._cache = Path(tempfile.gettempdir()) / "coach-benchmark-voices"
        self._cache.mkdir(exist_ok=True)

    def take(self, text: str, speaker: Speaker, seed: int) -> Samples:
        """What the microphone gets: noise, the words in the room and the noise, noise.

        The ratio is that of the words' mean power to the noise's over the whole take.
        """
        rng = np.random.default_rng(seed)
        if speaker.program == PEOPLE:
            dry = self._said_by_people(text, speaker, rng)
        else:
            dry = self.rendered(text, speaker)
        speech = self._in_room(dry, speaker)
        speech *= SPEECH_LEVEL / max(float(np.sqrt(np.mean(speech**2))), 1e-6)
        lead, tail = int(LEAD_S * SAMPLE_RATE_HZ), int(TAIL_S * SAMPLE_RATE_HZ)
        sound = np.pad(speech, (lead, tail))
        noise = self.noises[speaker.noise]
        start = int(rng.integers(len(noise)))
        part = np.resize(np.roll(noise, -start), len(sound))
        power = max(float(np.mean(part**2)), 1e-9)
        gain = SPEECH_LEVEL / np.sqrt(power) * 10 ** (-speaker.ratio_db / 20)
        mixture = sound + part * gain
        loudest = max(float(np.abs(mixture).max()), 1e-6)
        result: Samples = (mixture * min(1.0, 0.98 / loudest)).astype(np.float32)
        return result

    def _in_room(self, dry: Samples, speaker: Speaker) -> npt.NDArray[np.float64]:
        """The words with the room behind them: a microphone near the mouth hears little of it."""
        response = self.rooms[speaker.room].astype(np.float64)
        response = response[int(np.argmax(np.abs(response))) + SAMPLE_RATE_HZ // 100 :]
        length = len(dry) + len(response) - 1
        size = 1 << (length - 1).bit_length()
        wet = np.fft.irfft(np.fft.rfft(dry, size) * np.fft.rfft(response, size), size)[: len(dry)]
        share = float(np.sqrt(np.mean(dry**2) / max(float(np.mean(wet**2)), 1e-12)))
        result: npt.NDArray[np.float64] = dry + wet * share * 10 ** (speaker.reverberation_db / 20)
        return result

    def rendered(self, text: str, speaker: Speaker) -> Samples:
        """The words as the program speaks them, without silence at the ends."""
        command = command_line(
            speaker.program,
            speaker.voice,
            speaker.language,
            speaker.words_a_minute,
            speaker.pitch,
            text,
        )
        key = hashlib.sha256("\0".join(command).encode()).hexdigest()[:24]
        path = self._cache / f"{key}.wav"
        if not path.is_file():
            fresh = self._cache / f"{key}.new.wav"
            subprocess.run([*command, str(fresh)], check=True, capture_output=True, timeout=30)
            fresh.replace(path)
        return trimmed(read_recording(path))

    def _said_by_people(self, text: str, speaker: Speaker, rng: np.random.Generator) -> Samples:
        pieces: list[Samples] = []
        for word in text.replace(",", "").split():
            if word in ONES[:10]:
                found = sorted(self._digits.glob(f"{ONES.index(word)}_{speaker.voice}_*"))
            else:
                found = sorted((self._words / word).glob("*.*"))
            clip = trimmed(read_recording(found[rng.integers(len(found))]))
            pieces.append(clip * (0.1 / max(float(np.sqrt(np.mean(clip**2))), 1e-6)))
            pieces.append(np.zeros(int(rng.uniform(*GAP_S) * SAMPLE_RATE_HZ), np.float32))
        return np.concatenate(pieces[:-1]).astype(np.float32)


def trimmed(sound: Samples) -> Samples:
    """The sound without the silence at its ends."""
    loud = np.flatnonzero(np.abs(sound) > QUIET_AT_ENDS * float(np.abs(sound).max()))
    return sound[loud[0] : loud[-1] + 1] if len(loud) else sound


def command_line(
    program: str, voice: str, language: str, words_a_minute: int, pitch: int, text: str
) -> list[str]:
    """How espeak-ng or flite is called to speak a text; the file is to be added."""
    if program == "flite":
        stretch = 160 / words_a_minute
        hertz = (150 if voice == "slt" else 90) + pitch
        settings = [f"duration_stretch={stretch:.2f}", f"int_f0_target_mean={hertz}"]
        options = [part for setting in settings for part in ("--setf", setting)]
        return ["flite", "-voice", voice, *options, "-t", text, "-o"]
    variant = f"{language}+{voice}"
    return ["espeak-ng", "-v", variant, "-s", str(words_a_minute), "-p", str(pitch), text, "-w"]
