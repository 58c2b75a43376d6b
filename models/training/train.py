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
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as F
from torch import Tensor

from augment import Noises
from network import Recogniser, encode, parameter_groups
from program import development, framed

GROUPS = {
    "kokoro": 0.37,
    "small": 0.24,
    "real-words": 0.13,
    "digits": 0.12,
    "real-other": 0.09,
    "noise": 0.05,
}
PAUSE = (0.03, 0.5)  # seconds of silence before and after
LONGEST_LEAD_S = 1.0  # of a room's quiet before speech, where the endpointer was late or careful
LED = 0.6  # share of the rows with such a lead
DIGITS = frozenset("zero oh one two three four five six seven eight nine".split())
RARE = {"on": 3.0, "off": 3.0}  # few speakers: drawn more often than their count says
WIDTH_STEP = 4_000  # whole quarter seconds: few shapes, for which transforms are planned once


@dataclass(frozen=True)
class Piece:
    """A clip in a batch: row, place and size in samples, place in the store, rate, level."""

    row: int
    place: int
    size: int
    start: int
    rate: float
    level: float  # RMS in int16 steps; 0 keeps that of the recording
    hiss: float  # white noise under the clip alone, against its RMS


def loud_part(clip: np.ndarray) -> tuple[int, int]:
    """First and last sample of what is within 26 dB of the loudest 20 ms, but for 30 ms."""
    blocks = len(clip) // 320
    if blocks < 3:
        return 0, len(clip)
    power = (clip[: blocks * 320].astype(np.float32).reshape(blocks, 320) ** 2).mean(1)
    loud = np.flatnonzero(power > power.max() * 10**-2.6)
    return max(0, int(loud[0]) * 320 - 480), min(len(clip), (int(loud[-1]) + 1) * 320 + 480)


class Store:
    """Every clip on the device; `take` gives a random batch of about `seconds` of audio."""

    def __init__(
        self, folder: Path, device: str, capacity_hours: float, seed: int, without: list[str]
    ) -> None:
        self.folder, self.device, self.without = folder, device, without
        self.audio = torch.zeros(
            int(capacity_hours * 3600 * 16_000), dtype=torch.int16, device=device
        )
        self.used, self.seen = 0, set[str]()
        self.start: list[int] = []
        self.length: list[int] = []
        self.label: list[list[int]] = []
        self.group: dict[str, list[int]] = {name: [] for name in GROUPS}
        self.words: dict[str, list[int]] = {}
        self.digits: dict[bool, dict[str, list[int]]] = {True: {}, False: {}}  # real people or not
        self.random = random.Random(seed)
        self.generator = torch.Generator(device=device)
        self.generator.manual_seed(seed)
        self.hours: dict[str, float] = {}

    def add(self, start: int, length: int, text: str) -> int:
        self.start.append(start)
        self.length.append(length)
        self.label.append(encode(text))
        return len(self.start) - 1

    def refresh(self, limit: int = 10**6) -> None:
        for path in sorted(self.folder.glob("*.npz"))[:limit]:
            name = path.name
            if name in self.seen or name.startswith(("test", "smalltest", "noise", "dev", ".")):
                continue
            self.seen.add(name)
            if any(name.startswith(f"real-{speaker}") for speaker in self.without):
                continue
            data = np.load(path)
            rows = json.loads(path.with_suffix(".json").read_text())
            audio, lengths = data["audio"], data["length"]
            if self.used + len(audio) > self.audio.numel():
                return
            self.audio[self.used : self.used + len(audio)] = torch.from_numpy(audio).to(self.device)
            group = name.split("-")[0]
            real = group == "real"
            if real:
                group = (
                    "real-words"
                    if name.startswith(("real-words", "real-digits", "real-fsdd"))
                    else "real-other"
                )
            offset = 0
            for row, length in zip(rows, lengths.tolist(), strict=True):
                begin, offset = offset, offset + length
                text = row["text"]
                if text in DIGITS:
                    first, last = loud_part(audio[begin:offset])
                    number = self.add(self.used + begin + first, last - first, text)
                    self.digits[real].setdefault(row["voice"], []).append(number)
                    self.group["digits"].append(number)
                if length > 136_000 or name.startswith("real-cuts"):
                    continue  # the network takes 12 s, and a clip may be slowed and padded
                number = self.add(self.used + begin, length, text)
                self.group[group].append(number)
                if group == "real-words":
                    self.words.setdefault(text, []).append(number)
            self.used += len(audio)
            self.hours[group] = self.hours.get(group, 0.0) + len(audio) / 16_000 / 3600

    def row_of_digits(self) -> list[int]:
        """One to six digits, half of the time of one voice."""
        r = self.random
        voices = self.digits[r.random() < 0.65 or not self.digits[False]]
        if not voices:
            return [r.choice(self.group["digits"])]
        own = r.choices(list(voices.values()), [len(v) ** 0.6 for v in voices.values()])[0]
        mixed = len(set(map(tuple, (self.label[n] for n in own)))) < 4 or r.random() < 0.3
        count = r.choices((1, 2, 3, 4, 5, 6), (12, 14, 20, 34, 12, 8))[0]
        return [r.choice(r.choice(list(voices.values())) if mixed else own) for _ in range(count)]

    def one_word(self) -> int:
        """A real word: rare words more often than their count says, on and off most."""
        weights = [len(v) ** 0.5 * RARE.get(w, 1.0) for w, v in self.words.items()]
        return self.random.choice(self.random.choices(list(self.words.values()), weights)[0])

    def plan(self, count: int) -> list[tuple[str, list[int]]]:
        """Random utterances: mostly one clip, sometimes two to four in a row; [] is noise only."""
        names = [g for g in GROUPS if g == "noise" or self.group[g]]
        picks = self.random.choices(names, [GROUPS[g] for g in names], k=count)
        result = []
        for name in picks:
            if name == "noise":
                result.append((name, []))
                continue
            if name == "digits":
                result.append((name, self.row_of_digits()))
                continue
            words = name == "real-words"
            draw = self.one_word if words else partial(self.random.choice, self.group[name])
            clips = [draw()]
            while self.random.random() < (0.35 if words else 0.06) and len(clips) < 4:
                clip = draw()
                if sum(self.length[c] for c in [*clips, clip]) > 120_000:
                    break
                clips.append(clip)
            result.append((name, clips))
        return result

    def batches(self, seconds: float):
        """Batches of like length, for ever; each is a list of (group, clips of a row)."""
        while True:
            rows = self.plan(6000)
            # Noise rows are given a random place: at the short end they would pull its batches to
            # two seconds, and the network would never see a short window.
            rows.sort(
                key=lambda r: (
                    sum(self.length[c] for c in r[1]) + self.random.randrange(8000)
                    if r[1]
                    else self.random.randrange(48_000)
                )
            )
            cut, chunk, longest = [], [], 0
            for row in rows:
                need = sum(self.length[c] for c in row[1]) + 12_000 * max(1, len(row[1]))
                if chunk and max(longest, need) * (len(chunk) + 1) > seconds * 16_000:
                    cut.append(chunk)
                    chunk, longest = [], 0
                chunk.append(row)
                longest = max(longest, need)
            cut.append(chunk)
            self.random.shuffle(cut)
            # Whole eights of rows: few shapes again.
            yield from (c[: len(c) // 8 * 8] if len(c) >= 16 else c for c in cut if len(c) > 3)

    def lay_out(
        self, rows: list[tuple[str, list[int]]], framed: bool
    ) -> tuple[list[Piece], list[list[int]], list[tuple[int, int]], int]:
        """Where every clip goes, the labels, first and last sample of each row, the width.

        `framed`: as at run time, half a second of quiet at both ends and 2.5 s at least.
        """
        r = self.random
        pieces: list[Piece] = []
        labels, spans = [], []
        for b, (group, clips) in enumerate(rows):
            digits = group == "digits"
            row_rate = 1.0 if r.random() < 0.3 else r.uniform(0.8, 1.25)
            lead = r.uniform(0.0, LONGEST_LEAD_S) if r.random() < LED else 0.0
            lasting = sum(self.length[c] for c in clips) / row_rate / 16_000
            lead = max(0.0, min(lead, 9.2 - lasting))  # the network takes 12 s
            quiet = 0.5 + lead if framed else r.uniform(*PAUSE)
            first = place = int(quiet * 16_000)
            label: list[int] = []
            hiss = 10 ** (-r.uniform(12, 40) / 20) if digits and r.random() < 0.6 else 0.0
            widest_gap = r.choice((0.06, 0.2, 0.35)) if digits else 0.35
            end = place
            for n, clip in enumerate(clips):
                rate = row_rate * (r.uniform(0.95, 1.05) if n else 1.0)
                start, length = self.start[clip], self.length[clip]
                if digits and r.random() < 0.3:  # cut hard into the word's ends
                    before, after = (int(r.uniform(0, 0.05) * 16_000) for _ in range(2))
                    if length - before - after > 2400:
                        start, length = start + before, length - before - after
                size = int(length / rate) - 2
                level = 3000 * 10 ** (r.uniform(-5, 5) / 20) if len(clips) > 1 else 0.0
                pieces.append(Piece(b, place, size, start, rate, level, hiss))
                end = place + size
                place = end + int(r.uniform(0.0, widest_gap) * 16_000)
                label += ([1] if label else []) + self.label[clip]
            if not clips:
                end = place + int(r.uniform(0.2, 2.5) * 16_000)
            labels.append(label)
            spans.append((first, end))
        tail = 0.5 if framed else r.uniform(0.03, 0.3)
        width = max(end for _, end in spans) + int(tail * 16_000)
        width = max(width, 40_000) if framed else width
        return pieces, labels, spans, (width + WIDTH_STEP - 1) // WIDTH_STEP * WIDTH_STEP

    def take(
        self, rows: list[tuple[str, list[int]]]
    ) -> tuple[Tensor, list[list[int]], Tensor, Tensor, bool]:
        """Clean audio (batch, samples), labels, which rows hold speech, spans (batch, 2), framed."""
        framed = self.random.random() < 0.5
        pieces, labels, spans, width = self.lay_out(rows, framed)
        if framed:  # short rows stand in the middle of the window
            shift = [(width - 8000 - end) // 2 * (width == 40_000) for _, end in spans]
            shift = [max(0, x) for x in shift]
            pieces = [replace(p, place=p.place + shift[p.row]) for p in pieces]
            spans = [(a + x, b + x) for (a, b), x in zip(spans, shift, strict=True)]
        out = torch.zeros(len(rows) * width, device=self.device)
        if pieces:
            table = torch.tensor(
                [(p.row * width + p.place, p.size, p.start) for p in pieces],
                dtype=torch.long,
            ).to(self.device, non_blocking=True)
            settings = torch.tensor([(p.rate, p.level, p.hiss) for p in pieces]).to(
                self.device, non_blocking=True
            )
            rate, level, hiss = settings[:, :1], settings[:, 1:2], settings[:, 2:]
            offset = torch.arange(max(p.size for p in pieces), device=self.device)[None]
            inside = offset < table[:, 1:2]
            position = offset * rate
            whole = position.long()
            part = position - whole
            index = (table[:, 2:] + whole).clamp(max=self.audio.numel() - 2)
            value = self.audio[index].float() * (1 - part) + self.audio[index + 1].float() * part
            value = value * inside
            mean = value.square().sum(1, keepdim=True) / table[:, 1:2].clamp(min=1)
            rms = mean.sqrt().clamp(min=1.0)
            value = torch.where(level > 0, value / rms * level, value)
            noise = torch.randn(value.shape, generator=self.generator, device=self.device)
            value = value + noise * inside * hiss * torch.where(level > 0, level, rms)
            target = (table[:, :1] + offset).clamp(max=out.numel() - 1)
            out.index_add_(0, target.reshape(-1), value.reshape(-1))
        speech = torch.tensor([bool(c) for _, c in rows], device=self.device)
        ends = torch.tensor(spans, device=self.device)
        return out.reshape(len(rows), width) / 32768, labels, speech, ends, framed


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
    # Lengths stay on the host: the loss reads them there, and asking the device would wait for it.
    lengths = torch.tensor([len(x) for x in labels])
    targets = torch.tensor([c for x in labels for c in x], dtype=torch.long)
    frames = torch.full((len(labels),), logs.shape[1], dtype=torch.long)
    losses = F.ctc_loss(
        logs.transpose(0, 1),
        targets.to(logs.device, non_blocking=True),
        frames,
        lengths,
        reduction="none",
        zero_infinity=True,
    )
    return (losses / (lengths.to(logs.device, non_blocking=True).float() + 4.0)).mean()


def greedy(logs: Tensor) -> list[list[int]]:
    result = []
    for row in logs.argmax(-1).tolist():
        result.append(
            [c for c, before in zip(row, [0, *row[:-1]], strict=True) if c != 0 and c != before]
        )
    return result


@torch.no_grad()
def check(model: Recogniser, folder: Path, noises: Noises) -> dict[str, float]:
    """Share of exact free texts on the development rows (dev-*.npz), framed as at run time."""
    model.eval()
    hits: dict[str, list[int]] = {}
    for path in sorted(folder.glob("dev-*.npz")):
        data, rows, offset = np.load(path), json.loads(path.with_suffix(".json").read_text()), 0
        for row, length in zip(rows, data["length"].tolist(), strict=True):
            clip = data["audio"][offset : offset + length].astype(np.float32) / 32768
            offset += length
            audio = torch.from_numpy(framed(clip))[None].to(noises.noise.device)
            got = greedy(model(noises.log_mel(audio)))[0]
            hits.setdefault(row["kind"], []).append(int(got == encode(row["text"])))
    model.train()
    return {k: round(sum(v) / len(v), 3) for k, v in hits.items()}


def save(model: Recogniser, path: Path) -> None:
    temporary = path.with_name("." + path.name)
    np.savez(
        temporary,
        **{k: v.detach().cpu().numpy().astype(np.float16) for k, v in model.state_dict().items()},
    )
    temporary.rename(path)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shards", type=Path, required=True)
    parser.add_argument("--encoder", help="Whisper's encoder to start from, without --resume")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--device", default="cuda:0")
    parser.add_argument("--seconds", type=float, default=840)
    parser.add_argument("--batch", type=float, default=640, help="seconds of audio a step")
    parser.add_argument("--rate", type=float, default=3e-4)
    parser.add_argument("--decay", type=float, default=0.75)
    parser.add_argument("--head-rate", type=float, default=1.5e-3)
    parser.add_argument("--layers", type=int, default=4)
    parser.add_argument("--drop", type=float, default=0.0)
    parser.add_argument("--warm-up", type=int, default=400, help="steps")
    parser.add_argument("--capacity", type=float, default=120)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--resume", type=Path, help="weights to go on from (the optimiser starts anew)"
    )
    parser.add_argument("--max-steps", type=int, default=10**9)
    parser.add_argument(
        "--without",
        nargs="*",
        default=development()["held_out_digits"],
        help="speakers of single digits that this run never hears",
    )
    args = parser.parse_args()
    torch.manual_seed(args.seed)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    torch.backends.cuda.enable_cudnn_sdp(False)  # it plans every new shape anew
    bf16 = args.device.startswith("cuda")
    args.out.mkdir(parents=True, exist_ok=True)
    store = Store(args.shards, args.device, args.capacity, args.seed, args.without)
    store.refresh()
    noises = load_noises(args.shards, args.device, args.seed)
    model = Recogniser(args.layers, args.drop)
    if args.encoder:
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
    optimiser = torch.optim.AdamW(
        groups, weight_decay=0.01, betas=(0.9, 0.98), fused=True if bf16 else None
    )
    begin = last_look = last_check = time.time()
    log = (args.out / "log.txt").open("a")
    recent: list[Tensor] = []
    for step, rows in enumerate(store.batches(args.batch)):
        now = time.time()
        share = (now - begin) / args.seconds
        if share >= 1 or step >= args.max_steps:
            break
        scale = min(1.0, (step + 1) / args.warm_up) * (0.5 + 0.5 * math.cos(math.pi * share))
        for group, lr in zip(optimiser.param_groups, base, strict=True):
            group["lr"] = lr * max(scale, 1e-3)
        with torch.no_grad():
            clean, labels, has_speech, spans, in_window = store.take(rows)
            dirty = noises(clean, has_speech)
            if in_window:
                dirty = noises.window_only(dirty, spans)
            mel = noises.mask(noises.voiced_otherwise(noises.warp(noises.log_mel(dirty))))
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
    final = check(average, args.shards, noises)
    save(average, args.out / "final.npz")
    log.write(json.dumps({"final": final, "steps": step, "hours": store.hours}) + "\n")
    print("final", final, "steps", step, flush=True)


if __name__ == "__main__":
    main()
