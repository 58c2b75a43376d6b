"""Who is ready in what, by which evidence, and who could help whom."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.records.class_table import (
    Cell,
    ClassTable,
    Evidence,
    History,
    Person,
    StepCounts,
    cell_of,
    cells_of,
    coach_and_people,
    most_missed,
    pairs_of,
)
from coach.records.class_words import agreement_words
from coach.records.statistics import agreement
from coach.rehearsal.outlook import Standing


def attempt(day: int, way: str = "recall", verdict: str = "ready", hints: int = 0) -> Evidence:
    return Evidence(
        f"{day}", f"2026-03-{day:02}T08:00:00+01:00", float(day), way, verdict, 0.9, hints
    )


CLEAN, LATER_MISS, LED = attempt(1), attempt(2, verdict="not-yet"), attempt(3, way="led")


def state(history: History | None, chance: float | None) -> Standing:
    return cell_of(history, chance, 0.8).state


def test_each_state_has_its_evidence() -> None:
    clean = History(1, 60.0, CLEAN, CLEAN, CLEAN)
    assert cell_of(clean, 0.8, 0.8) == Cell(Standing.READY, CLEAN, 1, 0.8)
    assert cell_of(clean, 0.79, 0.8) == Cell(Standing.FADING, CLEAN, 1, 0.79)
    assert state(clean, None) is Standing.READY
    assert cell_of(None, None, 0.8) == Cell(Standing.NEVER, None, 0, None)
    missed = History(2, 60.0, LATER_MISS, LATER_MISS, CLEAN)
    assert cell_of(missed, 0.9, 0.8) == Cell(Standing.NOT_YET, LATER_MISS, 2, 0.9)
    led = History(1, 60.0, LED, None, None)
    assert cell_of(led, 0.9, 0.8) == Cell(Standing.NOT_YET, LED, 1, 0.9)


def test_an_attempt_dated_after_now_makes_nobody_ready() -> None:
    """A clock that was set to a later year once would do so for years, whatever failed since."""
    history = History(3, 60.0, CLEAN, CLEAN, CLEAN)
    long_before, an_hour_before = CLEAN.started_s - 86_401, CLEAN.started_s - 3_600
    late = cell_of(history, 0.9, 0.8, long_before)
    assert late == Cell(Standing.NOT_YET, CLEAN, 3, None, after_now=True)
    assert cell_of(history, 0.9, 0.8, an_hour_before).state is Standing.READY


def test_being_led_after_a_clean_one_takes_nothing_away() -> None:
    assert state(History(2, 60.0, LED, CLEAN, CLEAN), 0.9) is Standing.READY


def test_ready_with_a_hint_is_not_clean_and_not_failed() -> None:
    hinted = attempt(4, hints=1)
    assert state(History(2, 60.0, hinted, hinted, CLEAN), 0.9) is Standing.READY
    assert state(History(1, 60.0, hinted, hinted, None), 0.9) is Standing.NOT_YET


def test_the_chance_is_asked_for_only_where_it_decides() -> None:
    asked: list[tuple[str, str]] = []

    def chance(learner: str, skill: str) -> float:
        asked.append((learner, skill))
        return 0.9

    people = (Person("a", "Ana"), Person("b", "Ben"))
    histories = {
        ("a", "t"): History(1, 60.0, CLEAN, CLEAN, CLEAN),
        ("b", "t"): History(1, 60.0, LATER_MISS, LATER_MISS, CLEAN),
    }
    cells = cells_of(people, ("s", "t"), histories, chance, 0.8)
    assert asked == [("a", "t")]
    assert [cells["a", skill].state for skill in "st"] == [Standing.NEVER, Standing.READY]
    assert cells["b", "t"] == Cell(Standing.NOT_YET, LATER_MISS, 1, None)


def test_the_surest_miss_comes_first() -> None:
    once = StepCounts("s", "once", "Once", 1, 0, 1, 0)
    often = StepCounts("s", "often", "Often", 20, 3, 40, 2)
    never = StepCounts("s", "never", "Never", 0, 0, 40, 0)
    rare = StepCounts("s", "rare", "Rare", 30, 0, 1000, 0)
    assert most_missed([once, rare, never, often]) == (often, once, rare)


def cells(people: str, *rows: str) -> dict[tuple[str, str], Cell]:
    """A row of states for each person: R is ready, anything else is not."""
    return {
        (person, str(place)): Cell(Standing.READY if each == "R" else Standing.NEVER, None, 0, None)
        for person, row in zip(people, rows, strict=True)
        for place, each in enumerate(row)
    }


def named(people: str) -> tuple[Person, ...]:
    return tuple(Person(one, one) for one in people)


def test_those_who_help_each_other_come_first() -> None:
    found = pairs_of(named("abcd"), ("0", "1", "2"), cells("abcd", "RRR", "R--", "-R-", "---"))
    assert [(one.one, one.other) for one in found] == [("b", "c"), ("a", "d")]
    assert (found[0].one_helps_in, found[0].other_helps_in) == (("0",), ("1",))
    assert (found[1].one_helps_in, found[1].other_helps_in) == (("0", "1", "2"), ())


def test_nobody_is_paired_where_nobody_can_help() -> None:
    assert pairs_of(named("ab"), ("0",), cells("ab", "R", "R")) == ()
    assert pairs_of(named("ab"), ("0",), cells("ab", "-", "-")) == ()
    assert pairs_of((), (), {}) == ()
    assert pairs_of(named("a"), ("0",), cells("a", "R")) == ()


@given(st.lists(st.text("R-", min_size=3, max_size=3), max_size=9))
def test_nobody_is_in_two_pairs_and_every_pair_has_something_to_give(rows: list[str]) -> None:
    people = "abcdefghi"[: len(rows)]
    table = cells(people, *rows)
    pairs = pairs_of(named(people), ("0", "1", "2"), table)
    both = [one for pair in pairs for one in (pair.one, pair.other)]
    assert len(both) == len(set(both))
    for pair in pairs:
        assert pair.one_helps_in or pair.other_helps_in
        for helper, helped, skills in (
            (pair.one, pair.other, pair.one_helps_in),
            (pair.other, pair.one, pair.other_helps_in),
        ):
            for skill in skills:
                assert table[helper, skill].state is Standing.READY
                assert table[helped, skill].state is not Standing.READY
    left = [one for one in people if one not in both]
    for one in left:
        for other in left:
            helps = [
                skill
                for skill in ("0", "1", "2")
                if (table[one, skill].state is Standing.READY)
                and table[other, skill].state is not Standing.READY
            ]
            assert not helps


@pytest.mark.parametrize(
    ("pairs", "told"),
    [
        ([("done", "done"), ("missed", "missed")], "kappa 1.00, and these marks cannot tell how"),
        ([("done", "done"), ("done", "missed")], "kappa 0.00, and these marks cannot tell how"),
        ([("done", "done")] * 4, "kappa cannot be told"),
        (
            [("done", "done"), ("done", "missed"), ("missed", "missed"), ("late", "done")],
            "kappa 0.20 (",
        ),
    ],
)
def test_no_interval_of_no_width_pretends_to_be_sure(
    pairs: list[tuple[str, str]], told: str
) -> None:
    table = ClassTable("2026-03-05", (), (), {}, (), (), agreement(pairs), 1)
    assert told in agreement_words(table)


def best_first(rows: list[str]) -> list[tuple[int, int]]:
    """What pairs are chosen, written as it is meant: of all that are left always the worthiest,
    those who help each other before others, and among equals the one that comes first."""

    def worth(pair: tuple[int, int]) -> tuple[bool, int]:
        ways = [
            (mine, theirs)
            for mine, theirs in zip(rows[pair[0]], rows[pair[1]], strict=True)
            if mine != theirs
        ]
        return ("R", "-") in ways and ("-", "R") in ways, len(ways)

    left = set(range(len(rows)))
    chosen: list[tuple[int, int]] = []
    while pairs := [
        pair for pair in itertools.combinations(sorted(left), 2) if rows[pair[0]] != rows[pair[1]]
    ]:
        best = max(worth(pair) for pair in pairs)
        chosen.append(next(pair for pair in pairs if worth(pair) == best))
        left -= set(chosen[-1])
    return chosen


@given(st.lists(st.text("R-", min_size=4, max_size=4), max_size=12))
def test_always_the_worthiest_pair_that_is_left_is_chosen(rows: list[str]) -> None:
    people = "abcdefghijkl"[: len(rows)]
    found = pairs_of(named(people), ("0", "1", "2", "3"), cells(people, *rows))
    assert [(people.index(one.one), people.index(one.other)) for one in found] == best_first(rows)


def test_a_roster_of_thousands_who_have_not_begun_is_no_matter_of_pairs() -> None:
    """Everybody with everybody would be two hundred million comparisons for nothing."""
    people = [Person(f"p{number}", f"P {number}") for number in range(20_000)]
    never = {(person.id, "0"): Cell(Standing.NEVER, None, 0, None) for person in people}
    ready = {(people[7].id, "0"): Cell(Standing.READY, CLEAN, 1, 1.0)}
    found = pairs_of(people, ("0",), never | ready)
    assert [(one.one, one.other) for one in found] == [("p0", "p7")]


def test_what_the_coach_left_unclear_is_settled_and_no_disagreement() -> None:
    agreed, settled = coach_and_people([("unclear", "done"), ("done", "missed"), ("late", "late")])
    assert (agreed.same, agreed.of, settled) == (1, 2, 1)
    assert coach_and_people([("done", "unclear")])[0].of == 1
    table = ClassTable("2026-03-05", (), (), {}, (), (), agreement([]), 1, settled=1)
    only = "People settled 1 mark that the coach had left unclear."
    assert agreement_words(table) == only
    table = replace(table, agreement=agreement([("done", "done"), ("missed", "missed")]))
    assert agreement_words(table).startswith("Coach and people gave 2 of 2 marks alike")
    assert agreement_words(table).endswith(only)
