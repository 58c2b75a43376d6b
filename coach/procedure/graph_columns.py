"""Where what stands in rows stands from left to right, so that few lines cross and most are short.

Rows are sorted by the means of their neighbours, down and up again, as Sugiyama, Tagawa and Toda
describe (IEEE Transactions on Systems, Man, and Cybernetics 11, 1981, 109).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

SWEEPS = 12
"""Times that the rows are gone through; more changed nothing in any skill."""

PASSING = "/"
"""How the name of a place begins where a line only passes; it is narrower than a step."""

_PASSING_WIDTH = 0.3


def columns_of(
    rows: Mapping[str, int], paths: Sequence[Sequence[str]]
) -> tuple[dict[str, float], float]:
    """The middle of each name from the left, and the whole width, in widths of a step.

    `rows` gives each name's row from 0. `paths` are names along each line, one row apart.
    """
    above: dict[str, list[str]] = {name: [] for name in rows}
    below: dict[str, list[str]] = {name: [] for name in rows}
    for path in paths:
        for upper, lower in pairwise(path):
            above[lower].append(upper)
            below[upper].append(lower)
    layers: list[list[str]] = [[] for _ in range(max(rows.values(), default=-1) + 1)]
    alone = [name for name in rows if not above[name] and not below[name]]
    for name, row in rows.items():
        if name not in alone:
            layers[row].append(name)
    middles: dict[str, float] = {}
    for layer in layers:
        _pack(layer, {name: float(place) for place, name in enumerate(layer)}, middles)
    for sweep in range(2 * SWEEPS):
        down = sweep % 2 == 0
        near = above if down else below
        for layer in layers if down else reversed(layers):
            wanted = {name: _mean(near[name], middles, middles[name]) for name in layer}
            if sweep < SWEEPS:
                layer.sort(key=lambda name: wanted[name])
            _pack(layer, wanted, middles)
    for name in reversed(alone):
        layer = layers[rows[name]]
        middles[name] = middles[layer[0]] - _apart(name, layer[0]) if layer else 0.0
        layer.insert(0, name)
    left = min((middles[name] - _width(name) / 2 for name in rows), default=0.0)
    right = max((middles[name] + _width(name) / 2 for name in rows), default=0.0)
    return {name: middles[name] - left for name in rows}, right - left


def _mean(names: Sequence[str], middles: Mapping[str, float], without: float) -> float:
    return sum(middles[name] for name in names) / len(names) if names else without


def _width(name: str) -> float:
    return _PASSING_WIDTH if name.startswith(PASSING) else 1.0


def _pack(layer: Sequence[str], wanted: Mapping[str, float], middles: dict[str, float]) -> None:
    """Put a row as near to where it wants to be as its order and widths allow.

    Half way between the leftmost and the rightmost way to keep them apart, which keeps them apart.
    """
    from_left: list[float] = []
    for place, name in enumerate(layer):
        least = from_left[-1] + _apart(layer[place - 1], name) if from_left else wanted[name]
        from_left.append(max(wanted[name], least))
    from_right: list[float] = []
    for place, name in reversed(list(enumerate(layer))):
        most = from_right[-1] - _apart(name, layer[place + 1]) if from_right else wanted[name]
        from_right.append(min(wanted[name], most))
    for name, left, right in zip(layer, from_left, reversed(from_right), strict=True):
        middles[name] = round((left + right) / 2, 6)


def _apart(one: str, other: str) -> float:
    return (_width(one) + _width(other)) / 2
