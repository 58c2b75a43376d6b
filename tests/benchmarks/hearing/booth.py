"""Clips: what is said, by whom, in which noise; their sound, and their turns of speech."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.segmenter import Segmenter
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.endpointer import Utterance
from coach.hearing.hypothesis import Hint

from ..voices import LEAD_S, SPEECH_LEVEL, TAIL_S
from .synthesisers import Voice, rendered
from .wanted import Sentence

ROOM_TONE = 3e-4
"""Root mean square of the quiet of a room (-70 dBFS) around a clip without noise."""

FRAME = SAMPLE_RATE_HZ // 50
QUIETEST = 10.0
"""Percentile of a recording's 20 ms frames that is its own quiet."""

LOUDEST = 0.98
PINK_S = 20


@dataclass(frozen=True, slots=True)
class Recorded:
    """Recordings of one person set in a row, with seconds of quiet after each.

    Of a longer recording `longest_s` seconds are taken, from its middle.
    """

    paths: tuple[Path, ...]
    gaps_s: tuple[float, ...] = (0.0,)
    longest_s: float = 10.0


@dataclass(frozen=True, slots=True)
class Clip:
    """One utterance to be heard.

    `row` is what it counts for, `group` its voice, speaker or accent. `noise_db` is the ratio of
    the words' mean power to the noise's, None without added noise.
    """

    row: str
    group: str
    sentence: Sentence
    source: Recorded | Voice
    noise_db: float | None
    seed: int


class Booth:
    """Makes the sound of clips and cuts it as the program does; the same for the same clip.

    Without a folder of noises it makes one: noise of equal power an octave.
    """

    def __init__(self, noise_folder: Path | None) -> None:
        paths = sorted(noise_folder.glob("*.flac")) if noise_folder else []
        self.noises = [read_recording(path) for path in paths] or [pink(PINK_S)]
        self._activity = VoiceActivity()

    def sound(self, clip: Clip) -> Samples:
        """What the microphone gets: quiet or noise, the words in it, and 1 s after them."""
        if isinstance(clip.source, Voice):
            dry = at_level(rendered(clip.sentence.text, clip.source), SPEECH_LEVEL)
            quiet = ROOM_TONE
        else:
            dry = _in_a_row(clip.source)
            quiet = max(_quiet(dry), 1e-5)
        return self.placed(dry, quiet, clip.noise_db, clip.seed)

    def placed(self, dry: Samples, quiet: float, noise_db: float | None, seed: int) -> Samples:
        """Words in quiet (root mean square), or in a stretch of a noise at a ratio to them."""
        rng = np.random.default_rng(seed)
        power = float(np.mean(dry**2))
        sound = np.pad(dry, (_samples(LEAD_S), _samples(TAIL_S)))
        if noise_db is None:
            tone = rng.standard_normal(len(sound)) * quiet
            tone[_samples(LEAD_S) : -_samples(TAIL_S)] = 0.0
            return np.asarray(sound + tone, dtype=np.float32)
        noise = self.noises[int(rng.integers(len(self.noises)))]
        part = np.resize(np.roll(noise, -int(rng.integers(len(noise)))), len(sound))
        gain = np.sqrt(power / max(float(np.mean(part**2)), 1e-9) * 10 ** (-noise_db / 10))
        mixture = sound + part * gain
        loudest = max(float(np.abs(mixture).max()), 1e-6)
        return np.asarray(mixture * min(1.0, LOUDEST / loudest), dtype=np.float32)

    def utterances(self, sound: Samples, hint: Hint) -> list[Utterance]:
        """The turns of speech in one take, cut by the real segmenter."""
        self._activity.reset()
        segmenter = Segmenter(self._activity)
        segmenter.expect(hint)
        cuts = [*segmenter.feed(sound), *segmenter.endpointer.finish()]
        return [cut for cut in cuts if isinstance(cut, Utterance)]


def at_level(sound: Samples, level: float) -> Samples:
    """The sound at that root mean square."""
    now = max(float(np.sqrt(np.mean(sound**2))), 1e-6)
    return np.asarray(sound * (level / now), dtype=np.float32)


def pink(seconds: int, seed: int = 0) -> Samples:
    """Noise with equal power in every octave, at -20 dBFS."""
    rng = np.random.default_rng(seed)
    spectrum = np.fft.rfft(rng.standard_normal(seconds * SAMPLE_RATE_HZ))
    spectrum /= np.sqrt(np.maximum(np.arange(len(spectrum)), 20 * seconds))
    return at_level(np.fft.irfft(spectrum).astype(np.float32), 0.1)


@functools.lru_cache(maxsize=2000)
def _recording(path: Path) -> Samples:
    return read_recording(path)


def _in_a_row(source: Recorded) -> Samples:
    pieces: list[Samples] = []
    for path, gap_s in zip(source.paths, source.gaps_s, strict=True):
        sound, most = _recording(path), _samples(source.longest_s)
        begin = max(0, (len(sound) - most) // 2)
        pieces += [sound[begin : begin + most], np.zeros(_samples(gap_s), np.float32)]
    return np.concatenate(pieces)


def _quiet(sound: Samples) -> float:
    frames = sound[: len(sound) // FRAME * FRAME].reshape(-1, FRAME)
    return float(np.percentile(np.sqrt(np.mean(frames**2, axis=1)), QUIETEST))


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ)
