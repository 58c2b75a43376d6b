"""Where a learner stands, told in a sentence."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from invented_attempts import at, attempt

from coach.rehearsal.aim import AIM
from coach.rehearsal.outlook import Standing, outlook, outlooks
from coach.rehearsal.practised import Practised, practised_from
from coach.rehearsal.spans import about_percent, hours_words, span_words
from coach.rehearsal.today import plan_today
from coach.report.attempt import Result, Verdict, Way


def test_six_weeks_since_the_last_clean_one() -> None:
    told = outlook("suction", [attempt(0), attempt(2), attempt(12), attempt(26)], at(26 + 42))
    assert told.sentence() == "Six weeks since the last clean one; about 70 % now."
    assert told.chance == pytest.approx(0.7, abs=0.025)
    assert told.standing is Standing.FADING and told.is_due


@pytest.mark.parametrize(
    ("history", "after_days", "sentence", "standing"),
    [
        ([], 0, "Never practised.", Standing.NEVER),
        ([attempt(0)], 0, "Today was the last clean one; over 95 % now.", Standing.READY),
        ([attempt(0)], 1, "One day since the last clean one; about 80 % now.", Standing.FADING),
        (
            [attempt(0), attempt(14, Verdict.NOT_YET)],
            7,
            "Seven days since the last one, which was not clean yet, and three weeks since the "
            "last clean one; about 50 % now.",
            Standing.NOT_YET,
        ),
        (
            [attempt(0, way=Way.LED)],
            3,
            "Three days since the last one, which was led, and none was clean so far; about 50 % "
            "now.",
            Standing.NOT_YET,
        ),
        (
            [attempt(0), attempt(5, hints=2)],
            0,
            "Today was the last one, which needed hints, and five days since the last clean one; "
            "over 95 % now.",
            Standing.READY,
        ),
        (
            [attempt(0), attempt(5, Verdict.UNCLEAR)],
            2,
            "Two days since the last one, which is still to be judged, and seven days since the "
            "last clean one; about 75 % now.",
            Standing.FADING,
        ),
    ],
)
def test_the_sentence_tells_how_long_ago_and_how_likely(
    history: list[Practised], after_days: int, sentence: str, standing: Standing
) -> None:
    now = history[-1].when + timedelta(days=after_days) if history else at(0)
    told = outlook("suction", history, now)
    assert told.sentence() == sentence
    assert told.standing is standing


def test_an_attempt_dated_after_now_is_told_and_puts_nothing_off() -> None:
    """A clock that was once set to another year would make it ready, and not due, for years."""
    told = outlook("suction", [attempt(30)], at(0))
    day = f"{at(30).day} {at(30):%B %Y}"
    said = f"The last attempt is dated {day}: is the clock of this machine right?"
    assert told.sentence() == said
    (proposed,) = plan_today({"suction": told}, (), {"suction": 6}, at(0), AIM, 15).chosen
    assert proposed.sentence() == said
    assert (told.is_due, told.due, told.standing) == (True, at(0).date(), Standing.NOT_YET)


def test_clocks_of_two_stations_may_differ_by_an_hour() -> None:
    told = outlook("suction", [attempt(0)], at(0) - timedelta(hours=1))
    assert told.standing is Standing.READY and not told.is_due
    assert "clock" not in told.sentence()


def test_yesterday_evening_is_a_day_ago_in_the_morning_of_the_learners_zone() -> None:
    tokyo = ZoneInfo("Asia/Tokyo")
    late = Practised(
        "suction",
        datetime(2026, 3, 2, 23, 30, tzinfo=tokyo),
        Way.RECALL,
        Verdict.READY,
        1.0,
        0,
    )
    morning = datetime(2026, 3, 3, 7, 0, tzinfo=tokyo)
    assert outlook("suction", [late], morning).sentence().startswith("One day since")
    same_in_new_york = morning.astimezone(ZoneInfo("America/New_York"))
    assert outlook("suction", [late], same_in_new_york).sentence().startswith("Today was")


def test_each_skill_has_its_own_outlook_and_the_time_practised() -> None:
    known = outlooks(
        [attempt(0), attempt(1, skill="cpr", seconds=600), attempt(2)],
        at(3),
    )
    assert list(known) == ["cpr", "suction"]
    assert [each.seconds for each in known.values()] == [600, 600]
    assert len(known["suction"].attempts) == 2


def test_now_needs_its_time_zone() -> None:
    with pytest.raises(ValueError, match="no time zone"):
        outlook("suction", [], datetime.fromisoformat("2026-03-02"))


def result(started: str) -> Result:
    """An invented result."""
    return Result(
        attempt="a" * 32,
        learner="b" * 32,
        skill="suction",
        title="Suction",
        skill_sha256="",
        choices={},
        way=Way.ASSESSED,
        scenario="",
        program="",
        started=started,
        seconds=240.5,
        limit_s=0,
        rule="weighted 1",
        verdict=Verdict.READY,
        why="",
        points=9,
        out_of=10,
        passed_from=0.8,
        hints=0,
        steps=(),
        numbers=(),
        failures=(),
        timed=(),
        oxygen_minutes=None,
        spoken=(),
        cautions=(),
    )


def test_a_result_becomes_an_attempt_of_the_plan() -> None:
    found = practised_from(result("2026-03-02T19:00:00+01:00"))
    assert found == Practised("suction", at(0), Way.ASSESSED, Verdict.READY, 0.9, 0, 240.5)
    assert practised_from(result("2026-03-02T18:00:00")).instant == at(0)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "zero days"),
        (1, "one day"),
        (13, "thirteen days"),
        (14, "two weeks"),
        (42, "six weeks"),
        (69, "ten weeks"),
        (70, "two months"),
        (365, "twelve months"),
    ],
)
def test_spans_are_said_as_people_say_them(days: int, words: str) -> None:
    assert span_words(days) == words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "under 5 %"),
        (0.7, "about 70 %"),
        (0.684, "about 70 %"),
        (0.96, "about 95 %"),
        (0.99, "over 95 %"),
        (1.0, "over 95 %"),
    ],
)
def test_no_chance_is_told_as_certain(chance: float, words: str) -> None:
    assert about_percent(chance) == words


def test_time_practised_is_told_in_hours_from_an_hour_on() -> None:
    assert [hours_words(s) for s in (60, 2700, 3600, 12600)] == [
        "1 minute",
        "45 minutes",
        "1.0 hours",
        "3.5 hours",
    ]
