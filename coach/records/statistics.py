"""How sure a count is, and how far two judges agree."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

NORMAL_95 = 1.959963984540054
"""The standard normal quantile of 97.5 % (any table of the normal distribution)."""


@dataclass(frozen=True, slots=True)
class Interval:
    """From `low` to `high`: where the true value lies, with 95 % confidence."""

    low: float
    high: float


def wilson(count: int, of: int) -> Interval:
    """The 95 % interval of a share, 0 to 1, by Wilson's score of 1927 (not corrected).

    It holds for few and for none too, where the usual one would be of no width. ValueError for a
    count that is not within 0 and `of`.
    """
    if not 0 <= count <= of:
        raise ValueError(f"{count} of {of}")
    if of == 0:
        return Interval(0.0, 1.0)
    share, square = count / of, NORMAL_95**2
    middle = share + square / (2 * of)
    half = NORMAL_95 * math.sqrt(share * (1 - share) / of + square / (4 * of**2))
    whole = 1 + square / of
    # Rounding may not push the end of a share of none or all off the scale.
    low = 0.0 if count == 0 else (middle - half) / whole
    high = 1.0 if count == of else (middle + half) / whole
    return Interval(low, high)


@dataclass(frozen=True, slots=True)
class Agreement:
    """How far two judges agree: `same` of `of` judgements. `kappa` is Cohen's, 1 for always and 0
    for no more than by chance; None where both only ever gave one and the same judgement, of which
    chance cannot be told. `interval` is its 95 % interval."""

    same: int
    of: int
    kappa: float | None
    interval: Interval | None


def agreement(pairs: Sequence[tuple[str, str]]) -> Agreement:
    """Cohen's kappa of judgements by two judges, each in categories without an order.

    The interval is kappa and 1.96 times the large-sample standard error of Fleiss, Cohen and
    Everitt (1969, Psychological Bulletin 72, 323, formula 13), within -1 and 1.
    """
    of = len(pairs)
    table = _shares(pairs)
    same = sum(one == other for one, other in pairs)
    first = {one: sum(share for (a, _), share in table.items() if a == one) for one, _ in pairs}
    second = {one: sum(share for (_, b), share in table.items() if b == one) for _, one in pairs}
    by_chance = sum(share * second.get(one, 0.0) for one, share in first.items())
    if of == 0 or by_chance > 1 - 1e-12:
        return Agreement(same, of, None, None)
    observed = same / of
    kappa = (observed - by_chance) / (1 - by_chance)
    error = _standard_error(table, first, second, kappa, by_chance, of)
    spread = NORMAL_95 * error
    return Agreement(same, of, kappa, Interval(max(-1.0, kappa - spread), min(1.0, kappa + spread)))


def _shares(pairs: Sequence[tuple[str, str]]) -> dict[tuple[str, str], float]:
    counts: dict[tuple[str, str], int] = {}
    for pair in pairs:
        counts[pair] = counts.get(pair, 0) + 1
    return {pair: count / len(pairs) for pair, count in counts.items()}


def _standard_error(
    table: Mapping[tuple[str, str], float],
    first: Mapping[str, float],
    second: Mapping[str, float],
    kappa: float,
    by_chance: float,
    of: int,
) -> float:
    agreed = differed = 0.0
    for (one, other), share in table.items():
        if one == other:
            spread = first[one] + second[one]
            agreed += share * (1 - spread * (1 - kappa)) ** 2
        else:
            differed += share * (second.get(one, 0.0) + first.get(other, 0.0)) ** 2
    rest = (kappa - by_chance * (1 - kappa)) ** 2
    variance = agreed + (1 - kappa) ** 2 * differed - rest
    return math.sqrt(max(0.0, variance) / of) / (1 - by_chance)
