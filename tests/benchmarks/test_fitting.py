"""Fitting finds weights that are known; the calibration error is that of the definition."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.calibration import BINS, START, expected_error
from benchmarks.development import TALK, WORDS, held_out
from benchmarks.fitting import choice_weights, logistic_weights
from coach.hearing.calibration import FACTS


def test_logistic_weights_are_found_again() -> None:
    rng = np.random.default_rng(1)
    facts = np.column_stack([rng.normal(size=8000), np.ones(8000)])
    true = np.array([1.5, -0.7])
    right = (rng.random(8000) < 1 / (1 + np.exp(-facts @ true))).astype(float)
    found = logistic_weights(facts, right, np.zeros(2))
    assert found == pytest.approx(true, abs=0.12)


def test_weights_of_choices_are_found_again() -> None:
    rng = np.random.default_rng(2)
    facts = rng.normal(size=(4000, 5, 3))
    there = np.ones((4000, 5), bool)
    there[::2, 4] = False
    true = np.array([1.0, -2.0, 0.3])
    score = np.where(there, facts @ true, -np.inf) + rng.gumbel(size=(4000, 5))
    right = np.zeros((4000, 5), bool)
    right[np.arange(4000), score.argmax(1)] = True
    found = choice_weights(facts, there, right, np.zeros(3))
    assert found == pytest.approx(true, abs=0.15)


def test_what_says_nothing_leaves_weights_where_they_were() -> None:
    start = np.array([0.4, -1.0])
    assert logistic_weights(np.zeros((0, 2)), np.zeros(0), start) == pytest.approx(start)
    all_right = np.ones((3, 2), bool)
    facts = np.random.default_rng(3).normal(size=(3, 2, 2))
    assert choice_weights(facts, all_right, all_right, start) == pytest.approx(start)


def test_expected_calibration_error_by_hand() -> None:
    """Two bins: .85 said and half of four right, .15 said and none of four right."""
    chances = np.array([0.85] * 4 + [0.15] * 4)
    right = np.array([1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    assert BINS == 10
    assert expected_error(chances, right) == pytest.approx((0.35 + 0.15) / 2)


def test_every_fact_has_a_beginning() -> None:
    assert set(START) == set(FACTS)


def test_takes_come_from_speakers_that_training_leaves_out() -> None:
    apart = held_out()
    assert len(set(apart["speakers"])) > 100
    assert len(set(apart["noises"])) >= 10
    assert not {"yes", "no", "stop"} & set(TALK)
    assert {"yes", "no", "stop"} <= WORDS
