"""Stage 7: the figures in RESULTS.md, from the committed model, numpy and onnxruntime only.

Real people: words/ and digits/ of the test recordings. Synthetic: renderings by voices that were
never in training, brought back by bring_back.py. Noise: noise/test at a ratio over the whole clip.
"""

from __future__ import annotations

import argparse
import collections
import csv
import json
import multiprocessing
import re
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray
from scipy.signal import resample_poly

import command_sentences
import phrases
from program import beam_search, development, greedy, greedy_score, score_phrases

from coach.edges.acoustic_model import AcousticModel as Recogniser  # program.py sets the path

Clip = NDArray[np.float32]
DIGITS = tuple("zero one two three four five six seven eight nine".split())
WORDS = ("yes", "no", "stop", "go", "on", "off")
LEXICON = phrases.lexicon()
CONTROLS = sorted({phrases.clean(text) for text in command_sentences.CONTROLS})
NUMBER = set(
    "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand point half double over".split()
)


def load(path: Path) -> Clip:
    audio, rate = soundfile.read(path, dtype="float32")
    return audio if rate == 16_000 else resample_poly(audio, 16_000 // rate, 1).astype(np.float32)


class NoiseMixer:
    """Adds a stretch of a test noise at a ratio to the clip's mean power, the same for the same seed."""

    def __init__(self, folder: Path) -> None:
        self.noises = [load(p) for p in sorted(folder.glob("*.flac"))]

    def __call__(self, clip: Clip, ratio_db: float | None, seed: int) -> Clip:
        if ratio_db is None:
            return clip
        rng = np.random.default_rng(seed)
        # The noise also sounds before and after the words, as it does in a room.
        clip = np.pad(clip, 3200)
        noise = self.noises[rng.integers(len(self.noises))]
        noise = np.resize(noise, len(noise) + len(clip))
        start = rng.integers(len(noise) - len(clip))
        part = noise[start : start + len(clip)]
        power = np.mean(clip**2) / max(float(np.mean(part**2)), 1e-9)
        mixed = clip + part * np.sqrt(power * 10 ** (-ratio_db / 10))
        return (mixed * min(1.0, 0.98 / max(float(np.abs(mixed).max()), 1e-6))).astype(np.float32)


def errors(said: list[str], heard: list[str]) -> int:
    """Word edit distance."""
    row = list(range(len(heard) + 1))
    for i, a in enumerate(said, 1):
        previous, row[0] = row[0], i
        for j, b in enumerate(heard, 1):
            previous, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, previous + (a != b))
    return row[-1]


def numbers(text: str) -> list[str]:
    return ["zero" if w == "oh" else w for w in text.split() if w in NUMBER]


def best_control(
    logs: NDArray[np.float32], margin: float, options: list[str] = CONTROLS
) -> str | None:
    """The best-fitting control phrase, or None for silence or where the free text fits better by more than `margin`."""
    if not greedy(logs):
        return None  # silence: short phrases fit it nearly as well as nothing does
    scores = score_phrases(logs, options)
    best = int(np.argmax(scores))
    return options[best] if scores[best] > greedy_score(logs) - margin else None


_ROWS: list[Callable[[], str]] = []


def _row(number: int) -> str:
    return _ROWS[number]()


def lines(rows: list[Callable[[], str]], jobs: int) -> list[str]:
    """Each row's line, in order; several processes share the work."""
    _ROWS[:] = rows
    if jobs == 1:
        return [row() for row in rows]
    with multiprocessing.get_context("fork").Pool(jobs) as pool:
        return pool.map(_row, range(len(rows)), chunksize=1)


def word_row(
    model: Recogniser, files: list[Path], mix: NoiseMixer, margin: float, ratio: float | None
) -> str:
    word = files[0].parent.name
    tally = collections.Counter[str]()
    for seed, path in enumerate(files):
        logs = model.log_probabilities(mix(load(path), ratio, seed))
        free, scored = greedy(logs), best_control(logs, margin)
        tally["free"] += free == word
        tally["free_wrong"] += free != word and free in CONTROLS
        tally["scored"] += scored == word
        tally["scored_wrong"] += scored not in (word, None)
    return (
        f"| {word} | {label(ratio)} | {len(files)} | {tally['free']} | {tally['free_wrong']} "
        f"| {tally['scored']} | {tally['scored_wrong']} |"
    )


def foreign_row(model: Recogniser, files: list[Path], margin: float) -> str:
    six, any_one, scored_six, scored_any = 0, 0, 0, 0
    taken = collections.Counter[str]()
    for path in files:
        logs = model.log_probabilities(load(path))
        free, scored = greedy(logs), best_control(logs, margin)
        six += free in WORDS
        any_one += free in CONTROLS
        scored_six += scored in WORDS
        scored_any += scored is not None
        if free in CONTROLS:
            taken[free] += 1
    listed = ", ".join(f"{k} {v}" for k, v in taken.most_common(12))
    return (
        f"| {files[0].parent.name} | {len(files)} | {six} | {any_one} | {scored_six} "
        f"| {scored_any} | {listed} |"
    )


def words_table(
    model: Recogniser, speech: Path, mix: NoiseMixer, margin: float, jobs: int
) -> list[str]:
    files = {
        name: sorted((speech / "words" / name).glob("*.wav"))
        for name in (*WORDS, "unknown", "silence")
    }
    rows = [
        partial(word_row, model, files[word], mix, margin, ratio)
        for ratio in (None, 10.0, 5.0, 0.0)
        for word in WORDS
    ]
    foreign = [partial(foreign_row, model, files[name], margin) for name in ("unknown", "silence")]
    found = lines([*rows, *foreign], jobs)
    return [
        "## Single words, real people (Speech Commands test files)",
        "",
        "Free = the open greedy text is exactly the word. Wrong = it is another of the six words or another control phrase.",
        f"Scored = best of {len(CONTROLS)} control phrases within {margin:g} of the free text.",
        "",
        "| word | noise | clips | free right | free wrong | scored right | scored wrong |",
        "|---|---|---|---|---|---|---|",
        *found[: len(rows)],
        "",
        "| must not be taken | clips | free is one of the six | free is any control phrase | scored: one of the six | scored: any control phrase | taken for |",
        "|---|---|---|---|---|---|---|",
        *found[len(rows) :],
    ]


def label(ratio: float | None) -> str:
    return "none added" if ratio is None else f"{ratio:g} dB"


def digits_row(
    model: Recogniser,
    who: str,
    spoken: list[tuple[str, Clip]],
    mix: NoiseMixer,
    ratio: float | None,
) -> str:
    allowed = [" ".join(DIGITS[int(d)] for d in f"{n:04d}") for n in range(10_000)]
    free_right = worded = restricted = wrong = 0
    for seed, (said, clip) in enumerate(spoken):
        logs = model.log_probabilities(mix(clip, ratio, seed))
        free_right += greedy(logs).replace("oh", "zero") == said
        words = beam_search(logs, 16, lexicon=sorted(NUMBER))
        worded += bool(words) and words[0][0].replace("oh", "zero") == said
        found = beam_search(logs, 16, allowed)
        restricted += bool(found) and found[0][0] == said
        wrong += bool(found) and found[0][0] != said
    return f"| {who} | {label(ratio)} | {len(spoken)} | {free_right} | {worded} | {restricted} | {wrong} |"


def digits_table(model: Recogniser, speech: Path, mix: NoiseMixer, jobs: int) -> list[str]:
    rng = np.random.default_rng(5)
    rows = []
    for speaker in ("george", "nicolas", "theo"):
        spoken = []
        for _ in range(34):
            digits, takes = rng.integers(10, size=4), rng.integers(10, size=4)
            parts = []
            for d, take, gap in zip(digits, takes, rng.uniform(0.06, 0.2, 4), strict=True):
                parts += [
                    load(speech / "digits" / f"{d}_{speaker}_{take}.wav"),
                    np.zeros(int(gap * 16_000), np.float32),
                ]
            spoken.append((" ".join(DIGITS[d] for d in digits), np.concatenate(parts)))
        known = f"fsdd-{speaker}" not in development()["held_out_digits"]
        who = f"{speaker}, other takes in training" if known else f"{speaker}, never in training"
        rows += [partial(digits_row, model, who, spoken, mix, r) for r in (None, 10.0, 5.0)]
    return [
        "",
        "## Four digits in a row, real people (FSDD, three speakers)",
        "",
        "Gaps of 60 to 200 ms. Restricted = beam search over all strings of four digits. Only a speaker never in training counts as proof.",
        "",
        "| speaker | noise | strings | free exact | number words exact | restricted exact | restricted wrong |",
        "|---|---|---|---|---|---|---|",
        *lines(rows, jobs),
    ]


def synthetic_row(
    model: Recogniser,
    spoken: list[tuple[str, Clip]],
    mix: NoiseMixer,
    margin: float,
    options: list[str],
    ratio: float | None,
    heading: str,
) -> str:
    kind = heading.split(" | ")[1]
    tally = collections.Counter[str]()
    for seed, (text, clip) in enumerate(spoken):
        logs = model.log_probabilities(mix(clip[: 16_000 * 10], ratio, seed))
        heard = greedy(logs)
        tally["exact"] += heard == text
        tally["words"] += len(text.split())
        tally["errors"] += errors(text.split(), heard.split())
        found = beam_search(logs, 12, lexicon=LEXICON)
        repaired = found[0][0] if found and heard else ""
        tally["lexicon"] += repaired == text
        tally["lexicon_errors"] += errors(text.split(), repaired.split())
        if kind == "reading":
            tally["good"] += numbers(repaired) == numbers(text)
            tally["wrong"] += numbers(repaired) != numbers(text) and bool(numbers(repaired))
        elif options:
            got = best_control(logs, margin, options)
            tally["good"] += got == text
            tally["wrong"] += got not in (text, None)
    good = "-" if kind == "paraphrase" else str(tally["good"])
    wrong = "-" if kind == "paraphrase" else str(tally["wrong"])
    return (
        f"| {heading} | {label(ratio)} | {len(spoken)} | {tally['exact']} | {tally['lexicon']} "
        f"| {good} | {wrong} | {100 * tally['errors'] / tally['words']:.0f} % "
        f"| {100 * tally['lexicon_errors'] / tally['words']:.0f} % |"
    )


def synthetic_table(
    model: Recogniser, renders: Path, mix: NoiseMixer, margin: float, jobs: int
) -> list[str]:
    summary = json.loads((renders / "summary.json").read_text())
    rows = []
    for name, title in (("test", "Kokoro"), ("smalltest", "espeak-ng, flite slt")):
        audio = np.concatenate(
            [
                soundfile.read(p, dtype="float32")[0]
                for p in sorted(renders.glob(f"{name}[0-9].flac"))
            ]
        )
        clips: dict[str, list[tuple[str, Clip]]] = collections.defaultdict(list)
        offset = 0
        for row in summary[name]:
            clips[row["kind"]].append((row["text"], audio[offset : offset + row["samples"]]))
            offset += row["samples"]
        options = {"command": CONTROLS, "step": sorted({text for text, _ in clips["step"]})}
        for kind in ("command", "reading", "step", "paraphrase"):
            few = options.get(kind, [])
            rows += [
                partial(synthetic_row, model, clips[kind], mix, margin, few, r, f"{title} | {kind}")
                for r in (None, 10.0, 5.0)
            ]
    return [
        "",
        "## Synthetic voices never heard in training",
        "",
        "Exact = the free text is letter for letter the sentence. Commands scored: as above. Readings: the same number words "
        "in the same order, or others (dangerous). Phrases and paraphrases: word error rate of the free text; "
        "scored = the best of all test phrases of the table within the margin. Lexicon: beam search over sequences "
        f"of the {len(LEXICON)} words of `phrases.lexicon()`; readings are judged by that text.",
        "",
        "| voices | kind | noise | clips | exact | exact, lexicon | scored or number right | wrong | words wrong | words wrong, lexicon |",
        "|---|---|---|---|---|---|---|---|---|---|",
        *lines(rows, jobs),
    ]


def separation(speech: Path, renders: Path, later: list[Path], out: list[str]) -> None:
    """Proof that no voice, speaker or noise recording is on both sides."""
    summary = json.loads((renders / "summary.json").read_text())
    runs = [summary, *(json.loads(path.read_text()) for path in later)]
    held_out = set(development()["held_out_digits"])
    train = {voice for run in runs for voice in run["train_voices"]} - held_out
    tested = {
        part
        for r in summary["test"]
        for part in ("kokoro:" + p for p in re.split(r"[+/]", r["voice"].removeprefix("kokoro:")))
    }
    tested |= {r["voice"] for r in summary["smalltest"]}
    speakers = {"sc-" + p.name.split("_")[0] for p in (speech / "words").glob("*/*.wav")}
    speakers |= held_out
    sources = [
        {
            (r["source"])
            for r in csv.DictReader((speech / "noise" / k / "manifest.tsv").open(), delimiter="\t")
        }
        for k in ("train", "test")
    ]
    files = [{p.name for p in (speech / "noise" / k).glob("*.flac")} for k in ("train", "test")]
    out += [
        "",
        "## Nothing on both sides",
        "",
        f"- {len(train)} training voices and speakers, {len(tested)} test voices: {len(train & tested)} in both.",
        f"- {len(speakers)} speakers of the test words and of the digits that count: {len(speakers & train)} of them in training.",
        f"- speakers of training and of limits (development.yaml): {len(set(development()['speakers']) & train)} in both.",
        f"- {len(files[0])} training and {len(files[1])} test noises: {len(files[0] & files[1])} file names, {len(sources[0] & sources[1])} source pages in both (a page may hold several recordings).",
    ]
    for number, run in enumerate(runs, 1):
        hours = {k: round(v, 1) for k, v in run["train_hours"].items()}
        out.append(f"- hours of training speech, run {number}: {json.dumps(hours)}.")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--model", type=Path, required=True)
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--renders", type=Path, required=True)
    parser.add_argument(
        "--later", type=Path, nargs="*", default=[], help="summary.json of later training runs"
    )
    parser.add_argument("--jobs", type=int, default=1, help="processes that share the work")
    parser.add_argument("--margin", type=float, default=6.0)
    parser.add_argument("--out", type=Path, required=True)
    args = parser.parse_args()
    model = Recogniser(args.model, threads=1)
    out = [
        "# Figures of the recogniser",
        "",
        f"Model: `{args.model.name}`. Written by `evaluate.py`; counts, not estimates.",
        "",
    ]
    mix = NoiseMixer(args.speech / "noise" / "test")
    for seconds in (1, 2, 4):
        clip = np.random.default_rng(0).standard_normal(seconds * 16_000).astype(np.float32) * 0.1
        model.text(clip)
        begin = time.perf_counter()
        for _ in range(10):
            model.text(clip)
        out.append(
            f"- {seconds} s of sound: {(time.perf_counter() - begin) * 100:.0f} ms on one thread (the machine was shared)"
        )
    out.append("")
    out += words_table(model, args.speech, mix, args.margin, args.jobs)
    out += digits_table(model, args.speech, mix, args.jobs)
    out += synthetic_table(model, args.renders, mix, args.margin, args.jobs)
    separation(args.speech, args.renders, args.later, out)
    args.out.write_text("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
