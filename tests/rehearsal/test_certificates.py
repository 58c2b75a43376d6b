"""What must be rehearsed by when, so that it holds on the date of a certificate."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as some
from invented_attempts import at, attempt

from coach.rehearsal.certificates import SPARE_DAYS, Certificate, needed, noon, supposed_clean
from coach.rehearsal.memory import memory_after
from coach.rehearsal.outlook import outlooks
from coach.rehearsal.practised import Practised
from coach.report.attempt import Verdict, Way


def test_what_holds_until_the_date_needs_nothing() -> None:
    history = [attempt(0), attempt(2), attempt(12)]
    certificate = Certificate("Basic course", at(15).date(), ("suction",))
    (asked,) = needed(certificate, outlooks(history, at(13)), at(13), 0.8)
    assert asked.days == ()
    assert asked.sentence() == "Holds until 17 March 2026 as it is."


def test_what_does_not_hold_is_dated_and_the_last_rehearsal_leaves_time_for_another() -> None:
    history = [attempt(0), attempt(2), attempt(12), attempt(40)]
    certificate = Certificate("Basic course", at(90).date(), ("suction", "cpr"))
    suction, cpr = needed(certificate, outlooks(history, at(41)), at(41), 0.8)
    assert at(41).date() < suction.days[0] < certificate.until
    assert suction.sentence() == (
        "Without rehearsal about 70 % on 31 May 2026; rehearse on 25 April 2026 and 17 May 2026."
    )
    assert cpr.days[0] == at(41).date()
    assert cpr.sentence() == (
        "Never practised; rehearse on 12 April 2026, 13 April 2026, 15 April 2026, on 3 days "
        "between and on 24 May 2026."
    )
    assert (certificate.until - cpr.days[-1]).days >= SPARE_DAYS


def test_a_date_too_near_for_spare_days_asks_for_a_rehearsal_now() -> None:
    certificate = Certificate("Basic course", at(3).date(), ("suction",))
    (asked,) = needed(certificate, outlooks([attempt(-60)], at(0)), at(0), 0.9)
    assert asked.days == (at(0).date(),)


@settings(max_examples=50)
@given(
    some.lists(
        some.builds(
            attempt,
            some.floats(-100, 0),
            some.sampled_from(Verdict),
            way=some.sampled_from(Way),
            hints=some.integers(0, 4),
        ),
        max_size=8,
    ),
    some.integers(0, 700),
    some.sampled_from([0.6, 0.8, 0.95]),
)
def test_rehearsed_clean_on_these_days_it_holds_as_well_as_it_can(
    history: list[Practised], days: int, aim: float
) -> None:
    certificate = Certificate("Basic course", at(days).date(), ("suction",))
    (asked,) = needed(certificate, outlooks(history, at(0), aim), at(0), aim)
    assert all(later > earlier for earlier, later in pairwise(asked.days))
    zone = at(0).tzinfo
    assert zone is not None
    done = [supposed_clean("suction", noon(day, zone)) for day in asked.days]
    memory = memory_after([*history, *done])
    assert memory is not None
    held = memory.chance(noon(certificate.until, zone)) >= aim
    last_day = max(at(0).date(), at(days - SPARE_DAYS).date())
    assert held or asked.days[-1] == last_day
