"""The database says what the journals and the register say: however often, in whatever order."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from recorded import EVENING, dump, journal, journal_bytes, keeping, register, score
from sqlalchemy import delete, insert, select

from coach.edges.records.database import Records
from coach.edges.records.drill_rows import drills_by
from coach.edges.records.tables import attempts, hand_marks, learners, results, steps
from coach.edges.register_file import RegisterFile
from coach.records.register import digest_of
from coach.records.register_lines import (
    CertificateHeld,
    LearnersJoined,
    LearnerWiped,
    MarkSet,
    RecordsImported,
)
from coach.report.attempt import Mark, result_bytes
from coach.session.journal_contents import scan
from coach.session.journal_lines import JournalOpened, Record
from coach.session.student_events import (
    ShownMistake,
    StudentActed,
    StudentDrillStarted,
    WatcherSpoke,
)

ONE, TWO, THREE = ("1" * 32, "2" * 32, "3" * 32)


def filled(data: Path) -> tuple[str, str]:
    """A data folder with a bit of everything; the ids of its two learners."""
    people = register(data)
    ana, ben = people.add_learner("Ana Müller"), people.add_learner("بن", "evening")
    at = people.now()
    people.add(
        lambda _: (
            CertificateHeld(at, ana, "CPR card", "2027-03-31", ("cpr", "suction")),
            MarkSet(at, TWO, "seal", Mark.MISSED, "J. Doe", "only said"),
            MarkSet(at, TWO, "flow", Mark.DONE, "J. Doe"),
            RecordsImported(at, "station-2.coach.zip", "0f" * 32, 12, 3),
        )
    )
    sessions = data / "sessions"
    journal(sessions, ONE, "gloves", "seal", "gauge", "flow", learner=ana)
    later = EVENING + timedelta(days=1)
    journal(sessions, TWO, "gloves", "seal", "perhaps flow", learner=ben, at=later)
    journal(sessions, THREE, "gloves", "lid", learner=ana, at=later, ended=False)
    journal(sessions, "", "gloves", at=later + timedelta(days=1), name="before-ids")
    (sessions / "torn.journal.jsonl").write_bytes(b'{"v":1,"n":0,"ev')
    journal(sessions, "4" * 32, "refuse", name="no-content")
    mistake = ShownMistake("left out", "seal", "the seal", "leaving out the seal", "it leaks")
    drilled: list[Record] = [
        JournalOpened("tea", EVENING.isoformat(), "0.1.0", "9" * 32),
        StudentDrillStarted(0.0, "tea", 4, 1, ana),
        StudentActed(1.0, "the gauge", (mistake,)),
        WatcherSpoke(2.5, "you forgot the seal", 0.9),
    ]
    (sessions / "drill.journal.jsonl").write_bytes(journal_bytes(drilled))
    return ana, ben


def test_the_rows_are_those_of_the_results(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    kept = keeping(tmp_path, records).rebuild()
    assert kept.read == 7
    assert kept.refused == {
        "torn.journal.jsonl": "It broke off before anything was recorded.",
        "no-content.journal.jsonl": "The content of the skill is not there.",
    }
    path = next((tmp_path / "sessions").glob("*11111111.journal.jsonl"))
    expected = score(scan("", path.read_bytes()), ())
    with records.reading() as connection:
        row = connection.execute(select(attempts).where(attempts.c.id == ONE)).one()
        content = connection.execute(select(results.c.content).where(results.c.attempt == ONE))
        assert content.scalar_one() == result_bytes(expected)
    assert (row.learner, row.verdict, row.share, row.started_s) == (
        ana,
        "ready",
        1.0,
        EVENING.timestamp(),
    )


def test_the_coachs_mark_stays_beside_that_set_by_hand(tmp_path: Path, records: Records) -> None:
    filled(tmp_path)
    keeping(tmp_path, records).rebuild()
    with records.reading() as connection:
        asked = select(steps.c.step, steps.c.mark, steps.c.coach_mark).where(steps.c.attempt == TWO)
        marks = {row.step: (row.mark, row.coach_mark) for row in connection.execute(asked)}
        both = connection.execute(select(attempts).where(attempts.c.id == TWO)).one()
        by_hand = connection.execute(select(hand_marks).where(hand_marks.c.step == "seal")).one()
    assert marks["seal"] == ("missed", "done")
    assert marks["flow"] == ("done", "unclear")
    assert marks["gloves"] == ("done", "done")
    assert (both.verdict, both.coach_verdict, both.judged_by) == ("not-yet", "unclear", "J. Doe")
    assert (by_hand.judge, by_hand.because) == ("J. Doe", "only said")


def test_made_twice_and_in_another_database_it_is_the_same(
    tmp_path: Path, database: Callable[[], Records]
) -> None:
    filled(tmp_path)
    one, other = database(), database()
    keeping(tmp_path, one).rebuild()
    first = dump(one)
    assert {name: len(rows) for name, rows in first.items()} == {
        "learners": 2,
        "certificates": 1,
        "hand_marks": 2,
        "imports": 1,
        "journals": 7,
        "student_drills": 1,
        "attempts": 4,
        "results": 4,
        "steps": 16,
        "numbers": 1,
        "failures": 1,
        "standings": 2,
        "last_steps": 8,
        "standings_model": 1,
    }
    keeping(tmp_path, one).rebuild()
    assert dump(one) == first
    keeping(tmp_path, other).rebuild()
    assert dump(other) == first


def test_both_databases_hold_the_same_rows(tmp_path: Path, database: Callable[[], Records]) -> None:
    filled(tmp_path)
    one = database()
    keeping(tmp_path, one).rebuild()
    plain = Records(one.url.create("sqlite", database=str(tmp_path / "plain.sqlite")))
    keeping(tmp_path, plain).rebuild()
    assert dump(plain) == dump(one)
    plain.close()


def test_what_does_not_belong_is_gone_after_a_rebuild(tmp_path: Path, records: Records) -> None:
    filled(tmp_path)
    keeping(tmp_path, records).rebuild()
    before = dump(records)
    with records.writing() as connection:
        connection.execute(delete(steps).where(steps.c.step == "seal"))
        connection.execute(attempts.update().values(share=0.1))
        connection.execute(delete(learners))
    assert dump(records) != before
    keeping(tmp_path, records).rebuild()
    assert dump(records) == before


def test_updates_step_by_step_come_to_the_same_as_a_rebuild(
    tmp_path: Path, database: Callable[[], Records]
) -> None:
    """After each change of the files the updated rows are those made anew."""
    one, other = database(), database()
    data = tmp_path / "data"
    sessions = data / "sessions"
    people = register(data)
    ana, again = people.add_learner("Ana"), people.add_learner("Ana", "station 2")
    at = people.now()
    longer = ("gloves", "seal", "gauge")

    def damage() -> None:
        path = sessions / "first.journal.jsonl"
        path.write_bytes(path.read_bytes().replace(b"gloves", b"no gloves"))

    changes: list[Callable[[], object]] = [
        lambda: None,
        lambda: journal(sessions, ONE, "gloves", learner=ana, ended=False, name="first"),
        lambda: journal(sessions, ONE, "gloves", "seal", learner=ana, ended=False, name="first"),
        lambda: journal(sessions, TWO, "seal", learner=again, name="second"),
        lambda: journal(sessions, ONE, "gloves", learner=ana, ended=False, name="a-copy"),
        lambda: journal(sessions, ONE, *longer, learner=ana, name="z-whole"),
        lambda: people.add(lambda _: (MarkSet(at, ONE, "flow", Mark.DONE, "J. Doe"),)),
        lambda: people.add(lambda _: (MarkSet(at, ONE, "flow", Mark.MISSED, "K. Roe"),)),
        lambda: people.add(lambda _: (LearnersJoined(at, again, ana),)),
        damage,
        lambda: (sessions / "z-whole.journal.jsonl").unlink(),
        lambda: (sessions / "a-copy.journal.jsonl").unlink(),
        lambda: shutil.copy(sessions / "second.journal.jsonl", sessions / "0.journal.jsonl"),
        lambda: (sessions / "second.journal.jsonl").unlink(),
        lambda: people.add(lambda _: (LearnerWiped(at, digest_of("f" * 32)),)),
    ]
    for number, change in enumerate(changes):
        change()
        keeping(data, one).update()
        keeping(data, other).rebuild()
        assert dump(one) == dump(other), number
        assert keeping(data, one).update().gone == 0
        assert dump(one) == dump(other), number
    with one.reading() as connection:
        found = connection.execute(select(attempts.c.id, attempts.c.learner)).all()
    assert [tuple(row) for row in found] == [(TWO, ana)]


def test_only_what_changed_is_read_again(tmp_path: Path, records: Records) -> None:
    sessions = tmp_path / "sessions"
    for number in range(5):
        journal(sessions, f"{number}" * 32, "gloves", at=EVENING + timedelta(days=number))
    assert keeping(tmp_path, records).update().read == 5
    assert keeping(tmp_path, records).update().read == 0
    journal(sessions, "5" * 32, "gloves", at=EVENING + timedelta(days=5))
    people = register(tmp_path)
    people.add(lambda _: (MarkSet(people.now(), "3" * 32, "seal", Mark.DONE, "J. Doe"),))
    assert keeping(tmp_path, records).update().read == 2


def test_nothing_is_written_while_nothing_changes(
    tmp_path: Path, records: Records, monkeypatch: pytest.MonkeyPatch
) -> None:
    from coach.edges.records import keeping as module

    monkeypatch.setattr(module, "_SETTLED_SECONDS", 0.0)
    sessions = tmp_path / "sessions"
    path = journal(sessions, ONE, "gloves", ended=False)
    keeping(tmp_path, records).update()
    with monkeypatch.context() as trouble:
        trouble.setattr(records, "writing", lambda: pytest.fail("nothing was to be written"))
        assert keeping(tmp_path, records).update().read == 0
    journal(sessions, ONE, "gloves", "seal", ended=False)
    assert path.exists()
    assert keeping(tmp_path, records).update().read == 1


def test_a_skill_that_comes_later_lets_its_journals_count(tmp_path: Path, records: Records) -> None:
    path = journal(tmp_path / "sessions", ONE, "refuse", "gloves")
    assert list(keeping(tmp_path, records).update().refused) == [path.name]
    with records.reading() as connection:
        assert connection.execute(select(attempts)).all() == []
    journal(tmp_path / "sessions", ONE, "gloves")
    assert keeping(tmp_path, records).update().refused == {}


def test_two_data_folders_share_a_database_and_keep_to_their_own(
    tmp_path: Path, records: Records, database: Callable[[], Records]
) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    ana = register(one).add_learner("Ana")
    ben = register(other).add_learner("Ben")
    journal(one / "sessions", ONE, "gloves", learner=ana)
    journal(other / "sessions", TWO, "seal", learner=ben)
    # A copy that broke off counts less than the whole one, whoever comes first.
    journal(other / "sessions", ONE, "gloves", learner=ana, ended=False)
    keeping(other, records).update()
    keeping(one, records).update()
    whole = dump(records)
    assert [row[0] for row in whole["attempts"]] == [ONE, TWO]
    assert len(whole["learners"]) == 2
    for data in (one, other, other, one):
        keeping(data, records).rebuild()
        assert dump(records) == whole
    turned = database()
    for data in (one, other):
        keeping(data, turned).update()
    assert dump(turned) == whole


def test_a_journal_of_somebody_wiped_gives_no_attempt(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    people = register(tmp_path)
    people.add(lambda _: (LearnerWiped(people.now(), digest_of(ana)),))
    kept = keeping(tmp_path, records).update()
    assert list(kept.refused.values()).count("Its learner was wiped.") == 3
    with records.reading() as connection:
        assert ana not in connection.execute(select(attempts.c.learner)).scalars().all()


def test_a_later_name_counts_whichever_station_told_it(tmp_path: Path, records: Records) -> None:
    from coach.records.register_lines import LearnerAdded, LearnerRenamed

    one, other = tmp_path / "one", tmp_path / "other"
    for data in (one, other):
        register(data).add(lambda _: (LearnerAdded("2026-01-01T08:00:00+00:00", ONE, "Ana"),))
    later = "2026-01-02T08:00:00+09:00"
    RegisterFile(one / "register.jsonl").add(lambda _: (LearnerRenamed(later, ONE, "Ana B"),))
    for order in ((one, other), (other, one), (one, one, other)):
        for data in order:
            keeping(data, records).rebuild()
        with records.reading() as connection:
            assert connection.execute(select(learners.c.name)).scalars().all() == ["Ana B"]


def test_a_row_of_another_writer_is_not_touched(tmp_path: Path, records: Records) -> None:
    filled(tmp_path)
    keeping(tmp_path, records).rebuild()
    row = {"id": "9" * 32, "station": "x", "name": "Cem", "note": "", "changed": "2026-01-01"}
    with records.writing() as connection:
        connection.execute(insert(learners), row)
    keeping(tmp_path, records).rebuild()
    with records.reading() as connection:
        assert "Cem" in connection.execute(select(learners.c.name)).scalars().all()


def test_a_drill_with_a_student_is_kept_like_an_attempt_and_is_none(
    tmp_path: Path, records: Records
) -> None:
    """Once, however often it is read; gone with its journal; on either database."""
    ana, _ = filled(tmp_path)
    path = tmp_path / "sessions" / "drill.journal.jsonl"
    kept = keeping(tmp_path, records)
    assert path.name not in kept.update().refused
    before = dump(records)
    kept.rebuild()
    assert dump(records) == before
    with records.reading() as connection:
        (drill,) = drills_by(connection, ana)
        assert "9" * 32 not in set(connection.execute(select(attempts.c.id)).scalars())
    assert (drill.caught, drill.missed, drill.whole) == (("leaving out the seal",), (), False)
    assert (drill.seconds, drill.seed) == (2.5, 4)
    path.unlink()
    kept.update()
    with records.reading() as connection:
        assert drills_by(connection, ana) == ()
