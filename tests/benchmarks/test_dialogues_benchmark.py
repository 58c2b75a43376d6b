"""The benchmark of dialogues: what it draws, what it counts, and that it runs."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

import pytest
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from benchmarks.dialogues import MEASURES, TITLES, measured, played, report, table
from benchmarks.learner import PLACES, Outcome, moment_of
from benchmarks.sayings import Intent, Plain, Ready, kin_of, worded
from benchmarks.voices import MEASURING, RATIOS_DB, TUNING, Speaker
from coach.core.units import Quantity
from coach.dialogue.turn import expectation
from coach.edges.engines import open_recogniser

SPEECH = Path(os.environ.get("COACH_SPEECH") or Path(__file__).parents[3] / "shared" / "speech")

needs_sound = pytest.mark.skipif(
    not (SPEECH / "noise" / "test").is_dir()
    or not all(shutil.which(program) for program in ("espeak-ng", "flite")),
    reason=f"needs espeak-ng, flite and recordings in COACH_SPEECH (now {SPEECH})",
)
SPEAKER = Speaker("flite", "slt", "en-us", 160, 50, 0, -12.0, 0, 10.0)


def outcome(stood: str, wrong_sure: bool = False) -> Outcome:
    return Outcome(1, "flow", 6.0, SPEAKER, stood=stood, turns=2, wrong_sure=wrong_sure)


@needs_sound
def test_five_dialogues_are_played_and_counted() -> None:
    seeds = range(5)
    outcomes = played(MEASURING, open_recogniser("own", None), SPEECH, seeds)
    result = report(outcomes, MEASURING, seeds)
    overall = result["rows"][0]
    assert all(o.spoken and o.turns == len(o.spoken) for o in outcomes)
    assert overall["dialogues"] == 5
    stood = (overall[name] for name in ("stands_right", "stands_wrong", "never_stood"))
    assert sum(measure["count"] for measure in stood) == 5
    assert overall["stands_right"]["count"] >= 3
    assert {"commit", "machine", "cast", "seeds", "not_right"} <= set(result)
    assert {o.speaker.ratio_db for o in outcomes} <= set(RATIOS_DB)


@needs_sound
def test_the_same_seed_is_the_same_dialogue() -> None:
    recogniser = open_recogniser("own", None)
    first, second = (played(TUNING, recogniser, SPEECH, [11])[0].as_json() for _ in range(2))
    assert first == second


def test_voices_and_noises_for_tuning_are_not_those_for_measuring() -> None:
    assert not set(MEASURING.espeak) & set(TUNING.espeak)
    assert not set(MEASURING.flite) & set(TUNING.flite)
    assert MEASURING.noise_folder != TUNING.noise_folder
    assert MEASURING.digits_folder != TUNING.digits_folder


@pytest.mark.parametrize("quantity", PLACES)
def test_each_quantity_is_asked_for_and_a_value_of_its_range_drawn(quantity: Quantity) -> None:
    for seed in range(20):
        dice = random.Random(seed)
        state, _, spec = moment_of(quantity, dice)
        assert expectation(state) is quantity
        for tongue in (Ready(), Plain()):
            assert spec.low <= tongue.value(spec, dice) <= spec.high
            assert tongue.no(30.0, dice).intent is Intent.NO


@pytest.mark.parametrize("value", [15, 50, 120, 305, 640, 1000, 1050, 1700, 1715, 2010, 2200])
def test_numbers_are_worded_as_an_open_library_words_them(value: int) -> None:
    """What num2words (an open library) says is one of the ways."""
    ways = {worded(float(value), random.Random(seed)) for seed in range(60)}
    assert num2words(value).replace(",", "").replace("-", " ").replace(" and ", " ") in {
        way.replace(" and ", " ") for way in ways
    }


def test_kin_differ_by_a_teen_and_its_ten() -> None:
    assert kin_of(15.0) == {50.0}
    assert kin_of(1500.0) == {5000.0}
    assert kin_of(1750.0) == {1715.0, 7050.0}
    assert kin_of(12.0) == frozenset()


def test_a_row_counts_and_gives_an_interval_around_the_share() -> None:
    row = measured([outcome("right")] * 18 + [outcome("wrong", True), outcome("never")], "all")
    wrong = row["stands_wrong"]
    assert (wrong["count"], wrong["of"], wrong["ratio"]) == (1, 20, 0.05)
    assert wrong["low"] <= 0.05 <= wrong["high"]
    assert row["wrong_without_doubt"]["count"] == 1
    assert row["turns"]["ratio"] == 2.0


def test_the_table_has_a_column_for_every_measure() -> None:
    lines = table([measured([outcome("right")] * 3, "all")]).splitlines()
    assert set(TITLES) == set(MEASURES)
    assert [line.count("|") for line in lines] == [len(MEASURES) + 3] * 3
