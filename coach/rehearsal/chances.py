"""The chances of many skills at once, for a whole class: `Memory.chance`, for thousands of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from coach.rehearsal.memory import AT_MOST_AFTER_A_MISS, Memory
from coach.rehearsal.weights import weight_sets

Numbers = NDArray[np.float64]

_DECAY = 20
"""Where the decay stands in the weights of the model."""


def chances(memories: Sequence[Memory], at: datetime) -> list[float]:
    """The chance of each at that instant, as `Memory.chance` has it."""
    if not memories:
        return []
    shape = (len(memories), -1)
    return chances_by(
        np.array([t.stability_days for one in memories for t in one.traces]).reshape(shape),
        np.array([t.log_likelihood for one in memories for t in one.traces]).reshape(shape),
        [one.last for one in memories],
        [one.shown for one in memories],
        at,
    )


def chances_by(
    stability_days: Numbers,
    log_likelihood: Numbers,
    last: Sequence[datetime],
    shown: Sequence[bool],
    at: datetime,
) -> list[float]:
    """As `chances`, from the numbers of the traces: one row a memory, one column a set of weights.

    By the model's own curve, (1 + f days / stability) ** -decay with f so that it is 90 % at the
    stability (FSRS 6); the package reckons one card at a time.
    """
    instant = at.astimezone(UTC)
    days = np.array([max(0, (instant - one).days) for one in last], dtype=float)
    decay = -np.array([weights[_DECAY] for weights in weight_sets()])
    factor = 0.9 ** (1 / decay) - 1
    each = (1 + factor * days[:, None] / stability_days) ** decay
    weight = np.exp(log_likelihood - log_likelihood.max(axis=1, keepdims=True))
    kept = (each * weight).sum(axis=1) / weight.sum(axis=1)
    told = np.where(np.array(shown), kept, np.minimum(kept, AT_MOST_AFTER_A_MISS))
    return [float(one) for one in told]
