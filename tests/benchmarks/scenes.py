"""Streams of speech with known beginnings and ends, in noise: what a segmenter is tried on.

Noises that no recording has are made: a mask's breathing, oxygen's hiss, and babble of several
people talking at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.wave_file import read_recording

from .voices import MEASURING, SPEECH_LEVEL, TUNING, Cast, Speaker, Studio

PHRASES = (
    "gloves and glasses are on",
    "the scene is safe",
    "no leaks",
    "seventeen hundred p s i",
    "fifteen liters a minute",
    "I open the valve slowly",
    "he does not respond and has no gag",
    "what's left",
    "say that again",
    "I measure from the corner of the mouth to the ear",
)
WORDS = ("yes", "no", "stop", "go", "on", "off")
LEAD_S = 2.0
PAUSE_S = (1.4, 2.4)
"""Between two things said: longer than any hangover, so that each is a turn of its own."""
DIGIT_GAP_S = (0.15, 0.7)
"""Between the digits of a number read one by one from a gauge."""

BREATHS_A_MINUTE = (12.0, 20.0)
"""An adult at rest (textbook range)."""
INHALED_SHARE, EXHALED_SHARE = 0.35, 0.4
"""Of a breath's length; the rest is the pause after it (common practice, no source)."""
TALKERS = 6
CLOSURE_S = 0.15
"""Longer than the closure of a stop consonant within a word (textbook: 50 to 150 ms)."""
DIGIT_PEOPLE = {TUNING.name: ("nicolas", "theo"), MEASURING.name: ("george",)}
"""George speaks in the test folder: he is never tuned on."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing said: its first sample and the one after its last."""

    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class Scene:
    """A stream and what is said in it; `number` says that a number is awaited all along."""

    kind: str
    noise: str
    ratio_db: float | None
    samples: Samples
    items: tuple[Item, ...]
    number: bool = False


def breathing(samples: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """A mask's breathing: bursts of shaped noise, in and out, 12 to 20 times a minute."""
    sound = np.zeros(samples)
    at = int(rng.uniform(0.0, 2.0) * SAMPLE_RATE_HZ)
    while at < samples:
        breath = 60.0 / rng.uniform(*BREATHS_A_MINUTE)
        for begin_s, length_s, band, gain in (
            (0.0, breath * INHALED_SHARE, (500.0, 4_000.0), 1.0),
            (breath * INHALED_SHARE + 0.1, breath * EXHALED_SHARE, (150.0, 2_500.0), 0.7),
        ):
            length = int(length_s * SAMPLE_RATE_HZ)
            burst = _banded(rng.normal(0.0, 1.0, length), *band)
            burst *= gain * np.sin(np.pi * np.arange(length) / length) ** 0.7
            begin = at + int(begin_s * SAMPLE_RATE_HZ)
            part = sound[begin : begin + length]
            part += burst[: len(part)]
        at += int(breath * SAMPLE_RATE_HZ)
    return sound


def hiss(samples: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Oxygen from an open outlet: steady, broad, rising with frequency to 6 kHz."""
    return _banded(rng.normal(0.0, 1.0, samples), 800.0, 7_500.0)


def babble(talk: Sequence[Samples], samples: int, rng: np.random.Generator) -> Samples:
    """Several talkers at once, each without a pause."""
    sound = np.zeros(samples)
    for _ in range(TALKERS):
        row: list[Samples] = []
        while sum(map(len, row)) < samples:
            clip = talk[int(rng.integers(len(talk)))]
            row.append(clip / max(float(np.sqrt(np.mean(clip**2))), 1e-6))
        voice = np.concatenate(row)
        sound += np.roll(voice, int(rng.integers(len(voice))))[:samples]
    return np.asarray(sound / TALKERS**0.5, np.float32)


def _banded(noise: NDArray[np.float64], low_hz: float, high_hz: float) -> NDArray[np.float64]:
    """The noise between two frequencies, with soft edges, at a mean power of one."""
    spectrum = np.fft.rfft(noise)
    hertz = np.fft.rfftfreq(len(noise), 1 / SAMPLE_RATE_HZ)
    shape = 1 / (1 + (low_hz / np.maximum(hertz, 1.0)) ** 4) / (1 + (hertz / high_hz) ** 8)
    shaped = np.fft.irfft(spectrum * shape, len(noise))
    result: NDArray[np.float64] = shaped / max(float(np.sqrt(np.mean(shaped**2))), 1e-9)
    return result


class Stage:
    """Everything scenes are made of; `cast` keeps what is tuned on from what is measured on."""

    def __init__(self, speech: Path, cast: Cast) -> None:
        if cast not in (TUNING, MEASURING):
            raise ValueError(f"no material for {cast.name}")
        self._studio = Studio(speech, cast)
        self._cast = cast
        self._sentences = _halves(speech / "train" / "sentences", cast)
        self._talk = self._sentences + _halves(speech / "train" / "orders", cast)
        self._words = [path for word in WORDS for path in _words(speech, cast, word)]
        self._digits = speech / cast.digits_folder
        folder = speech / "noise" / cast.noise_folder
        self.noises: dict[str, Callable[[int, np.random.Generator], NDArray[np.floating]]] = {
            "mask": breathing,
            "oxygen": hiss,
            "babble": lambda samples, rng: babble(self._talk, samples, rng),
        }
        self.noises |= {name.stem: _recorded(name) for name in _noises(folder, cast)}

    def scene(self, kind: str, noise: str, ratio_db: float | None, items: int, seed: int) -> Scene:
        """`items` things said with pauses between, in a noise at `ratio_db` to the speech.

        `kind` is "words" (of real people), "phrases" (synthetic), "sentences" (read by real people)
        or "digits" (four of one real person in a row, a number being awaited). The ratio is of mean
        powers, the speech without its pauses, a mask's breathing without them, too.
        """
        rng = np.random.default_rng(seed)
        said = [self._said(kind, rng) for _ in range(items)]
        parts: list[Samples] = [np.zeros(int(LEAD_S * SAMPLE_RATE_HZ), np.float32)]
        places: list[Item] = []
        for clip in said:
            begin = sum(map(len, parts))
            places.append(Item(begin, begin + len(clip)))
            pause = np.zeros(int(rng.uniform(*PAUSE_S) * SAMPLE_RATE_HZ), np.float32)
            parts += [clip, pause]
        sound = np.concatenate(parts).astype(np.float64)
        if ratio_db is not None:
            under = np.asarray(self.noises[noise](len(sound), rng), np.float64)
            power = np.square(under)
            loud = power[power > 1e-3 * power.mean()] if noise == "mask" else power
            level = max(float(np.sqrt(loud.mean())), 1e-9)
            sound += under * (SPEECH_LEVEL / level * 10 ** (-ratio_db / 20))
        # A real room and converter are never quite silent.
        sound += rng.normal(0.0, 20 / 32768, len(sound))
        samples = np.clip(sound, -1.0, 1.0).astype(np.float32)
        return Scene(kind, noise, ratio_db, samples, tuple(places), number=kind == "digits")

    def _said(self, kind: str, rng: np.random.Generator) -> Samples:
        if kind == "words":
            clip = _cut(read_recording(self._words[rng.integers(len(self._words))]), one_word=True)
        elif kind == "phrases":
            voice = self._cast.espeak[int(rng.integers(len(self._cast.espeak)))]
            pace, pitch = (int(value) for value in rng.integers([130, 30], [190, 70]))
            speaker = Speaker("espeak-ng", voice, "en-us", pace, pitch, 0, -99.0, 0, 0.0)
            rendered = self._studio.rendered(PHRASES[rng.integers(len(PHRASES))], speaker)
            clip = _cut(rendered, one_word=False)
        elif kind == "sentences":
            clip = _cut(self._sentences[rng.integers(len(self._sentences))], one_word=False)
        else:
            clip = self._number(rng)
        active = clip[clip != 0.0]
        return np.asarray(clip * (SPEECH_LEVEL / float(np.sqrt(np.mean(active**2)))), np.float32)

    def _number(self, rng: np.random.Generator) -> Samples:
        people = DIGIT_PEOPLE[self._cast.name]
        person = people[rng.integers(len(people))]
        row: list[Samples] = []
        for digit in rng.integers(10, size=4):
            found = sorted(self._digits.glob(f"{digit}_{person}_*"))
            clip = _cut(read_recording(found[rng.integers(len(found))]), one_word=True)
            row.append(clip * (0.1 / max(float(np.sqrt(np.mean(clip**2))), 1e-6)))
            row.append(np.zeros(int(rng.uniform(*DIGIT_GAP_S) * SAMPLE_RATE_HZ), np.float32))
        return np.concatenate(row[:-1])


def _cut(clip: Samples, one_word: bool) -> Samples:
    """A clip from the first to the last 10 ms of its speech, 25 dB under its loudest at least.

    Recordings of a word hold the noise of the room and clicks before and after it: what stands
    apart from the loudest part by more than a stop consonant's closure is not of the word.
    """
    step = SAMPLE_RATE_HZ // 100
    powers = np.square(clip[: len(clip) // step * step]).reshape(-1, step).mean(axis=1)
    least = max(powers.max() * 10**-2.5, np.percentile(powers, 20) * 10.0)
    loud = np.flatnonzero(powers >= min(least, powers.max() * 0.1))
    if one_word:
        parts = np.split(loud, np.flatnonzero(np.diff(loud) > CLOSURE_S * 100) + 1)
        loud = max(parts, key=lambda part: float(powers[part].sum()))
    return clip[loud[0] * step : (loud[-1] + 1) * step]


def _recorded(path: Path) -> Callable[[int, np.random.Generator], NDArray[np.floating]]:
    def part(samples: int, rng: np.random.Generator) -> NDArray[np.floating]:
        noise = read_recording(path)
        return np.resize(np.roll(noise, -int(rng.integers(len(noise)))), samples)

    return part


def _development() -> dict[str, list[str]]:
    path = Path(__file__).parents[2] / "models" / "training" / "development.yaml"
    tree: dict[str, list[str]] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return tree


def _noises(folder: Path, cast: Cast) -> list[Path]:
    found = sorted(folder.glob("*.flac"))
    if cast is MEASURING:
        return found
    return [path for path in found if path.name in _development()["noises"]]


def _words(speech: Path, cast: Cast, word: str) -> list[Path]:
    found = sorted((speech / cast.words_folder / word).glob("*.*"))
    if cast is MEASURING:
        return found
    speakers = {name.removeprefix("sc-") for name in _development()["speakers"]}
    return [path for path in found if any(name in path.name for name in speakers)]


def _halves(folder: Path, cast: Cast) -> list[Samples]:
    """Whole sentences, of which there is no test folder: even ones to tune with, odd to measure."""
    found = sorted(folder.rglob("*.flac"))
    return [read_recording(path) for path in found[0 if cast is TUNING else 1 :: 2]]
