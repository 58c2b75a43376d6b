"""The memory model: what it says of a history, and that it says the same of the same history."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some
from invented_attempts import BEGUN, at, attempt

from coach.rehearsal import memory as memory_module
from coach.rehearsal.evidence import TABLE, evidence_of
from coach.rehearsal.memory import AT_MOST_AFTER_A_MISS, LONGEST_DAYS, Memory, memory_after
from coach.rehearsal.practised import Practised, in_order
from coach.report.attempt import Verdict, Way

# Of FSRS 6 as its authors publish it (open-spaced-repetition, "The Algorithm"): the chance after t
# days is (1 + f t / S) ** -w20, with f such that it is 90 % after S days.
W20 = 0.1542
FACTOR = 0.9 ** (-1 / W20) - 1
FIRST_STABILITIES = {"again": 0.212, "hard": 1.2931, "good": 2.3065, "easy": 8.2956}

EARLIEST, LATEST = datetime.fromisoformat("2024-01-01"), datetime.fromisoformat("2028-01-01")

attempts = some.builds(
    Practised,
    some.just("suction"),
    some.datetimes(EARLIEST, LATEST, timezones=some.timezones()),
    some.sampled_from(Way),
    some.sampled_from(Verdict),
    some.floats(0, 1),
    some.integers(0, 9),
)


def sure(memory: Memory | None) -> Memory:
    assert memory is not None
    return memory


def test_no_attempt_leaves_no_memory() -> None:
    assert memory_after(()) is None


@pytest.mark.parametrize(
    ("first", "rating"),
    [
        (attempt(0, Verdict.NOT_YET), "again"),
        (attempt(0, way=Way.LED), "hard"),
        (attempt(0, hints=1), "hard"),
        (attempt(0), "good"),
        (attempt(0, way=Way.ASSESSED, share=1.0), "good"),
    ],
)
def test_the_first_attempt_is_remembered_as_the_published_weights_have_it(
    first: Practised, rating: str
) -> None:
    memory = sure(memory_after([first]))
    assert memory.stability_days == pytest.approx(FIRST_STABILITIES[rating])


@pytest.mark.parametrize("days", [0, 1, 3, 10, 42, 300])
def test_the_chance_is_that_of_the_published_formula(days: int) -> None:
    memory = sure(memory_after([attempt(0), attempt(3), attempt(12)]))
    published = (1 + FACTOR * days / memory.stability_days) ** -W20
    assert memory.chance(at(12 + days)) == pytest.approx(published)


def test_the_next_day_is_the_last_on_which_the_chance_is_what_is_aimed_at() -> None:
    memory = sure(memory_after([attempt(0), attempt(3), attempt(12)]))
    for aim in (0.8, 0.9, 0.95):
        days = memory.days_above(aim)
        assert memory.chance(memory.last + timedelta(days=days)) >= aim
        assert memory.chance(memory.last + timedelta(days=days + 1)) < aim
    assert memory.days_above(0.95) < memory.days_above(0.9) < memory.days_above(0.8)


def test_intervals_grow_while_it_stays_clean_and_shrink_after_a_miss() -> None:
    history, days = [attempt(0)], []
    for _ in range(5):
        memory = sure(memory_after(history))
        days.append(memory.days_above(0.9))
        history.append(attempt((memory.last - BEGUN).days + days[-1]))
    assert all(later > earlier for earlier, later in pairwise(days))
    history.append(attempt((history[-1].when - BEGUN).days + 20, Verdict.NOT_YET))
    assert sure(memory_after(history)).days_above(0.9) < days[-1] / 4


def test_no_interval_is_longer_than_refreshers_help() -> None:
    history = [attempt(day) for day in (0, 2, 10, 50, 200, 380, 560)]
    memory = sure(memory_after(history))
    assert memory.stability_days > LONGEST_DAYS
    assert memory.days_above(0.9) == LONGEST_DAYS
    # ACFASP 2009: brief refreshers every 6 to 12 months help.
    assert 365 / 2 - 3 <= LONGEST_DAYS <= 365


def test_a_led_session_is_weaker_evidence_than_a_recalled_one() -> None:
    before = [attempt(0), attempt(3)]
    alone = sure(memory_after([*before, attempt(15)]))
    led = sure(memory_after([*before, attempt(15, way=Way.LED)]))
    none = sure(memory_after(before))
    assert none.stability_days < led.stability_days < alone.stability_days
    failed_alone = sure(memory_after([*before, attempt(15, Verdict.NOT_YET)]))
    failed_led = sure(memory_after([*before, attempt(15, Verdict.NOT_YET, way=Way.LED)]))
    assert failed_alone.stability_days < failed_led.stability_days < none.stability_days


def test_hints_make_the_next_rehearsal_earlier() -> None:
    before = [attempt(0), attempt(3)]
    days = [
        sure(memory_after([*before, attempt(15, hints=n)])).stability_days for n in (0, 1, 2, 3)
    ]
    assert days[0] > days[1] == days[2] > days[3]


def test_after_a_miss_no_more_than_even_odds_are_told_until_it_was_done_alone() -> None:
    missed = [attempt(0), attempt(3), attempt(12, Verdict.NOT_YET)]
    assert sure(memory_after(missed)).chance(at(12)) == AT_MOST_AFTER_A_MISS
    led = sure(memory_after([*missed, attempt(13, way=Way.LED)]))
    assert led.chance(at(13)) == AT_MOST_AFTER_A_MISS
    alone = sure(memory_after([*missed, attempt(13, way=Way.LED), attempt(14)]))
    assert alone.chance(at(14)) > 0.95


def test_unclear_is_neither_pass_nor_fail() -> None:
    for before in ([attempt(0), attempt(9)], [attempt(0), attempt(9, Verdict.NOT_YET)]):
        known = sure(memory_after(before))
        unclear = sure(memory_after([*before, attempt(20, Verdict.UNCLEAR)]))
        passed = sure(memory_after([*before, attempt(20)]))
        failed = sure(memory_after([*before, attempt(20, Verdict.NOT_YET)]))
        assert unclear.shown == known.shown
        assert failed.stability_days < unclear.stability_days < passed.stability_days


@given(attempts)
def test_every_attempt_is_of_exactly_one_row(one: Practised) -> None:
    assert [row for row in TABLE if row.covers(one)] == [evidence_of(one)]


def test_every_row_has_its_reason() -> None:
    assert all(row.because.endswith(".") and 0 < row.weight <= 1 for row in TABLE)


@given(
    some.lists(attempts, max_size=6).flatmap(
        lambda a: some.tuples(some.just(a), some.permutations(a))
    )
)
def test_the_order_in_which_attempts_come_does_not_matter(
    both: tuple[list[Practised], list[Practised]],
) -> None:
    assert memory_after(both[0]) == memory_after(both[1])


@given(some.lists(attempts, min_size=1, max_size=6), some.integers(-14 * 60, 14 * 60))
def test_the_zone_in_which_a_time_was_written_does_not_matter(
    history: list[Practised], minutes: int
) -> None:
    zone = timezone(timedelta(minutes=minutes))
    elsewhere = [
        Practised(a.skill, a.when.astimezone(zone), a.way, a.verdict, a.share, a.hints)
        for a in history
    ]
    assert memory_after(elsewhere) == memory_after(history)


@given(some.lists(attempts, min_size=1, max_size=6))
def test_the_chance_never_rises_by_waiting(history: list[Practised]) -> None:
    memory = sure(memory_after(history))
    chances = [memory.chance(memory.last + timedelta(days=n)) for n in range(0, 400, 20)]
    assert all(0 < later <= earlier <= 1 for earlier, later in pairwise(chances))


def test_attempts_are_in_the_order_of_instants_not_of_the_clocks_on_the_wall() -> None:
    # An hour that comes twice: clocks went back in New York on 1 November 2026 (IANA tz data).
    new_york = ZoneInfo("America/New_York")
    first = datetime(2026, 11, 1, 1, 50, tzinfo=new_york)
    second = datetime(2026, 11, 1, 1, 10, tzinfo=new_york, fold=1)
    missed = Practised("suction", first, Way.RECALL, Verdict.NOT_YET, 0.5, 0)
    clean = Practised("suction", second, Way.RECALL, Verdict.READY, 1.0, 0)
    assert in_order([clean, missed]) == (missed, clean)
    assert sure(memory_after([clean, missed])).shown


@pytest.mark.parametrize(
    ("zone", "changes"),
    [
        # Clocks change: 29 March 2026 forward and 25 October back in Berlin, 8 March forward in
        # New York, 4 October forward in Lord Howe, by half an hour (IANA tz data).
        ("Europe/Berlin", "2026-03-28"),
        ("Europe/Berlin", "2026-10-24"),
        ("America/New_York", "2026-03-07"),
        ("Australia/Lord_Howe", "2026-10-03"),
    ],
)
@pytest.mark.parametrize("minute", [1, 30, 12 * 60, 23 * 60 + 30, 23 * 60 + 59])
def test_a_change_of_the_clocks_does_not_move_the_day(zone: str, changes: str, minute: int) -> None:
    here, day = ZoneInfo(zone), datetime.fromisoformat(changes)
    when = (day + timedelta(minutes=minute)).replace(tzinfo=here)
    memory = sure(memory_after([Practised("suction", when, Way.RECALL, Verdict.READY, 1.0, 0)]))
    days = memory.days_above(0.9)
    assert memory.due(0.9, here) == (day + timedelta(days=days)).date()


def test_a_clock_set_back_gives_the_chance_of_the_last_attempt() -> None:
    memory = sure(memory_after([attempt(0), attempt(3)]))
    assert memory.chance(at(-500)) == memory.chance(at(3)) == 1.0


def test_a_time_without_its_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="has no time zone"):
        Practised(
            "suction", datetime.fromisoformat("2026-03-02"), Way.RECALL, Verdict.READY, 1.0, 0
        )


def test_the_package_is_never_left_to_read_the_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    class Stopped(datetime):
        """A clock that must not be read."""

        @classmethod
        def now(cls, tz: object = None) -> Stopped:
            raise AssertionError("the clock was read")

    import fsrs.card
    import fsrs.scheduler

    for module in (fsrs.card, fsrs.scheduler, memory_module):
        monkeypatch.setattr(module, "datetime", Stopped)
    memory = sure(memory_after([attempt(0), attempt(3, Verdict.NOT_YET), attempt(4)]))
    assert memory.due(0.9, UTC) > BEGUN.date()
