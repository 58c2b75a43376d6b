"""Where turns of speech begin and end in noise: python -m tests.benchmarks.segmentation

Needs espeak-ng, flite and recordings in the folder COACH_SPEECH (unset: ../shared/speech beside
the checkout): by default those of development; --cast test for those nothing was tuned on.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np

from coach.core.sound import SAMPLE_RATE_HZ
from coach.core.units import Quantity
from coach.edges.segmenter import Activity, Segmenter
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.endpointer import Cut, Utterance
from coach.hearing.hypothesis import Hint

from .recognisers import speech_folder
from .scenes import Scene, Stage
from .voices import CASTS

RATIOS_DB = (20.0, 10.0, 5.0, 0.0)
KINDS = ("words", "phrases", "digits", "sentences")
MADE = ("mask", "oxygen", "babble")
LATE_S = 0.3
"""A turn that closes later than its hangover and this much is not closed by its own end."""
EDGE_S = 0.03
"""So much may be missing of the first or last sound: a window of the detector."""
BLOCK = 480


@dataclass
class Score:
    """What came of the things said at one noise and ratio."""

    what: str
    ratio_db: float | None
    said: int = 0
    missed: int = 0
    closed: int = 0
    split: int = 0
    glued: int = 0
    first_lost: int = 0
    last_lost: int = 0
    false_turns: int = 0
    minutes: float = 0.0
    delays_s: list[float] = field(default_factory=list)

    @property
    def row(self) -> dict[str, Any]:
        """For JSON; delays as their median and 95th percentile."""
        row = {name: value for name, value in asdict(self).items() if name != "delays_s"}
        delays = np.array(self.delays_s or [np.nan])
        row["delay_median_s"] = round(float(np.median(delays)), 3)
        row["delay_p95_s"] = round(float(np.percentile(delays, 95)), 3)
        return row


@dataclass(frozen=True, slots=True)
class Closed:
    """A turn, and the sample at which it was known to be over."""

    turn: Utterance
    at_sample: int


def turns_of(scene: Scene, activity: Activity) -> tuple[list[Closed], float]:
    """The turns found in a scene, and the hangover they were closed with."""
    activity.reset()
    segmenter = Segmenter(activity)
    segmenter.expect(Hint(Quantity.PRESSURE if scene.number else None))
    found: list[Closed] = []

    def take(cuts: Iterable[Cut]) -> None:
        at_sample = segmenter.endpointer.at_sample
        found.extend(Closed(cut, at_sample) for cut in cuts if isinstance(cut, Utterance))

    for begin in range(0, len(scene.samples), BLOCK):
        take(segmenter.feed(scene.samples[begin : begin + BLOCK]))
    take(segmenter.endpointer.finish())
    return found, segmenter.endpointer.hangover_s


def add(score: Score, scene: Scene, found: Sequence[Closed], hangover_s: float) -> None:
    """Count what came of each thing said in a scene."""
    score.minutes += len(scene.samples) / SAMPLE_RATE_HZ / 60.0
    edge = EDGE_S * SAMPLE_RATE_HZ
    spans = [(c.turn.began_at_sample, c.turn.ended_at_sample) for c in found]
    for begin, end in spans:
        met = sum(begin < item.end and end > item.begin for item in scene.items)
        score.glued += met > 1
        score.false_turns += met == 0
    for item in scene.items:
        score.said += 1
        own = [c for c, (b, e) in zip(found, spans, strict=True) if b < item.end and e > item.begin]
        if not own:
            score.missed += 1
            continue
        score.split += len(own) > 1
        first, last = own[0].turn, own[-1].turn
        score.first_lost += first.first_sample > item.begin + edge
        score.last_lost += last.first_sample + len(last.samples) < item.end - edge
        delay_s = (own[-1].at_sample - item.end) / SAMPLE_RATE_HZ
        score.delays_s.append(delay_s)
        score.closed += delay_s <= hangover_s + LATE_S


def measured(
    scenes: Iterable[Scene], activity: Activity, name: Callable[[Scene], str]
) -> list[Score]:
    """Scores by `name` and ratio, in the order in which they first come."""
    scores: dict[tuple[str, float | None], Score] = {}
    for scene in scenes:
        key = (name(scene), scene.ratio_db)
        score = scores.setdefault(key, Score(*key))
        add(score, scene, *turns_of(scene, activity))
    return list(scores.values())


def grouped(scene: Scene) -> str:
    """Recorded noises together, made ones by name; single words and phrases together."""
    kind = "short" if scene.kind in ("words", "phrases") else scene.kind
    return f"{scene.noise if scene.noise in MADE else 'recorded noises'}: {kind}"


def all_scenes(stage: Stage, items: int, takes: int) -> Iterable[Scene]:
    """Every noise at every ratio with every kind of speech, `takes` times."""
    for take in range(takes):
        for number, noise in enumerate(stage.noises):
            for kind_number, kind in enumerate(KINDS):
                for ratio_db in RATIOS_DB:
                    seed = take * 10_000 + number * 100 + kind_number
                    yield stage.scene(kind, noise, ratio_db, items, seed)


def table(scores: Sequence[Score]) -> str:
    """Everything as markdown; shares are of the things said."""
    lines = [
        "| noise: said | ratio | said | closed in time | missed | split | glued | first lost "
        "| last lost | false turns a minute | delay median, p95 |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    for score in sorted(scores, key=lambda s: (s.what, -(s.ratio_db or 99.0))):
        row = score.row
        shares = [
            f"{row[name] / max(score.said, 1):.1%}"
            for name in ("closed", "missed", "split", "glued", "first_lost", "last_lost")
        ]
        lines.append(
            f"| {score.what} | {score.ratio_db:g} dB | {score.said} | {' | '.join(shares)} "
            f"| {score.false_turns / score.minutes:.1f} "
            f"| {row['delay_median_s']:.2f}, {row['delay_p95_s']:.2f} s |"
        )
    return "\n".join(lines)


def main() -> None:
    """Measure and print a table, or JSON."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cast", choices=sorted(CASTS), default="train")
    parser.add_argument("--items", type=int, default=8, help="things said in a scene")
    parser.add_argument("--takes", type=int, default=1, help="scenes of each kind")
    parser.add_argument("--by-noise", action="store_true", help="a row for each recorded noise")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    stage = Stage(speech_folder(), CASTS[chosen.cast])
    begun = time.perf_counter()

    def by_noise(scene: Scene) -> str:
        return f"{scene.noise}: {scene.kind}"

    scores = measured(
        all_scenes(stage, chosen.items, chosen.takes),
        VoiceActivity(),
        by_noise if chosen.by_noise else grouped,
    )
    if chosen.json:
        sys.stdout.write(json.dumps([score.row for score in scores], indent=1) + "\n")
        return
    minutes = sum(score.minutes for score in scores)
    spent_s = time.perf_counter() - begun
    sys.stdout.write(f"{table(scores)}\n\n{minutes:.0f} minutes of sound in {spent_s:.0f} s\n")


if __name__ == "__main__":
    main()
