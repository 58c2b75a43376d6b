"""How well each recogniser hears real people: python -m tests.benchmarks.recognisers

Needs recordings in the folder COACH_SPEECH (unset: ../shared/speech beside the checkout):
words/yes, no, stop, go, on, off, unknown, silence (Speech Commands v0.02 test files, Warden 2018);
digits/ (Free Spoken Digit Dataset, files D_SPEAKER_TAKE.wav); noise/test/. Among the unknown words
are left, right, up and down: "right" means yes. An engine without a model is left out and said so.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity
from coach.dialogue.moment import fixed_phrases
from coach.edges.engines import open_recogniser
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.ports import Recogniser

WORDS = ("yes", "no", "stop", "go", "on", "off")
FOREIGN = ("unknown", "silence")
RATIOS_DB = (None, 10.0, 5.0)
DIGIT_ROWS = 34
NAMES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
VARIABLE = "COACH_SPEECH"


@dataclass
class Count:
    """Utterances of one kind at one noise: heard right, taken for something else, refused."""

    engine: str
    what: str
    noise_db: float | None
    utterances: int = 0
    right: int = 0
    wrong: int = 0
    taken: dict[str, int] = field(default_factory=dict)

    def add(self, heard: str | None, said: str | None) -> None:
        """Count one; `heard` is None when nothing was taken, `said` when nothing should be."""
        self.utterances += 1
        if heard is not None and heard == said:
            self.right += 1
        elif heard is not None:
            self.wrong += 1
            self.taken[heard] = self.taken.get(heard, 0) + 1

    @property
    def refused(self) -> int:
        """Utterances that were taken for nothing."""
        return self.utterances - self.right - self.wrong


def recordings() -> Path:
    """Where the recordings lie, if they are there."""
    return Path(os.environ.get(VARIABLE) or Path(__file__).parents[3] / "shared" / "speech")


def speech_folder() -> Path:
    """Where the recordings lie; exits with a word when they are not there."""
    folder = recordings()
    if not (folder / "words" / "yes").is_dir():
        sys.exit(f"No recordings in {folder}: set {VARIABLE} to the folder that has words/yes.")
    return folder


class Noises:
    """Test noises, mixed at a ratio to a clip's mean power, the same for the same seed."""

    def __init__(self, folder: Path) -> None:
        self._noises = [read_recording(path) for path in sorted(folder.glob("*.flac"))]

    def mixed(self, clip: Samples, ratio_db: float | None, seed: int) -> Samples:
        """The clip with noise under it and 0.2 s before and after it; unchanged for None."""
        if ratio_db is None:
            return clip
        rng = np.random.default_rng(seed)
        power = float(np.mean(clip**2))
        clip = np.pad(clip, SAMPLE_RATE_HZ // 5)
        noise = self._noises[rng.integers(len(self._noises))]
        noise = np.resize(noise, len(noise) + len(clip))
        start = int(rng.integers(len(noise) - len(clip)))
        part = noise[start : start + len(clip)]
        gain = np.sqrt(power / max(float(np.mean(part**2)), 1e-9) * 10 ** (-ratio_db / 10))
        mixture = clip + part * gain
        loudest = max(float(np.abs(mixture).max()), 1e-6)
        result: Samples = (mixture * min(1.0, 0.98 / loudest)).astype(np.float32)
        return result


def word_heard(text: str) -> str | None:
    """What a text is taken for where a control word may come: the word, or a meaning's name."""
    if text in WORDS:
        return text
    meaning = understand(text, Context())
    return meaning.answer or (str(meaning.command) if meaning.command else None)


def digits_heard(text: str) -> str | None:
    """The digits of a text ("one seven oh oh", "1700") in a row, or None when there are none."""
    figures = {name: str(n) for n, name in enumerate(NAMES)} | {"oh": "0"}
    row = "".join(figures.get(word, word) for word in text.split())
    return row if row.isdigit() else None


def words(speech: Path, limit: int) -> Iterator[tuple[str, str | None, Samples]]:
    """Kind, what must be heard, and sound of the single words and what is no word."""
    for kind in (*WORDS, *FOREIGN):
        for path in sorted((speech / "words" / kind).glob("*.wav"))[:limit]:
            yield kind, kind if kind in WORDS else None, read_recording(path)


def digit_rows(speech: Path, limit: int) -> Iterator[tuple[str, str | None, Samples]]:
    """Four digits of one speaker in a row, gaps of 60 to 200 ms."""
    folder = speech / "digits"
    speakers = sorted({path.stem.split("_")[1] for path in folder.glob("*.wav")})
    rng = np.random.default_rng(5)
    for speaker in speakers:
        for _ in range(min(limit, DIGIT_ROWS)):
            digits, takes = rng.integers(10, size=4), rng.integers(10, size=4)
            gaps = rng.uniform(0.06, 0.2, 4)
            pieces = []
            for digit, take, gap in zip(digits, takes, gaps, strict=True):
                pieces.append(read_recording(folder / f"{digit}_{speaker}_{take}.wav"))
                pieces.append(np.zeros(int(gap * SAMPLE_RATE_HZ), np.float32))
            yield "digits", "".join(map(str, digits)), np.concatenate(pieces)


def noise_alone(speech: Path, limit: int) -> Iterator[tuple[str, str | None, Samples]]:
    """Three seconds from the middle of each test noise."""
    for path in sorted((speech / "noise" / "test").glob("*.flac"))[:limit]:
        sound = read_recording(path)
        middle = max(0, len(sound) // 2 - 3 * SAMPLE_RATE_HZ // 2)
        yield "noise", None, sound[middle : middle + 3 * SAMPLE_RATE_HZ]


def measured(name: str, recogniser: Recogniser, speech: Path, limit: int) -> list[Count]:
    """Counts of one engine over all kinds and noises."""
    noises = Noises(speech / "noise" / "test")
    counts: list[Count] = []
    phrases = fixed_phrases()

    def run(
        clips: Iterator[tuple[str, str | None, Samples]],
        hint: Hint,
        taken_for: Callable[[str], str | None],
        ratio_db: float | None,
    ) -> None:
        for seed, (kind, said, sound) in enumerate(clips):
            if not counts or counts[-1].what != kind or counts[-1].noise_db != ratio_db:
                counts.append(Count(name, kind, ratio_db))
            heard = recogniser.hear(noises.mixed(sound, ratio_db, seed), hint)
            counts[-1].add(taken_for(heard.text), said)

    for ratio_db in RATIOS_DB:
        run(words(speech, limit), Hint(None, phrases), word_heard, ratio_db)
        run(digit_rows(speech, limit), Hint(Quantity.PRESSURE, phrases), digits_heard, ratio_db)
    run(noise_alone(speech, limit), Hint(None, phrases), word_heard, None)
    return counts


def speed(recogniser: Recogniser, speech: Path) -> float:
    """Seconds of computing for each second of sound, for 2 s of speech: the median of nine."""
    clips = [read_recording(p) for p in sorted((speech / "words" / "stop").glob("*.wav"))[:2]]
    sound = np.resize(np.concatenate(clips), 2 * SAMPLE_RATE_HZ)
    hint = Hint(Quantity.PRESSURE, fixed_phrases())
    recogniser.hear(sound, hint)
    times = []
    for _ in range(9):
        begin = time.perf_counter()
        recogniser.hear(sound, hint)
        times.append(time.perf_counter() - begin)
    return float(np.median(times)) / 2.0


def table(counts: list[Count], speeds: dict[str, float], left_out: dict[str, str]) -> str:
    """Everything as markdown."""
    lines = [
        "| engine | said | noise | utterances | right | taken for something else | refused | as |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for c in counts:
        noise = "none added" if c.noise_db is None else f"{c.noise_db:g} dB"
        taken = sorted(c.taken.items(), key=lambda item: -item[1])[:4]
        right = "-" if c.what in (*FOREIGN, "noise") else str(c.right)
        lines.append(
            f"| {c.engine} | {c.what} | {noise} | {c.utterances} | {right} | {c.wrong} "
            f"| {c.refused} | {', '.join(f'{word} {n}' for word, n in taken)} |"
        )
    lines += ["", "| engine | computing for a second of speech (2 s at a time) |", "|---|---|"]
    lines += [f"| {name} | {ratio:.3f} s |" for name, ratio in speeds.items()]
    lines += ["", *(f"Left out: {name}: {why}" for name, why in left_out.items())]
    return "\n".join(lines)


def main() -> None:
    """Measure the engines there are and print a table, or JSON."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--engine", action="append", choices=("own", "whisper", "vosk"))
    parser.add_argument("--vosk-model", type=Path, help="folder of an English Vosk model")
    parser.add_argument("--limit", type=int, default=1000, help="at most so many of each kind")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    speech = speech_folder()
    counts: list[Count] = []
    speeds: dict[str, float] = {}
    left_out: dict[str, str] = {}
    for name in chosen.engine or ("own", "whisper", "vosk"):
        try:
            recogniser = open_recogniser(name, chosen.vosk_model if name == "vosk" else None)
        except MissingError as why:
            left_out[name] = str(why)
            continue
        counts += measured(name, recogniser, speech, chosen.limit)
        speeds[name] = speed(recogniser, speech)
    if chosen.json:
        result: dict[str, Any] = {
            "counts": [{**vars(c), "refused": c.refused} for c in counts],
            "seconds_for_a_second_of_speech": speeds,
            "left_out": left_out,
        }
        sys.stdout.write(json.dumps(result, indent=1) + "\n")
    else:
        sys.stdout.write(table(counts, speeds, left_out) + "\n")


if __name__ == "__main__":
    main()
