"""Stage 4, on the GPU machine: train for a given time on the shards that lie in a folder.

All audio lives on the GPU as int16; new shards are taken up while training runs. The schedule is by
wall clock (warm-up, cosine), so a run ends on time; seeds are fixed, but with a clock and a growing
data folder two runs are alike, not identical. Writes OUT/last.npz and OUT/best... see `save`.
"""

from __future__ import annotations

import argparse
import copy
import json
import math
import random
import time
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as F
from torch import Tensor

from augment import Noises
from network import Recogniser, encode, parameter_groups

GROUPS = {"kokoro": 0.60, "small": 0.14, "real-words": 0.12, "real-other": 0.10, "noise": 0.04}
PAUSE = (0.03, 0.5)  # seconds of silence before and after


class Store:
    """Every clip on the device; `take` gives a random batch of about `seconds` of audio."""

    def __init__(self, folder: Path, device: str, capacity_hours: float, seed: int) -> None:
        self.folder, self.device = folder, device
        self.audio = torch.zeros(
            int(capacity_hours * 3600 * 16_000), dtype=torch.int16, device=device
        )
        self.used, self.seen = 0, set[str]()
        self.start: list[int] = []
        self.length: list[int] = []
        self.label: list[list[int]] = []
        self.group: dict[str, list[int]] = {name: [] for name in GROUPS}
        self.random = random.Random(seed)
        self.hours: dict[str, float] = {}

    def refresh(self, limit: int = 10**6) -> None:
        for path in sorted(self.folder.glob("*.npz"))[:limit]:
            name = path.name
            if name in self.seen or name.startswith(("test", "smalltest", "noise", ".")):
                continue
            self.seen.add(name)
            data = np.load(path)
            rows = json.loads(path.with_suffix(".json").read_text())
            audio, lengths = data["audio"], data["length"]
            if self.used + len(audio) > self.audio.numel():
                return
            self.audio[self.used : self.used + len(audio)] = torch.from_numpy(audio).to(self.device)
            group = name.split("-")[0]
            if group == "real":
                group = (
                    "real-words" if name.startswith(("real-words", "real-digits")) else "real-other"
                )
            offset = self.used
            for row, length in zip(rows, lengths.tolist(), strict=True):
                if length > 148_000:  # the network takes 12 s, and a clip may be slowed and padded
                    offset += length
                    continue
                self.group[group].append(len(self.start))
                self.start.append(offset)
                self.length.append(length)
                self.label.append(encode(row["text"]))
                offset += length
            self.used += len(audio)
            self.hours[group] = self.hours.get(group, 0.0) + len(audio) / 16_000 / 3600

    def plan(self, count: int) -> list[list[int]]:
        """Random utterances: mostly one clip, sometimes two to four in a row; [] is noise only."""
        names = [g for g in GROUPS if g == "noise" or self.group[g]]
        picks = self.random.choices(names, [GROUPS[g] for g in names], k=count)
        result = []
        for name in picks:
            if name == "noise":
                result.append([])
                continue
            clips = [self.random.choice(self.group[name])]
            more = 0.45 if name == "real-words" else 0.06
            while self.random.random() < more and len(clips) < 4:
                clip = self.random.choice(self.group[name])
                if sum(self.length[c] for c in [*clips, clip]) > 120_000:
                    break
                clips.append(clip)
            result.append(clips)
        return result

    def batches(self, seconds: float):
        """Batches of like length, for ever; each is (clips of a row, ...)."""
        while True:
            rows = self.plan(3000)
            # Noise rows are given a random place: at the short end they would pull its batches to
            # two seconds, and the network would never see a short window.
            rows.sort(
                key=lambda r: (
                    sum(self.length[c] for c in r) + self.random.randrange(8000)
                    if r
                    else self.random.randrange(48_000)
                )
            )
            cut, chunk, longest = [], [], 0
            for row in rows:
                need = sum(self.length[c] for c in row) + 12_000 * max(1, len(row))
                if chunk and max(longest, need) * (len(chunk) + 1) > seconds * 16_000:
                    cut.append(chunk)
                    chunk, longest = [], 0
                chunk.append(row)
                longest = max(longest, need)
            cut.append(chunk)
            self.random.shuffle(cut)
            yield from (c for c in cut if len(c) > 3 or len(cut) < 4)

    def take(self, rows: list[list[int]]) -> tuple[Tensor, list[list[int]], Tensor]:
        """Clean audio (batch, samples), labels which rows hold speech; rate changed by up to 14 %."""
        r = self.random
        pieces: list[tuple[int, int, int, int, float]] = []
        labels, ends = [], []
        for b, clips in enumerate(rows):
            place = int(r.uniform(*PAUSE) * 16_000)
            label: list[int] = []
            for n, clip in enumerate(clips):
                rate = 1.0 if r.random() < 0.35 else r.uniform(0.86, 1.14)
                size = int(self.length[clip] / rate) - 2
                pieces.append((b, place, size, self.start[clip], rate))
                place += size + int(
                    r.uniform(0.0, 0.35) * 16_000
                    if n + 1 < len(clips)
                    else r.uniform(*PAUSE) * 16_000
                )
                label += ([1] if label else []) + self.label[clip]
            labels.append(label)
            ends.append(place if clips else 4800)
        width = (max(ends) + 319) // 320 * 320
        out = torch.zeros(len(rows), width, device=self.device)
        single = {b for b, clips in enumerate(rows) if len(clips) == 1}
        first = [p for p in pieces if p[0] in single]
        if first:
            row, place, size, start, rate = (
                torch.tensor(x, device=self.device) for x in zip(*first, strict=True)
            )
            offset = torch.arange(width, device=self.device)[None] - place[:, None]
            inside = (offset >= 0) & (offset < size[:, None])
            position = offset.clamp(min=0) * rate[:, None].float()
            whole = position.long()
            index = (start[:, None] + whole).clamp(max=self.audio.numel() - 2)
            part = position - whole
            value = self.audio[index].float() * (1 - part) + self.audio[index + 1].float() * part
            out[row] = torch.where(inside, value, 0.0)
        for b, place, size, start, rate in pieces:
            if b in single:
                continue
            position = torch.arange(size, device=self.device) * rate
            whole = position.long()
            part = position - whole
            value = (
                self.audio[start + whole].float() * (1 - part)
                + self.audio[start + whole + 1].float() * part
            )
            out[b, place : place + size] += (
                value / value.square().mean().sqrt().clamp(min=1.0) * 3000
            )
        return out / 32768, labels, torch.tensor([bool(c) for c in rows], device=self.device)


def load_noises(folder: Path, device: str, seed: int) -> Noises:
    generator = torch.Generator(device=device)
    generator.manual_seed(seed)
    noise = torch.from_numpy(np.load(folder / "noise-train.npz")["audio"]).to(device)
    data = np.load(folder / "noise-rir.npz")
    rooms, offset = [], 0
    for length in data["length"].tolist():
        clip = torch.from_numpy(data["audio"][offset : offset + length].astype(np.float32))
        offset += length
        clip = clip[int(clip[:4000].abs().argmax()) :][:8192]
        rooms.append(F.pad(clip / clip.abs().max(), (0, 8192 - len(clip))))
    return Noises(noise, torch.stack(rooms).to(device), generator)


def loss_of(model: Recogniser, mel: Tensor, labels: list[list[int]], bf16: bool) -> Tensor:
    with torch.autocast("cuda", torch.bfloat16, enabled=bf16):
        logs = model(mel)
    lengths = torch.tensor([len(x) for x in labels])
    targets = torch.tensor([c for x in labels for c in x], dtype=torch.long)
    frames = torch.full((len(labels),), logs.shape[1], dtype=torch.long)
    losses = F.ctc_loss(
        logs.transpose(0, 1),
        targets.to(logs.device),
        frames.to(logs.device),
        lengths.to(logs.device),
        reduction="none",
        zero_infinity=True,
    )
    return (losses / (lengths.to(logs.device).float() + 4.0)).mean()


def greedy(logs: Tensor) -> list[list[int]]:
    result = []
    for row in logs.argmax(-1).tolist():
        result.append(
            [c for c, before in zip(row, [0, *row[:-1]], strict=True) if c != 0 and c != before]
        )
    return result


@torch.no_grad()
def check(model: Recogniser, folder: Path, noises: Noises, limit: int = 300) -> dict[str, float]:
    """Share of exact sentences on test voices so far rendered, by kind, clean (a quick look)."""
    model.eval()
    hits: dict[str, list[int]] = {}
    for path in sorted(folder.glob("test-*.npz")):
        data, rows, offset = np.load(path), json.loads(path.with_suffix(".json").read_text()), 0
        for row, length in zip(rows, data["length"].tolist(), strict=True):
            audio = torch.from_numpy(
                data["audio"][offset : offset + length].astype(np.float32) / 32768
            )
            offset += length
            if sum(map(len, hits.values())) >= limit:
                break
            audio = F.pad(audio, (3200, 3200))[None].to(noises.noise.device)
            got = greedy(model(noises.log_mel(audio)))[0]
            hits.setdefault(row["kind"], []).append(int(got == encode(row["text"])))
    model.train()
    return {k: round(sum(v) / len(v), 3) for k, v in hits.items()}


def save(model: Recogniser, path: Path) -> None:
    np.savez(
        path,
        **{
            k: v.detach().cpu().numpy().astype(np.float16)
            for k, v in model.state_dict().items()
            if k != "positions"
        },
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shards", type=Path, required=True)
    parser.add_argument("--encoder", required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--device", default="cuda:0")
    parser.add_argument("--seconds", type=float, default=840)
    parser.add_argument("--batch", type=float, default=640, help="seconds of audio a step")
    parser.add_argument("--rate", type=float, default=3e-4)
    parser.add_argument("--decay", type=float, default=0.75)
    parser.add_argument("--head-rate", type=float, default=1.5e-3)
    parser.add_argument("--layers", type=int, default=4)
    parser.add_argument("--drop", type=float, default=0.0)
    parser.add_argument("--capacity", type=float, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--resume", type=Path, help="weights to go on from (the optimiser starts anew)"
    )
    parser.add_argument("--max-steps", type=int, default=10**9)
    args = parser.parse_args()
    torch.manual_seed(args.seed)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    bf16 = args.device.startswith("cuda")
    args.out.mkdir(parents=True, exist_ok=True)
    store = Store(args.shards, args.device, args.capacity, args.seed)
    store.refresh()
    noises = load_noises(args.shards, args.device, args.seed)
    model = Recogniser(args.layers, args.drop)
    model.load_encoder(args.encoder)
    if args.resume:
        saved = np.load(args.resume)
        model.load_state_dict(
            {k: torch.from_numpy(saved[k].astype(np.float32)) for k in saved.files}, strict=False
        )
    model.to(args.device).train()
    average = copy.deepcopy(model)
    groups = parameter_groups(model, args.rate, args.decay, args.head_rate)
    base = [g["lr"] for g in groups]
    optimiser = torch.optim.AdamW(groups, weight_decay=0.01, betas=(0.9, 0.98))
    begin = last_look = last_check = time.time()
    log = (args.out / "log.txt").open("a")
    recent: list[Tensor] = []
    for step, rows in enumerate(store.batches(args.batch)):
        now = time.time()
        share = (now - begin) / args.seconds
        if share >= 1 or step >= args.max_steps:
            break
        scale = min(1.0, (step + 1) / 400) * (0.5 + 0.5 * math.cos(math.pi * share))
        for group, lr in zip(optimiser.param_groups, base, strict=True):
            group["lr"] = lr * max(scale, 1e-3)
        with torch.no_grad():
            clean, labels, has_speech = store.take(rows)
            mel = noises.mask(noises.log_mel(noises(clean, has_speech)))
        loss = loss_of(model, mel, labels, bf16)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(model.parameters(), 1.0)
        optimiser.step()
        keep = min(0.999, (step + 1) / (step + 100))
        with torch.no_grad():
            torch._foreach_lerp_(list(average.parameters()), list(model.parameters()), 1 - keep)
        recent.append(loss.detach())
        if now - last_look > 12:
            store.refresh()
            last_look = now
        if step % 200 == 0 or now - last_check > 90:
            line = {
                "step": step,
                "seconds": round(now - begin),
                "loss": round(torch.stack(recent).mean().item(), 4),
                "hours": {k: round(v, 2) for k, v in store.hours.items()},
            }
            recent = []
            if now - last_check > 90:
                line["exact"] = check(average, args.shards, noises)
                save(average, args.out / "last.npz")
                last_check = now
            log.write(json.dumps(line) + "\n")
            log.flush()
            print(json.dumps(line), flush=True)
    final = check(average, args.shards, noises, 2000)
    save(average, args.out / "final.npz")
    log.write(json.dumps({"final": final, "steps": step, "hours": store.hours}) + "\n")
    print("final", final, "steps", step, flush=True)


if __name__ == "__main__":
    main()
