"""Stage 3, on the GPU machine: real recordings and noises as shards (int16, 16 kHz, end to end).

Left out of training: every row whose speaker also speaks in the test folders (`in_words` yes), the
FSDD digits (their three speakers are the test speakers) and recordings without a transcript.
"""

from __future__ import annotations

import argparse
import csv
import json
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import soundfile

import phrases


def load(path: Path) -> np.ndarray:
    audio, rate = soundfile.read(path, dtype="int16")
    if rate == 8000:
        audio = np.repeat(audio, 2)
    elif rate != 16_000:
        raise SystemExit(f"{path}: {rate} Hz; expected 16000")
    return audio


def save(out: Path, name: str, clips: list[np.ndarray], rows: list[dict[str, str]]) -> None:
    (out / f"{name}.json").write_text(json.dumps(rows))
    temporary = out / f".{name}.npz"
    np.savez(temporary, audio=np.concatenate(clips), length=[len(c) for c in clips])
    temporary.rename(out / f"{name}.npz")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    args = parser.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    pool = ThreadPoolExecutor(16)
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
        with manifest.open() as f:
            rows = list(csv.DictReader(f, delimiter="\t"))
        rows = [
            r
            for r in rows
            if r["transcript"]
            and r.get("in_words", "no") != "yes"
            and "fsdd" not in r["file"]
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
        save(args.out, f"real-{folder}", [c for c, _ in kept], [r for _, r in kept])
        print(
            folder, len(kept), round(sum(len(c) for c, _ in kept) / 960_000, 1), "min", flush=True
        )
    for kind in ("train", "rir"):
        paths = sorted((args.speech / "noise" / kind).glob("*.flac"))
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
