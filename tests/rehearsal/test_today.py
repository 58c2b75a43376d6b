"""What to rehearse today: what is due, what brings most in the time, and why."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from invented_attempts import at, attempt

from coach.rehearsal.aim import AIM
from coach.rehearsal.certificates import Certificate
from coach.rehearsal.outlook import outlooks
from coach.rehearsal.practised import Practised
from coach.rehearsal.today import Today, plan_today
from coach.report.attempt import Verdict, Way

MINUTES = {"suction": 6, "cpr": 10, "oral-airway": 5, "vital-signs": 9, "burns": 4}


def today(
    history: list[Practised],
    day: float,
    minutes: int = 15,
    certificates: tuple[Certificate, ...] = (),
) -> Today:
    known = outlooks(history, at(day), AIM)
    return plan_today(known, certificates, MINUTES, at(day), AIM, minutes)


def test_nothing_is_due_is_said() -> None:
    assert today([], 0).closing() == "Nothing is due."
    plan = today([attempt(0), attempt(2)], 3)
    assert plan.chosen == ()
    assert plan.closing() == "Nothing is due; the next is suction on 6 March 2026."


def test_what_fades_most_goes_first_and_what_does_not_fit_is_named() -> None:
    history = [
        attempt(0),
        attempt(0, skill="cpr"),
        attempt(3, skill="cpr"),
        attempt(0, Verdict.NOT_YET, skill="burns"),
    ]
    plan = today(history, 30)
    assert [each.skill for each in plan.chosen] == ["suction", "burns"]
    assert [each.skill for each in plan.left] == ["cpr"]
    assert plan.closing() == "Due as well, but over the 15 minutes: cpr (10 min)."
    assert plan.chosen[1].sentence() == (
        "Four weeks since the last one, which was not clean yet, and none was clean so far; "
        "about 40 % now, 80 % is aimed at."
    )


def test_a_skill_that_is_not_here_is_passed_over() -> None:
    assert today([attempt(0, skill="unknown")], 30).closing() == "Nothing is due."


@settings(max_examples=60)
@given(
    some.lists(
        some.builds(
            attempt,
            some.floats(0, 60),
            some.sampled_from(Verdict),
            way=some.sampled_from(Way),
            hints=some.integers(0, 4),
            skill=some.sampled_from(sorted(MINUTES)),
        ),
        max_size=12,
    ),
    some.integers(0, 40),
)
def test_no_other_set_that_fits_brings_more(history: list[Practised], minutes: int) -> None:
    plan = today(history, 60, minutes)
    everything = (*plan.chosen, *plan.left)
    assert sum(each.minutes for each in plan.chosen) <= minutes
    assert len({each.skill for each in everything}) == len(everything)
    best = max(
        sum(each.gain for each in some_of)
        for size in range(len(everything) + 1)
        for some_of in combinations(everything, size)
        if sum(each.minutes for each in some_of) <= minutes
    )
    assert sum(each.gain for each in plan.chosen) == pytest.approx(best, abs=1e-5)
    assert today(list(reversed(history)), 60, minutes) == plan


def test_a_certificate_asks_for_what_was_never_practised() -> None:
    certificate = Certificate("Basic course", at(40).date(), ("suction", "cpr"))
    plan = today([attempt(0), attempt(2)], 3, certificates=(certificate,))
    assert [each.skill for each in plan.chosen] == ["cpr"]
    assert plan.chosen[0].sentence() == (
        "Never practised. Basic course needs it, valid until 11 April 2026."
    )


def test_what_is_proposed_today_is_not_told_as_the_next() -> None:
    certificate = Certificate("Basic course", at(60).date(), ("suction",))
    plan = today([attempt(0, Verdict.NOT_YET)], 0.1, certificates=(certificate,))
    assert [each.skill for each in plan.chosen] == ["suction"]
    assert plan.closing() == "Nothing more is due."


def test_a_certificate_that_has_run_out_asks_for_nothing() -> None:
    certificate = Certificate("Basic course", at(2).date(), ("cpr",))
    assert today([], 3, certificates=(certificate,)).chosen == ()


def test_a_certificate_soon_makes_its_skill_go_first() -> None:
    history = [attempt(0), attempt(0, skill="vital-signs")]
    assert [each.skill for each in today(history, 20, 9).chosen] == ["suction"]
    certificate = Certificate("Basic course", at(45).date(), ("vital-signs",))
    chosen = today(history, 20, 9, (certificate,)).chosen
    assert [each.skill for each in chosen] == ["vital-signs"]
    assert at(45).date() - at(20).date() == timedelta(days=25)
    assert chosen[0].needed[0].certificate.until == date(2026, 4, 16)
