"""What the class table is told by the database is what the results say, one by one."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from recorded import EVENING, STEPS, journal, keeping, register, score

from coach.edges.journal_file import read_journal
from coach.edges.records import standing_rows
from coach.edges.records.class_rows import everybody, judged_by_both, standings_of, step_counts
from coach.edges.records.database import Records
from coach.edges.records.overview_rows import practice_of_all
from coach.edges.records.tables import standings
from coach.records.register_lines import LearnersJoined, MarkSet
from coach.rehearsal.outlook import outlooks
from coach.rehearsal.practised import practised_from
from coach.report.attempt import Mark, Result, Verdict, Way
from coach.report.by_hand import THE_LEARNER

SKILLS = ("suction", "steam-tea")


def drawn(data: Path, count: int, seed: int) -> tuple[list[str], list[Result]]:
    """So many journals of three learners and of nobody; the learners, and the results expected."""
    chance = random.Random(seed)
    people = [register(data).add_learner(name) for name in ("Ana", "Ben", "Çem")]
    results: list[Result] = []
    for number in range(count):
        heard = [step for step in STEPS if chance.random() < 0.8]
        heard += [
            f"perhaps {step}" for step in STEPS if step not in heard and chance.random() < 0.3
        ]
        path = journal(
            data / "sessions",
            f"{number:032x}",
            *heard,
            learner=chance.choice([*people, ""]),
            skill=chance.choice(SKILLS),
            at=EVENING + timedelta(hours=chance.randrange(10_000), seconds=number),
            way=chance.choice(["led", "recall", "assessed"]),
            ended=chance.random() < 0.9,
        )
        contents = read_journal(path)
        if contents.closed:
            results.append(score(contents, ()))
    results.sort(key=lambda result: datetime.fromisoformat(result.started))
    return people, results


def test_standings_are_those_of_the_results(tmp_path: Path, records: Records) -> None:
    people, results = drawn(tmp_path, 80, 7)
    keeping(tmp_path, records).update()
    with records.reading() as connection:
        found = standings_of(connection)
        mine = standings_of(connection, people[:1])
        counts = step_counts(connection, SKILLS)
        called = everybody(connection)
    assert [person.called for person in called] == ["Ana", "Ben", "Çem"]
    assert mine == {key: value for key, value in found.items() if key[0] == people[0]}
    expected_steps: dict[tuple[str, str], list[Mark]] = {}
    now = datetime(2027, 6, 1, tzinfo=UTC)
    for learner in people:
        theirs = [result for result in results if result.learner == learner]
        known = outlooks(map(practised_from, theirs), now)
        for skill in SKILLS:
            some = [result for result in theirs if result.skill == skill]
            standing = found[learner, skill]
            assert standing.memory == known[skill].memory
            history = standing.history
            assert history.attempts == len(some)
            assert history.seconds == pytest.approx(sum(result.seconds for result in some))
            alone = [
                one for one in some if one.way is not Way.LED and one.verdict is not Verdict.UNCLEAR
            ]
            clean = [one for one in alone if one.verdict is Verdict.READY and one.hints == 0]
            for one, last in ((history.last, some), (history.alone, alone), (history.clean, clean)):
                assert (one.attempt if one else "") == (last[-1].attempt if last else "")
            for step in alone[-1].steps if alone else ():
                expected_steps.setdefault((skill, step.step), []).append(step.mark)
    assert {(one.skill, one.step): (one.missed, one.unclear, one.of) for one in counts} == {
        key: (
            marks.count(Mark.MISSED),
            marks.count(Mark.UNCLEAR),
            len(marks) - marks.count(Mark.UNCLEAR),
        )
        for key, marks in expected_steps.items()
    }


def test_standings_are_worked_out_anew_by_another_program(
    tmp_path: Path, records: Records, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn(tmp_path, 20, 8)
    keeping(tmp_path, records).update()
    with records.writing() as connection:
        before = standings_of(connection)
        connection.execute(standings.update().values(attempts=99))
    monkeypatch.setattr(standing_rows, "MODEL", "another")
    keeping(tmp_path, records).rebuild()
    with records.reading() as connection:
        assert standings_of(connection) == before


def test_people_who_are_one_have_their_attempts_together(tmp_path: Path, records: Records) -> None:
    people, _ = drawn(tmp_path, 40, 9)
    keeping(tmp_path, records).update()
    with records.reading() as connection:
        apart = standings_of(connection)
    at = register(tmp_path).now()
    register(tmp_path).add(lambda _: (LearnersJoined(at, people[0], people[1]),))
    keeping(tmp_path, records).update()
    with records.reading() as connection:
        together = standings_of(connection)
    for skill in SKILLS:
        both = sum(apart[one, skill].history.attempts for one in people[:2])
        assert together[people[1], skill].history.attempts == both
    assert not any(learner == people[0] for learner, _ in together)


def test_coach_and_person_are_compared_step_by_step(tmp_path: Path, records: Records) -> None:
    journal(tmp_path / "sessions", "1" * 32, "gloves", "perhaps seal")
    marks = (
        ("gloves", Mark.MISSED, "J. Doe", "2026-03-05T08:00:00+00:00"),
        ("gloves", Mark.DONE, "J. Doe", "2026-03-05T09:30:00+01:00"),
        ("gloves", Mark.LATE, "K. Roe", "2026-03-05T08:00:00+00:00"),
        ("seal", Mark.DONE, "J. Doe", "2026-03-05T08:00:00+00:00"),
        ("seal", Mark.MISSED, THE_LEARNER, "2026-03-05T07:00:00+00:00"),
    )
    register(tmp_path).add(
        lambda _: [MarkSet(at, "1" * 32, step, mark, by) for step, mark, by, at in marks]
    )
    keeping(tmp_path, records).update()
    with records.reading() as connection:
        attempts, pairs = judged_by_both(connection)
    assert attempts == 1
    assert sorted(pairs) == [("done", "done"), ("done", "late"), ("unclear", "done")]


def test_the_last_attempt_is_the_last_by_the_instant_not_by_the_clock(
    tmp_path: Path, records: Records
) -> None:
    """The clocks of Chicago went back at two on 1 November 2026 (IANA time zone database)."""
    ana = register(tmp_path).add_learner("Ana")
    chicago = ZoneInfo("America/Chicago")
    before = datetime(2026, 11, 1, 1, 50, tzinfo=chicago)
    after = datetime(2026, 11, 1, 1, 10, tzinfo=chicago, fold=1)
    tokyo = datetime(2026, 11, 1, 15, 30, tzinfo=ZoneInfo("Asia/Tokyo"))
    for number, at in enumerate((after, tokyo, before)):
        journal(tmp_path / "sessions", f"{number}" * 32, *STEPS, learner=ana, at=at)
    keeping(tmp_path, records).update()
    with records.reading() as connection:
        history = standings_of(connection)[ana, "steam-tea"].history
    assert history.last.started == "2026-11-01T01:10:00-06:00"
    assert history.attempts == 3


def test_people_of_one_name_at_two_stations_of_a_database_are_told_apart(
    tmp_path: Path, records: Records
) -> None:
    """Each station has its own register; nobody can tell two lines of the same name."""
    stations = (tmp_path / "one", tmp_path / "two")
    anas = [register(station).add_learner("Ana") for station in stations]
    register(stations[1]).add_learner("Ben")
    for station in stations:
        keeping(station, records).update()
    with records.reading() as connection:
        called = {person.id: person.called for person in everybody(connection)}
        practised = [one.called for one in practice_of_all(connection)]
    assert [called[ana] for ana in anas] == [f"Ana ({ana[:8]})" for ana in anas]
    assert sorted(practised) == sorted(called.values()) and "Ben" in practised
