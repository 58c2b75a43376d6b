"""Stage 5, on the GPU machine: test renderings as FLAC files, and which voice was used where.

Test renderings are there only where this run made them.
"""

from __future__ import annotations

import argparse
import collections
import json
from pathlib import Path

import numpy as np
import soundfile


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shards", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    args = parser.parse_args()
    summary: dict[str, object] = {}
    for name in ("test", "smalltest"):
        clips, rows, lengths = [], [], []
        for path in sorted(args.shards.glob(f"{name}-*.npz")):
            data = np.load(path)
            clips.append(data["audio"])
            lengths += data["length"].tolist()
            rows += json.loads(path.with_suffix(".json").read_text())
        if not rows:
            continue
        # Two files each: what comes back is limited to 16 MB a file.
        for number, half in enumerate(np.array_split(np.concatenate(clips), 2), 1):
            soundfile.write(args.out / f"{name}{number}.flac", half, 16_000)
        summary[name] = [{**r, "samples": n} for r, n in zip(rows, lengths, strict=True)]
    voices: collections.Counter[str] = collections.Counter()
    hours: dict[str, float] = {}
    for path in sorted(args.shards.glob("*.json")):
        kind = path.name.split("-")[0]
        if kind in ("test", "smalltest", "noise", "dev"):
            continue
        for row in json.loads(path.read_text()):
            for part in row["voice"].removeprefix("kokoro:").replace("/", "+").split("+"):
                voices[f"{kind}:{part}" if kind == "kokoro" else part] += 1
        hours[kind] = (
            hours.get(kind, 0.0)
            + int(np.load(path.with_suffix(".npz"))["length"].sum()) / 57_600_000
        )
    summary["train_voices"] = voices
    summary["train_hours"] = hours
    (args.out / "summary.json").write_text(json.dumps(summary))
    print(json.dumps(hours), len(voices), "voices")


if __name__ == "__main__":
    main()
