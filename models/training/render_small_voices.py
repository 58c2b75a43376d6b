"""Stage 2b, on the GPU machine's CPU cores: the same sentences with espeak-ng and flite.

Both programs come from Debian packages unpacked under --root. Held out for tests: flite's slt and
espeak-ng's f4, m6 and klatt4 variants. Shards have the form described in render_voices.py.
"""

from __future__ import annotations

import argparse
import gzip
import io
import json
import os
import random
import subprocess
import time
import wave
from pathlib import Path

import numpy as np
from scipy.signal import resample_poly

import phrases
import processes
from render_voices import Shard, trim

TRAIN_VARIANTS = (
    "f1",
    "f2",
    "f3",
    "f5",
    "m1",
    "m2",
    "m3",
    "m4",
    "m5",
    "m7",
    "m8",
    "klatt",
    "klatt2",
    "klatt3",
    "Annie",
    "Andy",
    "Alicia",
    "Denis",
    "Diogo",
    "Gene",
    "Henrique",
    "Hugo",
    "Jacky",
    "Lee",
    "Mike",
    "Storm",
    "adam",
    "anika",
    "belinda",
    "benjamin",
    "boris",
    "caleb",
    "david",
    "edward",
    "steph",
    "grandma",
    "grandpa",
    "iven",
    "john",
    "kaukovalta",
    "linda",
    "marcelo",
    "max",
    "michel",
    "miguel",
    "norbert",
    "pablo",
    "paul",
    "quincy",
    "rob",
    "robert",
    "sandro",
    "steph3",
    "travis",
    "victor",
    "zac",
)
TEST_VARIANTS = ("f4", "m6", "klatt4")
LANGUAGES = (
    "en-us",
    "en-us",
    "en-us",
    "en",
    "en-gb-x-rp",
    "en-gb-scotland",
    "en-us-nyc",
    "en-gb-x-gbclan",
    "en-029",
)
TRAIN_FLITE, TEST_FLITE = ("kal16", "rms", "awb", "kal"), ("slt",)


def environment(root: Path) -> dict[str, str]:
    return {
        **os.environ,
        "LD_LIBRARY_PATH": f"{root}/usr/lib/x86_64-linux-gnu",
        "ESPEAK_DATA_PATH": f"{root}/usr/lib/x86_64-linux-gnu/espeak-ng-data",
    }


def read_wave(data: bytes) -> np.ndarray:
    with wave.open(io.BytesIO(data)) as f:
        rate = f.getframerate()
        frames = f.readframes(10**9)
    audio = np.frombuffer(frames[: len(frames) // 2 * 2], np.int16).astype(np.float32) / 32768
    if rate == 16_000:
        return audio
    divisor = int(np.gcd(rate, 16_000))
    return resample_poly(audio, 16_000 // divisor, rate // divisor).astype(np.float32)


def say(text: str, rng: random.Random, root: Path, test: bool, out: Path) -> tuple[np.ndarray, str]:
    # Sometimes as written: a voice that reads "psi" as one word must be understood, too.
    spoken = text if not test and rng.random() < 0.2 else phrases.spoken(text)
    if rng.random() < 0.72:
        language = rng.choice(LANGUAGES)
        variant = rng.choice(TEST_VARIANTS if test else TRAIN_VARIANTS)
        voice = f"{language}+{variant}"
        command = [
            f"{root}/usr/bin/espeak-ng",
            "-v",
            voice,
            "-s",
            str(rng.randint(110, 230)),
            "-p",
            str(rng.randint(15, 85)),
            "-g",
            str(rng.choice((0, 0, 1, 2))),
            "-w",
            str(out),
            spoken,
        ]
        name = "espeak:" + variant
    else:
        voice = rng.choice(TEST_FLITE if test else TRAIN_FLITE)
        command = [
            f"{root}/usr/bin/flite",
            "-voice",
            voice,
            "--setf",
            f"duration_stretch={rng.uniform(0.75, 1.35):.2f}",
            "--setf",
            f"int_f0_target_mean={rng.randint(*((150, 210) if voice == 'slt' else (85, 170)))}",
            "-t",
            spoken,
            "-o",
            str(out),
        ]
        name = "flite:" + voice
    subprocess.run(command, env=environment(root), capture_output=True, timeout=20, check=True)
    return read_wave(out.read_bytes()), name


def work(worker: int, workers: int, args: argparse.Namespace) -> None:
    with gzip.open(args.data / "texts.jsonl.gz", "rt") as f:
        rows = [json.loads(line) for line in f]
    test = [r for r in rows if r["part"] == "test"][worker::workers]
    train = [r for r in reversed(rows) if r["part"] == "train"][worker::workers]
    out_test = Shard(args.out, f"smalltest-{worker:02d}", len(test) or 1)
    out_train = Shard(args.out, f"small-{worker:02d}", args.shard)
    scratch = args.out / f".{worker}.wav"
    for row in test[: args.limit] + train[: args.limit]:
        if time.time() > args.deadline:
            break
        rng = random.Random(f"{row['text']}|small|{worker}")
        try:
            audio, voice = say(row["text"], rng, args.root, row["part"] == "test", scratch)
        except (subprocess.SubprocessError, OSError, wave.Error) as error:
            print("skipped:", row["text"], error, flush=True)
            continue
        out = out_test if row["part"] == "test" else out_train
        out.add(trim(audio), {"text": row["text"], "kind": row["kind"], "voice": voice})
    out_test.write()
    out_train.write()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--root", type=Path, required=True)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--workers", type=int, default=8)
    parser.add_argument("--seconds", type=float, default=300)
    parser.add_argument("--limit", type=int, default=10**9)
    parser.add_argument("--shard", type=int, default=250)
    processes.run(work, parser.parse_args())


if __name__ == "__main__":
    main()
