"""Maximum-likelihood weights by Newton's method, drawn a little to where they began."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Row = NDArray[np.float64]

STEPS = 40
PULL = 4.0
"""Strength of the pull towards the beginning, in takes' worth for a fact of size one."""


def logistic_weights(facts: Row, right: Row, start: Row, pull: float = PULL) -> Row:
    """Weights w that make 1 / (1 + exp(-facts @ w)) the likeliest chances of `right`."""
    weights = start.copy()
    for _ in range(STEPS):
        chances = 1.0 / (1.0 + np.exp(-np.clip(facts @ weights, -40, 40)))
        slope = facts.T @ (right - chances) - pull * (weights - start)
        curve = (facts * (chances * (1 - chances))[:, None]).T @ facts
        move = np.linalg.solve(curve + pull * np.eye(len(start)), slope)
        weights = weights + np.clip(move, -1.0, 1.0)
        if np.abs(move).max() < 1e-6:
            break
    return weights


def choice_weights(
    facts: Row,
    there: NDArray[np.bool_],
    right: NDArray[np.bool_],
    start: Row,
    pull: float = PULL,
) -> Row:
    """Weights w of a conditional choice (McFadden 1974): exp(facts @ w) shared among candidates.

    `facts` is (takes, candidates, facts); `there` marks the candidates that a take has, `right`
    those that are right, at least one a take. The likelihood is that of choosing any right one.
    """
    weights = start.copy()
    identity = np.eye(len(start))

    def likelihood(at: Row) -> float:
        among = _log_total(facts @ at, there)
        return float((_log_total(facts @ at, right) - among).sum()) - pull / 2 * float(
            ((at - start) ** 2).sum()
        )

    best = likelihood(weights)
    for _ in range(STEPS):
        score = facts @ weights
        all_means, all_spread = _moments(facts, score, there)
        right_means, _ = _moments(facts, score, right)
        slope = (right_means - all_means).sum(0) - pull * (weights - start)
        move = np.linalg.solve(all_spread + pull * identity, slope)
        size = 1.0
        while size > 1e-3 and likelihood(weights + size * move) < best:
            size /= 2
        weights = weights + size * move
        now = likelihood(weights)
        if now - best < 1e-3:
            break
        best = now
    return weights


def _log_total(score: Row, mask: NDArray[np.bool_]) -> Row:
    masked = np.where(mask, score, -np.inf)
    top = masked.max(1)
    total: Row = top + np.log(np.exp(masked - top[:, None]).sum(1))
    return total


def _moments(facts: Row, score: Row, mask: NDArray[np.bool_]) -> tuple[Row, Row]:
    """Means of the facts under the shares of each take, and the summed spread about them."""
    shares = np.exp(np.where(mask, score, -np.inf) - _log_total(score, mask)[:, None])
    means = np.einsum("tc,tcf->tf", shares, facts)
    spread = np.einsum("tc,tcf,tcg->fg", shares, facts, facts) - means.T @ means
    return means, spread
