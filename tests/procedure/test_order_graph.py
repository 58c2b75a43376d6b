"""The order as a graph: what waits for what, nothing twice, and nothing over anything."""

from __future__ import annotations

import sys
from collections import Counter
from itertools import combinations, pairwise

from hypothesis import given
from hypothesis import strategies as st

from coach.procedure.graph_columns import PASSING, columns_of
from coach.procedure.model import Complication, HeardAs, Prerequisite, Skill, Step
from coach.procedure.order_graph import OrderGraph, order_graph


def step(name: str, *after: tuple[str, bool], complication: str = "") -> Step:
    firsts = tuple(Prerequisite(first, "it is so", safety) for first, safety in after)
    return Step(
        name, f"the {name}", "Do.", "So.", "Thus.", HeardAs(keys=(name,)),
        after=firsts, complication=complication,
    )  # fmt: skip


def skill(*steps: Step, complications: tuple[Complication, ...] = ()) -> Skill:
    return Skill("s", "S", 1, ("a",), steps, complications=complications)


def joined(graph: OrderGraph) -> set[tuple[str, str]]:
    return {(edge.first, edge.then) for edge in graph.edges}


def test_an_order_that_follows_from_others_is_not_drawn() -> None:
    graph = order_graph(
        skill(step("a"), step("b", ("a", True)), step("c", ("a", False), ("b", False)))
    )
    assert joined(graph) == {("a", "b"), ("b", "c")}


def test_an_order_for_safety_is_drawn_unless_others_for_safety_hold_it() -> None:
    custom = order_graph(
        skill(step("a"), step("b", ("a", False)), step("c", ("a", True), ("b", True)))
    )
    assert joined(custom) == {("a", "b"), ("b", "c"), ("a", "c")}
    safe = order_graph(
        skill(step("a"), step("b", ("a", True)), step("c", ("a", True), ("b", True)))
    )
    assert joined(safe) == {("a", "b"), ("b", "c")}


def test_what_a_complication_brings_hangs_below_what_it_comes_after() -> None:
    creak = Complication("creak", "a", "It creaks.")
    graph = order_graph(skill(step("a"), step("b", complication="creak"), complications=(creak,)))
    (edge,) = graph.edges
    assert (edge.first, edge.then, edge.brings, edge.because) == ("a", "b", True, "It creaks.")
    assert graph.nodes[1].brought_by == "It creaks."
    # A complication that opens again what it came after would run in a circle.
    again = order_graph(
        skill(step("b", complication="creak"), step("a", ("b", True)), complications=(creak,))
    )
    assert joined(again) == {("b", "a")}


@st.composite
def skills(draw: st.DrawFn) -> Skill:
    """Up to a dozen steps, each waiting for some of the earlier ones."""
    names = [f"s{number}" for number in range(draw(st.integers(1, 12)))]
    steps = []
    for number, name in enumerate(names):
        firsts = draw(st.lists(st.sampled_from(names[:number]), unique=True)) if number else []
        steps.append(step(name, *((first, draw(st.booleans())) for first in firsts)))
    return skill(*steps)


def before(edges: set[tuple[str, str]]) -> set[tuple[str, str]]:
    """All pairs that the edges order, in turn."""
    found = set(edges)
    while more := {(a, d) for a, b in found for c, d in found if b == c} - found:
        found |= more
    return found


@given(skills())
def test_the_drawn_lines_order_exactly_what_the_skill_orders(drawn: Skill) -> None:
    told = {(first.step, s.id) for s in drawn.steps for first in s.after}
    graph = order_graph(drawn)
    assert before(joined(graph)) == before(told)
    assert graph == order_graph(drawn)


@given(skills(), st.sampled_from([sys.maxsize, 3, 2]))
def test_every_line_leads_down_and_no_two_boxes_overlap(drawn: Skill, most: int) -> None:
    """Lines of one look that come from one step go down in one place."""
    graph = order_graph(drawn, most)
    rows = {node.step: node.row for node in graph.nodes}
    assert max(Counter(rows.values()).values()) <= most
    boxes = [(node.row, node.column, 1.0) for node in graph.nodes]
    lanes: dict[tuple[str, bool, bool, int], float] = {}
    for edge in graph.edges:
        way = [rows[edge.first], *(row for row, _ in edge.through), rows[edge.then]]
        assert all(lower == upper + 1 for upper, lower in pairwise(way))
        for row, column in edge.through:
            lane = edge.first, edge.safety, edge.brings, row
            assert lanes.setdefault(lane, column) == column
    places = [*boxes, *((lane[-1], column, 0.3) for lane, column in lanes.items())]
    for (row, column, width), (other_row, other, other_width) in combinations(places, 2):
        if row == other_row:
            assert abs(column - other) >= (width + other_width) / 2 - 1e-4
    assert all(w / 2 - 1e-4 <= column <= graph.columns - w / 2 + 1e-4 for _, column, w in places)


def test_lines_that_need_not_cross_do_not() -> None:
    rows = {"a": 0, "b": 0, "c": 0, "x": 1, "y": 1, "z": 1}
    columns, width = columns_of(rows, [["a", "z"], ["b", "y"], ["c", "x"]])
    assert [columns[n] for n in "abc"] == [columns[n] for n in "zyx"]
    assert width == 3.0


def test_a_line_that_passes_takes_little_room() -> None:
    rows = {"a": 0, "b": 1, PASSING: 1, "c": 2}
    _, width = columns_of(rows, [["a", "b", "c"], ["a", PASSING, "c"]])
    assert 1.3 <= width < 1.4
