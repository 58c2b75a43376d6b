"""Stage 3, on the GPU machine: real recordings and noises as shards (int16, 16 kHz, end to end).

Left out of training: every row whose speaker also speaks in the test folders (`in_words` yes), the
speakers and noises of development.yaml (they become `dev-*`), and recordings without a transcript.
Each FSDD speaker becomes a shard of their own, which a run takes or leaves (`train.py --without`).

Digits inside AN4's numbers are cut out one by one (`real-cuts`): the present model says where a word
ends, the quietest place between two words is the cut. Rows of four FSDD digits from the takes that
are not in the test folder become `dev-digits`: looked at while training, never trained on.
"""

from __future__ import annotations

import argparse
import csv
import json
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly

import phrases
from program import development, encode, log_mel

from coach.edges.acoustic_model import AcousticModel  # program.py sets the path

DIGITS = tuple("zero one two three four five six seven eight nine".split())


def load(path: Path) -> np.ndarray:
    audio, rate = soundfile.read(path, dtype="int16")
    if rate == 8000:
        audio = np.clip(resample_poly(audio.astype(np.float32), 2, 1), -32768, 32767)
        audio = audio.astype(np.int16)
    elif rate != 16_000:
        raise SystemExit(f"{path}: {rate} Hz; expected 16000")
    return audio


def save(out: Path, name: str, clips: list[np.ndarray], rows: list[dict[str, str]]) -> None:
    (out / f"{name}.json").write_text(json.dumps(rows))
    temporary = out / f".{name}.npz"
    np.savez(temporary, audio=np.concatenate(clips), length=[len(c) for c in clips])
    temporary.rename(out / f"{name}.npz")


def alignment(logs: np.ndarray, classes: list[int]) -> list[int]:
    """First frame of each class on the likeliest path of a CTC network (Viterbi over blanks)."""
    states = [0]
    for k in classes:
        states += [k, 0]
    score = np.full(len(states), -np.inf)
    score[:2] = logs[0, states[:2]]
    back = np.zeros((len(logs), len(states)), np.int64)
    skip = np.array([n > 1 and s != 0 and s != states[n - 2] for n, s in enumerate(states)])
    for t in range(1, len(logs)):
        one = np.concatenate(([-np.inf], score[:-1]))
        two = np.where(skip, np.concatenate(([-np.inf, -np.inf], score[:-2])), -np.inf)
        choice = np.stack([score, one, two]).argmax(0)
        back[t] = np.arange(len(states)) - choice
        score = np.stack([score, one, two]).max(0) + logs[t, states]
    state = len(states) - 1 if score[-1] > score[-2] else len(states) - 2
    first = [0] * len(classes)
    for t in range(len(logs) - 1, -1, -1):
        if state % 2:
            first[state // 2] = t
        state = back[t, state]
    return first


def digit_cuts(model: AcousticModel, clip: np.ndarray, text: str) -> list[tuple[np.ndarray, str]]:
    """The digits of a spoken number, cut at the quietest place between neighbouring words."""
    samples = clip.astype(np.float32) / 32768
    edge = 8000
    window = np.pad(samples, edge)
    noise = np.random.default_rng(1).standard_normal(len(window), dtype=np.float32)
    window = window + noise * np.float32(np.abs(samples).max() * 0.006)
    logs = model._session.run(None, {"features": log_mel(window)[None]})[0][0]
    frames = alignment(logs, encode(text))
    if -sum(logs[t, k] for t, k in zip(frames, encode(text), strict=True)) > 0.5 * len(text):
        return []
    smooth = np.convolve(samples**2, np.ones(320) / 320, "same")
    words, cuts, place = text.split(), [0], 0
    for word in words[:-1]:
        place += len(word) + 1
        low = max(0, frames[place - 2] * 320 - edge)
        high = min(len(samples), max(low + 320, frames[place] * 320 - edge))
        cuts.append(low + int(smooth[low:high].argmin()) if high > low else low)
    cuts.append(len(samples))
    return [
        (clip[a:b], word)
        for word, a, b in zip(words, cuts, cuts[1:], strict=False)
        if (word in DIGITS or word == "oh") and b - a > 2400
    ]


def development_rows(speech: Path) -> tuple[list[np.ndarray], list[dict[str, str]]]:
    """Rows of four digits as the test makes them, from the other takes of its speakers."""
    rng = np.random.default_rng(17)
    clips, rows = [], []
    for speaker in ("george", "nicolas", "theo"):
        for _ in range(40):
            digits, takes = rng.integers(10, size=4), rng.integers(10, 50, size=4)
            parts = []
            for digit, take in zip(digits, takes, strict=True):
                path = speech / f"train/digits/fsdd/{digit}_{speaker}_{take}.flac"
                parts += [load(path), np.zeros(int(rng.uniform(0.06, 0.2) * 16_000), np.int16)]
            clips.append(np.concatenate(parts))
            text = " ".join(DIGITS[d] for d in digits)
            rows.append({"text": text, "kind": f"dev-{speaker}", "voice": f"fsdd-{speaker}"})
    return clips, rows


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--model", type=Path, required=True, help="to find words in numbers")
    args = parser.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    model = AcousticModel(args.model)
    pool = ThreadPoolExecutor(16)
    held_out = set(development()["speakers"])
    for folder in (
        "words",
        "digits",
        "numbers",
        "commands",
        "spelled",
        "prompts",
        "phrases",
        "sentences",
    ):
        manifest = args.speech / "train" / folder / "manifest.tsv"
        if not manifest.exists() or (args.out / f"real-{folder}.npz").exists():
            continue  # the parts arrive one by one
        with manifest.open() as f:
            rows = list(csv.DictReader(f, delimiter="\t"))
        rows = [
            r
            for r in rows
            if r["transcript"]
            and r.get("in_words", "no") != "yes"
            and (manifest.parent / r["file"]).exists()
        ]
        clips = list(pool.map(lambda r: load(manifest.parent / r["file"]), rows))
        kept = [
            (
                c,
                {
                    "text": phrases.clean(r["transcript"]),
                    "kind": "real-" + folder,
                    "voice": r["speaker"],
                },
            )
            for c, r in zip(clips, rows, strict=True)
            if 1600 < len(c) < 16_000 * 12
        ]
        apart = [x for x in kept if x[1]["voice"] in held_out]
        kept = [x for x in kept if x[1]["voice"] not in held_out]
        if apart:
            apart = [(c, {**r, "kind": "dev-" + folder}) for c, r in apart]
            save(args.out, f"dev-{folder}", [c for c, _ in apart], [r for _, r in apart])
        for voice in sorted({r["voice"] for _, r in kept if r["voice"].startswith("fsdd-")}):
            own = [x for x in kept if x[1]["voice"] == voice]
            kept = [x for x in kept if x[1]["voice"] != voice]
            save(args.out, f"real-{voice}", [c for c, _ in own], [r for _, r in own])
        save(args.out, f"real-{folder}", [c for c, _ in kept], [r for _, r in kept])
        if folder == "numbers":
            cuts = [
                (c, {"text": word, "kind": "real-cuts", "voice": row["voice"]})
                for clip, row in kept
                if len(clip) < 16_000 * 10
                for c, word in digit_cuts(model, clip, row["text"])
            ]
            save(args.out, "real-cuts", [c for c, _ in cuts], [r for _, r in cuts])
            print("digits cut out of numbers:", len(cuts))
        print(
            folder, len(kept), round(sum(len(c) for c, _ in kept) / 960_000, 1), "min", flush=True
        )
    fsdd = args.speech / "train/digits/fsdd"
    if fsdd.exists() and not (args.out / "dev-digits.npz").exists():
        save(args.out, "dev-digits", *development_rows(args.speech))
    for kind in ("train", "rir"):
        if not (args.speech / "noise" / kind).exists() or (args.out / f"noise-{kind}.npz").exists():
            continue
        paths = sorted((args.speech / "noise" / kind).glob("*.flac"))
        paths = [path for path in paths if path.name not in development()["noises"]]
        clips = list(pool.map(load, paths))
        save(
            args.out,
            f"noise-{kind}",
            clips,
            [{"text": "", "kind": "noise", "voice": p.stem} for p in paths],
        )
        print("noise", kind, len(paths), flush=True)


if __name__ == "__main__":
    main()
