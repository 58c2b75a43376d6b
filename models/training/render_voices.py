"""Stage 2, on the GPU machine: render the training and test sentences with Kokoro-82M.

Each worker writes shards SHARD/kokoro-<worker>-<n>.npz (int16 audio at 16 kHz, end to end, with
lengths) and the same name with .json (text, kind, voices). Voices are blends of one to three base
voices, timbre and prosody blended apart, with small noise on the style, pitch and speed changed.
A sentence of the test part uses the voices in test_voices.json and no other sentence does.
"""

from __future__ import annotations

import argparse
import gzip
import json
import math
import random
import time
from pathlib import Path

import numpy as np

import processes


def pick_style(
    rng: random.Random,
    styles: dict[str, np.ndarray],
    names: list[str],
    british: bool,
    row: int,
    blend: bool,
) -> tuple[np.ndarray, str]:
    """A style row (1, 256) and its description, from base voices `names` only."""
    english = [n for n in names if n[0] == ("b" if british else "a")]
    foreign = [n for n in names if n[0] not in "ab"]
    if not blend:
        lead = rng.choice(english if rng.random() < 0.75 or not foreign else foreign)
        return styles[lead][row][None].astype(np.float32), lead

    def mixture() -> tuple[np.ndarray, str]:
        lead = rng.choice(english if rng.random() < 0.72 else foreign)
        count = rng.choices((1, 2, 3), (35, 45, 20))[0]
        others = [rng.choice(names) for _ in range(count - 1)]
        weights = np.array([1.0] + [rng.uniform(0.1, 0.9) for _ in others])
        weights /= weights.sum()
        if count == 2 and rng.random() < 0.25:
            weights = np.array([1.25, -0.25])
        mixed = sum(
            w * styles[n][row].astype(np.float32)
            for w, n in zip(weights, [lead, *others], strict=True)
        )
        return mixed, "+".join([lead, *others])

    timbre, first = mixture()
    prosody, second = mixture() if rng.random() < 0.5 else (timbre, first)
    style = np.concatenate([timbre[:128], prosody[128:]])
    noise = np.random.default_rng(rng.randrange(1 << 30)).normal(size=256).astype(np.float32)
    style = style + noise * 0.12 * rng.random() * style.std()
    return style[None].astype(np.float32), first if first == second else first + "/" + second


def trim(audio: np.ndarray, rate: int = 16_000) -> np.ndarray:
    """Cut leading and trailing silence to about 60 ms."""
    frame = rate // 100
    usable = audio[: len(audio) // frame * frame].reshape(-1, frame)
    level = np.sqrt((usable**2).mean(1) + 1e-12)
    loud = np.flatnonzero(level > max(level.max() * 0.02, 1e-4))
    if len(loud) == 0:
        return audio[:0]
    return audio[max(0, loud[0] * frame - rate // 16) : loud[-1] * frame + frame + rate // 16]


class Shard:
    """Collects clips and writes them every `size` clips."""

    def __init__(self, folder: Path, name: str, size: int) -> None:
        self.folder, self.name, self.size, self.number = folder, name, size, 0
        self.audio: list[np.ndarray] = []
        self.rows: list[dict[str, object]] = []

    def add(self, audio: np.ndarray, row: dict[str, object]) -> None:
        peak = float(np.abs(audio).max()) if len(audio) else 0.0
        if not math.isfinite(peak) or peak < 1e-3 or len(audio) < 1600 or len(audio) > 16_000 * 11:
            return
        self.audio.append((audio * (0.7 / peak) * 32767).astype(np.int16))
        self.rows.append(row)
        if len(self.rows) >= self.size:
            self.write()

    def write(self) -> None:
        if not self.rows:
            return
        stem = f"{self.name}-{self.number:04d}"
        (self.folder / f"{stem}.json").write_text(json.dumps(self.rows))
        temporary = self.folder / f".{stem}.npz"
        np.savez(temporary, audio=np.concatenate(self.audio), length=[len(a) for a in self.audio])
        temporary.rename(self.folder / f"{stem}.npz")
        self.number, self.audio, self.rows = self.number + 1, [], []


def work(worker: int, workers: int, args: argparse.Namespace) -> None:
    import torch
    from scipy.signal import resample_poly

    from voice_graph import VoiceGraph

    time.sleep(
        worker // len(args.devices) * 1.5
    )  # contexts made all at once block one another for minutes
    torch.set_num_threads(1)
    torch.backends.cudnn.allow_tf32 = True
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.benchmark = False
    device = args.devices[worker % len(args.devices)]
    graph = VoiceGraph(args.model, device)
    styles = dict(np.load(args.data / "voices.npz"))
    test_voices = json.loads((args.data / "test_voices.json").read_text())
    train_voices = [n for n in styles if n not in test_voices]
    with gzip.open(args.data / "texts.jsonl.gz", "rt") as f:
        rows = [json.loads(line) for line in f]
    test = [r for r in rows if r["part"] == "test"][worker::workers]
    train = [r for r in rows if r["part"] == "train"][args.skip :][worker::workers]
    if args.skip:
        test = []
    out_test = Shard(args.out, f"test-{worker:02d}", len(test) or 1)
    out_train = Shard(args.out, f"kokoro-{args.skip}-{worker:02d}", args.shard)
    begin = time.time()
    for number, row in enumerate(test[: args.limit] + train[: args.limit]):
        if number in (5, 100, 1000):
            print(worker, number, round(time.time() - begin, 1), "s", flush=True)
        if time.time() > args.deadline:
            break
        is_test = row["part"] == "test"
        rng = random.Random(f"{row['text']}|{worker}|{len(row['ids'])}")
        ids = [*row["ids"], *rng.choice(([4], [4], [6], [5], [], []))]
        style, voice = pick_style(
            rng,
            styles,
            test_voices if is_test else train_voices,
            row["gb"],
            min(len(ids), 139),
            not is_test,
        )
        speed = rng.uniform(0.85, 1.2) if is_test else rng.uniform(0.72, 1.4)
        pitch = 1.0 if is_test else rng.choice((1.0, rng.uniform(0.82, 1.25)))
        audio = graph.render(torch.tensor([[0, *ids, 0]]), torch.from_numpy(style), speed, pitch)
        audio = resample_poly(audio.cpu().numpy(), 2, 3).astype(np.float32)
        out = out_test if is_test else out_train
        out.add(trim(audio), {"text": row["text"], "kind": row["kind"], "voice": "kokoro:" + voice})
    out_test.write()
    out_train.write()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--model", type=Path, required=True)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--workers", type=int, default=12)
    parser.add_argument("--devices", nargs="+", default=["cuda:0"])
    parser.add_argument("--seconds", type=float, default=360)
    parser.add_argument("--limit", type=int, default=10**9)
    parser.add_argument(
        "--skip", type=int, default=0, help="training sentences to leave out (a later run)"
    )
    parser.add_argument("--shard", type=int, default=250)
    processes.run(work, parser.parse_args())


if __name__ == "__main__":
    main()
