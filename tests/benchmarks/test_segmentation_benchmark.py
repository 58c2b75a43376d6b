"""The benchmark of segmentation: what it counts, and that it runs."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import numpy as np
import pytest

from benchmarks.scenes import Item, Scene, Stage, breathing, hiss
from benchmarks.segmentation import Closed, Score, add, grouped, measured, table
from benchmarks.voices import TUNING
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.endpointer import Utterance

SPEECH = Path(os.environ.get("COACH_SPEECH") or Path(__file__).parents[3] / "shared" / "speech")
RATE_HZ = 16_000

needs_sound = pytest.mark.skipif(
    not (SPEECH / "train" / "words").is_dir()
    or not all(shutil.which(program) for program in ("espeak-ng", "flite")),
    reason=f"needs espeak-ng, flite and recordings in COACH_SPEECH (now {SPEECH})",
)


def turn(began_s: float, ended_s: float, closed_s: float, first_s: float | None = None) -> Closed:
    first = round((began_s - 0.3 if first_s is None else first_s) * RATE_HZ)
    end = round(closed_s * RATE_HZ)
    samples = np.zeros(end - first, np.float32)
    began, ended = round(began_s * RATE_HZ), round(ended_s * RATE_HZ)
    return Closed(Utterance(samples, first, began, ended), end)


def scored(
    *found: Closed, said: tuple[tuple[float, float], ...] = ((1.0, 2.0), (4.0, 5.0))
) -> Score:
    items = tuple(Item(round(begin * RATE_HZ), round(end * RATE_HZ)) for begin, end in said)
    scene = Scene("words", "mask", 10.0, np.zeros(7 * RATE_HZ, np.float32), items)
    score = Score("made", 10.0)
    add(score, scene, found, hangover_s=0.5)
    return score


def test_turns_that_fit_are_closed_in_time_and_nothing_else() -> None:
    score = scored(turn(1.0, 2.0, 2.5), turn(4.0, 5.0, 5.79))
    assert (score.said, score.closed) == (2, 2)
    assert score.missed == score.split == score.glued == score.false_turns == 0
    assert score.first_lost == score.last_lost == 0
    assert score.row["delay_median_s"] == pytest.approx(0.645, abs=0.001)


def test_each_fault_is_counted_as_what_it_is() -> None:
    assert scored(turn(1.0, 2.0, 2.5)).missed == 1
    assert scored(turn(1.0, 2.0, 2.85), turn(4.0, 5.0, 5.5)).closed == 1
    assert scored(turn(1.0, 1.3, 1.8), turn(1.8, 2.0, 2.5), turn(4, 5, 5.5)).split == 1
    assert scored(turn(1.0, 5.0, 5.5)).glued == 1
    assert scored(turn(1.0, 2.0, 2.5), turn(2.8, 3.2, 3.7), turn(4, 5, 5.5)).false_turns == 1
    assert scored(turn(1.4, 2.0, 2.5, first_s=1.2), turn(4.0, 5.0, 5.5)).first_lost == 1
    assert scored(turn(1.0, 1.4, 1.9), turn(4.0, 5.0, 5.5)).last_lost == 1


def test_a_mask_breathes_as_an_adult_does() -> None:
    sound = breathing(60 * RATE_HZ, np.random.default_rng(3))
    levels = np.square(sound[: 60 * RATE_HZ]).reshape(-1, RATE_HZ // 10).mean(axis=1)
    loud = levels > 0.05 * levels.max()
    bursts = int(np.sum(loud[1:] & ~loud[:-1]))
    # 12 to 20 breaths a minute, each in and out.
    assert 20 <= bursts <= 44


def test_oxygen_hisses_without_a_pause() -> None:
    sound = hiss(10 * RATE_HZ, np.random.default_rng(3))
    levels = np.square(sound).reshape(-1, RATE_HZ // 10).mean(axis=1)
    assert levels.max() < 2.0 * levels.min()


@needs_sound
def test_it_runs_and_finds_most_of_what_is_said() -> None:
    stage = Stage(SPEECH, TUNING)
    scenes = [stage.scene("words", "oxygen", 10.0, 4, 1), stage.scene("digits", "mask", 20.0, 2, 1)]
    scores = measured(scenes, VoiceActivity(), grouped)
    assert [score.what for score in scores] == ["oxygen: short", "mask: digits"]
    assert sum(score.missed for score in scores) <= 1
    assert "oxygen: short" in table(scores)
