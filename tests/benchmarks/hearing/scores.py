"""Figures with intervals: shares, losses, rates, calibration. Numbers in, numbers out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

RESAMPLES = 2000
INSIDE = (2.5, 97.5)
"""Percentiles of the bootstrap's 95 % interval."""

BINS = 10
ONE_SIDED = 0.05


@dataclass(frozen=True, slots=True)
class Figure:
    """A measured number, its 95 % interval, and what it was counted from.

    Where nothing or everything was counted a bootstrap knows no interval: there its open end is the
    exact one-sided 95 % bound.
    """

    value: float
    low: float
    high: float
    count: float
    of: float


def share(count: int, of: int) -> Figure:
    """So many of so many, in percent; utterances drawn again with replacement."""
    if not of:
        return Figure(float("nan"), float("nan"), float("nan"), 0, 0)
    drawn = np.random.default_rng(1).binomial(of, count / of, RESAMPLES) / of * 100
    low, high = (float(end) for end in np.percentile(drawn, INSIDE))
    bound = 100 * (1 - ONE_SIDED ** (1 / of))
    if count == 0:
        high = bound
    if count == of:
        low = 100 - bound
    return Figure(100 * count / of, low, high, count, of)


def loss(right: int, of: int, rest_right: int, rest_of: int) -> Figure:
    """Points of a share that one group is behind the rest."""
    rng = np.random.default_rng(2)
    group = rng.binomial(of, right / max(of, 1), RESAMPLES) / max(of, 1)
    rest = rng.binomial(rest_of, rest_right / max(rest_of, 1), RESAMPLES) / max(rest_of, 1)
    low, high = (float(end) for end in np.percentile(100 * (rest - group), INSIDE))
    value = 100 * (rest_right / max(rest_of, 1) - right / max(of, 1))
    return Figure(value, low, high, right, of)


def hourly(counts: Sequence[int], minutes_each: float) -> Figure:
    """Events an hour, from counts in stretches of equal length, drawn again with replacement."""
    events = np.array(counts, dtype=float)
    hours = len(events) * minutes_each / 60
    rng = np.random.default_rng(3)
    draws = events[rng.integers(len(events), size=(RESAMPLES, len(events)))].sum(axis=1) / hours
    low, high = (float(end) for end in np.percentile(draws, INSIDE))
    if not events.sum():
        high = float(-np.log(ONE_SIDED)) / hours
    return Figure(float(events.sum()) / hours, low, high, float(events.sum()), hours)


def percentile(values: Sequence[float], percent: float) -> Figure:
    """A percentile of measured values."""
    found = np.array(values, dtype=float)
    rng = np.random.default_rng(4)
    draws = found[rng.integers(len(found), size=(RESAMPLES, len(found)))]
    low, high = (float(end) for end in np.percentile(np.percentile(draws, percent, axis=1), INSIDE))
    return Figure(float(np.percentile(found, percent)), low, high, len(found), len(found))


@dataclass(frozen=True, slots=True)
class Bin:
    """Utterances whose probability lies in one tenth: how many, how sure, how often right."""

    begin: float
    end: float
    count: int
    mean_probability: float
    share_right: float


def reliability(probabilities: Sequence[float], right: Sequence[bool]) -> list[Bin]:
    """Ten bins of equal width; empty ones are left out."""
    sure, true = np.array(probabilities, dtype=float), np.array(right, dtype=float)
    place = np.minimum((sure * BINS).astype(int), BINS - 1)
    found = []
    for number in range(BINS):
        inside = place == number
        if inside.any():
            means = float(sure[inside].mean()), float(true[inside].mean())
            found.append(Bin(number / BINS, (number + 1) / BINS, int(inside.sum()), *means))
    return found


def calibration_error(probabilities: Sequence[float], right: Sequence[bool]) -> Figure:
    """Expected calibration error over ten bins of equal width (Guo and others, ICML 2017)."""
    sure, true = np.array(probabilities, dtype=float), np.array(right, dtype=float)
    rng = np.random.default_rng(5)
    draws = [
        _error(sure[drawn], true[drawn])
        for drawn in rng.integers(len(sure), size=(RESAMPLES // 4, len(sure)))
    ]
    low, high = (float(end) for end in np.percentile(draws, INSIDE))
    return Figure(_error(sure, true), low, high, len(sure), len(sure))


def _error(sure: NDArray[np.float64], true: NDArray[np.float64]) -> float:
    place = np.minimum((sure * BINS).astype(int), BINS - 1)
    gaps = np.abs(np.bincount(place, sure - true, BINS))
    return float(gaps.sum() / len(sure))
