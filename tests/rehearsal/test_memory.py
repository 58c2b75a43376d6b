"""The memory model: what it says of a history, and that it says the same of the same history."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as some
from invented_attempts import BEGUN, at, attempt

from coach.rehearsal import memory as memory_module
from coach.rehearsal.evidence import TABLE, evidence_of
from coach.rehearsal.memory import AT_MOST_AFTER_A_MISS, LONGEST_DAYS, SURE, Memory, memory_after
from coach.rehearsal.practised import Practised, in_order
from coach.rehearsal.weights import GROWTH, LATEST_DAYS, SOONEST_DAYS, weight_sets
from coach.report.attempt import Verdict, Way

# Of FSRS 6 as its authors publish it (open-spaced-repetition, "The Algorithm"): the chance after t
# days is (1 + f t / S) ** -w20, with f such that it is 90 % after S days.
W20 = 0.1542
FACTOR = 0.9 ** (-1 / W20) - 1

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
    ("first", "weight"),
    [
        (attempt(0, Verdict.NOT_YET), 0),
        (attempt(0, way=Way.LED), 1),
        (attempt(0, hints=1), 1),
        (attempt(0), 2),
        (attempt(0, way=Way.ASSESSED, share=1.0), 2),
    ],
)
def test_the_first_attempt_is_remembered_as_the_weights_have_it(
    first: Practised, weight: int
) -> None:
    # "The Algorithm": w0 to w3 are the stabilities after a first again, hard, good and easy.
    memory = sure(memory_after([first]))
    stabilities = [trace.stability_days for trace in memory.traces]
    assert stabilities == pytest.approx([weights[weight] for weights in weight_sets()])


@pytest.mark.parametrize("days", [0, 1, 3, 10, 42, 300])
def test_the_chance_is_that_of_the_published_formula_weighed_by_bayes(days: int) -> None:
    memory = sure(memory_after([attempt(0), attempt(3), attempt(12, Verdict.NOT_YET)]))

    def published(since: float, stability: float) -> float:
        return float((1 + FACTOR * since / stability) ** -W20)

    likely = [math.exp(trace.log_likelihood) for trace in memory.traces]
    chances = [published(days, trace.stability_days) for trace in memory.traces]
    expected = sum(a * b for a, b in zip(likely, chances, strict=True)) / sum(likely)
    assert memory.kept(at(12 + days)) == pytest.approx(expected)
    # After 3 days clean, and missed 9 days later, when a recall had lengthened the stability.
    first = [weights[2] for weights in weight_sets()]
    grown = [trace.stability_days for trace in memory.traces]
    assert likely == pytest.approx(
        [
            SURE * published(3, before) * (1 - SURE * published(9, after))
            for before, after in zip(first, grown, strict=True)
        ]
    )


def test_learners_as_the_package_has_them_forget_less_than_published_learners_did() -> None:
    # Anderson 2019 (Resuscitation 135, 153): 58, 26, 21 and 15 % after practice every month, three
    # months, six months and year. The table in coach/rehearsal/weights.py leans on this.
    usual = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    card, _ = usual.review_card(Card(card_id=0, due=BEGUN), Rating.Good, BEGUN)
    assert usual.get_card_retrievability(card, at(365)) > 0.4 > 2 * 0.15


def test_the_sets_of_weights_span_what_was_published() -> None:
    firsts = [weights[2] for weights in weight_sets()]
    assert firsts[0] == pytest.approx(SOONEST_DAYS) and firsts[-1] == pytest.approx(LATEST_DAYS)
    assert len({round(later / earlier, 6) for earlier, later in pairwise(firsts)}) == 1


@pytest.mark.parametrize("part", [0.01, 0.05, 0.1])
def test_a_practice_lengthens_the_stability_as_fitted_to_published_practice(part: float) -> None:
    # By GROWTH times the part forgotten, at a stability of one day, for a skill first led through.
    for weights in weight_sets():
        model = Scheduler(weights, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
        grown = model._next_stability(
            difficulty=5.1, stability=1.0, retrievability=1 - part, rating=Rating.Good
        )
        assert grown - 1 == pytest.approx(GROWTH * part, rel=0.05)


def test_the_next_day_is_the_last_on_which_the_chance_is_what_is_aimed_at() -> None:
    memory = sure(memory_after([attempt(0), attempt(3), attempt(12), attempt(40)]))
    for aim in (0.7, 0.8, 0.9):
        days = memory.days_above(aim)
        assert memory.chance(memory.last + timedelta(days=days)) >= aim
        assert memory.chance(memory.last + timedelta(days=days + 1)) < aim
    assert memory.days_above(0.9) < memory.days_above(0.8) < memory.days_above(0.7)


def test_intervals_grow_while_it_stays_clean_and_shrink_after_a_miss() -> None:
    history, days, day = [attempt(0)], [], 0
    for _ in range(5):
        days.append(sure(memory_after(history)).days_above(0.7))
        day += days[-1]
        history.append(attempt(day))
    assert all(later > earlier for earlier, later in pairwise(days))
    clean = sure(memory_after([*history, attempt(day + 60)]))
    missed = sure(memory_after([*history, attempt(day + 60, Verdict.NOT_YET)]))
    assert missed.days_above(0.7) < clean.days_above(0.7) * 0.7


def test_who_forgets_fast_is_known_from_the_attempts() -> None:
    gaps = (7, 14, 21, 28, 35)
    days = [sum(gaps[:n]) for n in range(len(gaps) + 1)]
    keeps = sure(memory_after([attempt(day) for day in days]))
    loses = sure(memory_after([attempt(0), *(attempt(day, Verdict.NOT_YET) for day in days[1:])]))
    # Neither gains nor loses by the last gap itself: what counts is what the attempts told.
    assert keeps.kept(keeps.last + timedelta(days=14)) > 0.75
    assert loses.kept(loses.last + timedelta(days=14)) < 0.5


def test_no_interval_is_longer_than_refreshers_help() -> None:
    memory = sure(memory_after([attempt(day**1.6) for day in range(40)]))
    assert memory.days_above(0.6) == LONGEST_DAYS
    # ACFASP 2009: brief refreshers every 6 to 12 months help.
    assert 365 / 2 - 3 <= LONGEST_DAYS <= 365


def test_a_led_session_is_weaker_evidence_than_a_recalled_one() -> None:
    before = [attempt(0), attempt(3)]
    alone = sure(memory_after([*before, attempt(15)]))
    led = sure(memory_after([*before, attempt(15, way=Way.LED)]))
    none = sure(memory_after(before))
    assert none.stability_days < led.stability_days < alone.stability_days
    # Led, nothing is learnt of how fast it is forgotten, whatever came of it.
    led_too = sure(memory_after([*before, attempt(15, Verdict.NOT_YET, way=Way.LED)]))
    told = [[trace.log_likelihood for trace in memory.traces] for memory in (none, led, led_too)]
    assert told[0] == told[1] == told[2]
    assert led_too.stability_days == none.stability_days


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
    assert all(row.because.endswith(".") and 0 <= row.moves <= 1 for row in TABLE)


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
    assert all(0 < later <= earlier + 1e-12 <= 1 + 1e-9 for earlier, later in pairwise(chances))


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
