"""The order of a skill as a graph: which step waits for which, and where each stands on paper."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coach.procedure.graph_columns import PASSING, columns_of
from coach.procedure.model import Skill


@dataclass(frozen=True, slots=True)
class Node:
    """A step: its place in the suggested order from 1, its name, and what brings it, if not
    everything. `row` counts from 0 downwards, `column` from the left, in steps' widths."""

    step: str
    number: int
    name: str
    brought_by: str
    row: int
    column: float


@dataclass(frozen=True, slots=True)
class Edge:
    """A step that waits for another, with the reason. `safety` where the other order could hurt.

    `brings` marks what is no waiting: the later step only exists after a complication, which comes
    after the earlier one. `through` are the places (row, column) that the line passes between.
    """

    first: str
    then: str
    because: str
    safety: bool
    brings: bool
    through: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class OrderGraph:
    """The graph, laid out; `columns` is the width of its widest row, in steps' widths."""

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    rows: int
    columns: float


def order_graph(skill: Skill, most_in_a_row: int = sys.maxsize) -> OrderGraph:
    """The graph of a skill as chosen, the same for the same skill.

    An order that follows from others is left out, unless it alone is for safety. No row has more
    steps than `most_in_a_row`: those that come later in the suggested order stand lower.
    """
    ids = [step.id for step in skill.steps]
    edges = _without_what_follows(ids, _edges(skill))
    rows = _no_fuller_than(most_in_a_row, ids, edges, _rows(ids, edges))
    chains = {n: _chain(edge, rows) for n, edge in enumerate(edges)}
    placed = {**rows, **dict(place for chain in chains.values() for place in chain)}
    columns, width = columns_of(placed, [_path(edge, chains[n]) for n, edge in enumerate(edges)])
    announced = {complication.id: complication.announce for complication in skill.complications}
    nodes = tuple(
        Node(
            step.id,
            number,
            step.name,
            announced.get(step.complication, "") if step.complication else "",
            rows[step.id],
            columns[step.id],
        )
        for number, step in enumerate(skill.steps, 1)
    )
    routed = tuple(
        Edge(
            edge.first,
            edge.then,
            edge.because,
            edge.safety,
            edge.brings,
            tuple((row, columns[name]) for name, row in chains[number]),
        )
        for number, edge in enumerate(edges)
    )
    return OrderGraph(nodes, routed, max(rows.values(), default=0) + 1, width)


def _edges(skill: Skill) -> list[Edge]:
    ids = {step.id for step in skill.steps}
    after = {complication.id: complication for complication in skill.complications}
    found: list[Edge] = []
    brings: list[Edge] = []
    for step in skill.steps:
        for first in step.after:
            found.append(Edge(first.step, step.id, first.because, first.safety, False))
        bringer = after.get(step.complication)
        waits = {first.step for first in step.after}
        if bringer is not None and bringer.after in ids - waits:
            brings.append(Edge(bringer.after, step.id, bringer.announce, False, True))
    # A complication may open again what it came after: that line would run in a circle.
    return found + [e for e in brings if not _reaches(found, e.then, e.first)]


def _without_what_follows(ids: list[str], edges: list[Edge]) -> list[Edge]:
    """Edges that no longer path replaces; for safety, only a path for safety replaces one."""
    return [
        edge
        for edge in edges
        if not _reaches(
            [e for e in edges if e is not edge and _replaces(e, edge)],
            edge.first,
            edge.then,
        )
    ]


def _replaces(one: Edge, other: Edge) -> bool:
    """Whether a path may lead over `one` instead of along `other`."""
    return not one.brings and (one.safety or not other.safety)


def _reaches(edges: Iterable[Edge], start: str, goal: str) -> bool:
    onward: dict[str, list[str]] = {}
    for edge in edges:
        onward.setdefault(edge.first, []).append(edge.then)
    seen, waiting = {start}, [start]
    while waiting:
        for then in onward.get(waiting.pop(), ()):
            if then == goal:
                return True
            if then not in seen:
                seen.add(then)
                waiting.append(then)
    return False


def _rows(ids: list[str], edges: list[Edge]) -> dict[str, int]:
    """The row of each step: below everything it waits for, and close to what waits for it."""
    firsts = {name: [e.first for e in edges if e.then == name] for name in ids}
    thens = {name: [e.then for e in edges if e.first == name] for name in ids}
    rows: dict[str, int] = {}

    def row(name: str) -> int:
        if name not in rows:
            rows[name] = 1 + max((row(first) for first in firsts[name]), default=-1)
        return rows[name]

    for name in ids:
        row(name)
    for name in sorted(ids, key=lambda name: -rows[name]):
        if thens[name] and not firsts[name]:
            rows[name] = min(rows[then] for then in thens[name]) - 1
    return rows


def _no_fuller_than(
    most: int, ids: list[str], edges: list[Edge], rows: Mapping[str, int]
) -> dict[str, int]:
    """The rows with what is too much for one put lower, and what waits for it below."""
    firsts = {name: [e.first for e in edges if e.then == name] for name in ids}
    placed: dict[str, int] = {}
    full: Counter[int] = Counter()
    for name in sorted(ids, key=lambda name: rows[name]):
        row = max((rows[name], *(placed[first] + 1 for first in firsts[name])))
        while full[row] >= most:
            row += 1
        placed[name] = row
        full[row] += 1
    return placed


def _chain(edge: Edge, rows: Mapping[str, int]) -> list[tuple[str, int]]:
    """Names and rows of the places between two steps that are more than a row apart.

    Lines of one look that come from one step go down together, so that they need one place.
    """
    together = f"{PASSING}{edge.first} {edge.safety} {edge.brings}"
    return [(f"{together} {row}", row) for row in range(rows[edge.first] + 1, rows[edge.then])]


def _path(edge: Edge, chain: list[tuple[str, int]]) -> list[str]:
    return [edge.first, *(name for name, _ in chain), edge.then]
