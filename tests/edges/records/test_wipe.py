"""A learner is wiped everywhere, and looking for what is left finds nothing."""

from __future__ import annotations

import hashlib
import json
from datetime import timedelta
from pathlib import Path

import pytest
from recorded import EVENING, dump, journal, keeping, register
from sqlalchemy import insert

from coach.core.errors import InputError
from coach.edges.journal_file import JournalFile, read_journal
from coach.edges.new_files import write_owned
from coach.edges.records.bundle import of_data_folder, read_bundle, write_bundle
from coach.edges.records.database import Records
from coach.edges.records.importing import import_bundle
from coach.edges.records.tables import attempts
from coach.edges.records.wipe import Wiped, wipe
from coach.edges.records.written_files import note_reports, take_away
from coach.records.register_lines import (
    CertificateHeld,
    LearnerRenamed,
    LearnersJoined,
    MarkSet,
    RecordsImported,
    ReportWritten,
)
from coach.records.wiping import Wanted, found_in, nameless
from coach.report.attempt import Mark

NAME, BEFORE = "Ana Müller", "Ana Lopez"


def filled(data: Path) -> tuple[str, str]:
    """A data folder with the one to wipe in every corner of it, and another; their ids."""
    people = register(data)
    ana, twin = people.add_learner(BEFORE), people.add_learner(BEFORE, "station 2")
    ben = people.add_learner("Ben Oak")
    at = people.now()
    people.add(
        lambda _: (
            LearnerRenamed(at, ana, NAME),
            LearnersJoined(at, twin, ana),
            CertificateHeld(at, ana, "CPR card", "2027-03-31"),
            MarkSet(at, "1" * 32, "seal", Mark.MISSED, "J. Doe", f"{NAME} only said it"),
            MarkSet(at, "3" * 32, "seal", Mark.DONE, NAME, "as ana  MÜLLER saw"),
            RecordsImported(at, "Ana Müller.coach.zip", "0f" * 32, 1, 1),
        )
    )
    sessions = data / "sessions"
    days = [EVENING + timedelta(days=day) for day in range(5)]
    journal(sessions, "1" * 32, "gloves", "seal", learner=ana, at=days[0])
    journal(sessions, "2" * 32, "gloves", learner=twin, at=days[1], ended=False)
    journal(sessions, "3" * 32, "gloves", "next student ana müller", learner=ben, at=days[2])
    journal(sessions, "4" * 32, "gloves", learner=ben, at=days[3])
    damaged = journal(sessions, "5" * 32, "gloves", learner=ana, at=days[4])
    damaged.write_bytes(damaged.read_bytes().replace(b"gloves", b"glovez"))
    damaged.with_name(damaged.name + ".torn").write_bytes(ana.encode())
    (sessions / "other.journal.jsonl.torn").write_text(json.dumps({"text": f"it is {NAME}"}))
    (data / "register.jsonl.torn").write_text(json.dumps({"name": NAME}))
    return ana, ben


def wiped(data: Path, learner: str, records: Records) -> Wiped:
    keeping(data, records).update()
    return wipe(learner, data, register(data), records, keeping(data, records))


def everything(data: Path, records: Records) -> str:
    """All that is on the disk and in the database, as text."""
    files = b"".join(path.read_bytes() for path in sorted(data.rglob("*")) if path.is_file())
    names = "".join(path.name for path in data.rglob("*"))
    text = files.decode("utf-8", "ignore")
    return f"{text}{names}{dump(records)}".replace("\\u00fc", "ü").casefold()


def test_neither_ids_nor_names_are_left_anywhere(tmp_path: Path, records: Records) -> None:
    ana, ben = filled(tmp_path)
    ids = register(tmp_path).read().ids_of(ana)
    assert len(ids) == 2
    keeping(tmp_path, records).update()
    before = everything(tmp_path, records)
    assert all(one in before for one in (*ids, NAME.casefold(), BEFORE.casefold()))
    done = wiped(tmp_path, ana, records)
    assert (done.journals, done.renamed, done.left) == (3, 1, ())
    assert done.files > 3 and done.rows > 5
    after = everything(tmp_path, records)
    assert not any(one in after for one in (*ids, NAME.casefold(), BEFORE.casefold()))
    assert ben in after and "ben oak" in after
    assert not list(tmp_path.rglob("*.torn"))


def test_a_database_that_is_in_use_no_more_is_taken_away_if_it_holds_them(
    tmp_path: Path, records: Records
) -> None:
    """One of before another was named in the settings, or one that was damaged."""
    ana, ben = filled(tmp_path)
    old, damaged = tmp_path / "records.sqlite", tmp_path / "records.sqlite.damaged-1"
    old.write_bytes(b"SQLite format 3\0 " + ana.encode())
    damaged.write_bytes(b"SQLite format 3\0 " + ben.encode())
    assert wiped(tmp_path, ana, records).left == ()
    assert (old.exists(), damaged.exists()) == (False, True)


def test_a_fetched_model_that_knows_the_name_as_a_word_is_no_record(
    tmp_path: Path, records: Records
) -> None:
    ana, _ = filled(tmp_path)
    vocabulary = tmp_path / "models" / "some-ear" / "vocabulary.txt"
    vocabulary.parent.mkdir(parents=True)
    vocabulary.write_text(f"{NAME} 17\n", encoding="utf-8")
    assert wiped(tmp_path, ana, records).left == ()
    assert vocabulary.exists()


def test_what_others_did_stays_and_only_the_name_goes_from_it(
    tmp_path: Path, records: Records
) -> None:
    ana, ben = filled(tmp_path)
    wiped(tmp_path, ana, records)
    rows = dump(records)
    assert [(row[0], row[3]) for row in rows["attempts"]] == [("3" * 32, ben), ("4" * 32, ben)]
    (path,) = (tmp_path / "sessions").glob("*33333333.journal.jsonl")
    contents = read_journal(path)
    assert contents.problems == () and contents.closed is not None
    heard = [event.meaning.text for event in contents.events[1:]]  # type: ignore[union-attr]
    assert heard == ["gloves", "next student somebody"]
    (mark,) = register(tmp_path).read().marks
    assert (mark.attempt, mark.by, mark.because) == ("3" * 32, "somebody", "as somebody saw")
    keeping(tmp_path, records).rebuild()
    assert dump(records) == rows


def test_nothing_of_the_wiped_comes_in_again(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    copies = {path: path.read_bytes() for path in (tmp_path / "sessions").iterdir()}
    wiped(tmp_path, ana, records)
    for path, content in copies.items():
        path.write_bytes(content)
    kept = keeping(tmp_path, records).update()
    assert "Its learner was wiped." in kept.refused.values()
    assert ana not in {row[3] for row in dump(records)["attempts"]}


def test_what_others_wrote_about_the_wiped_does_not_come_in_again(
    tmp_path: Path, records: Records
) -> None:
    """Another station still has the marks in her attempts, and those that name her, under her
    name; neither is taken in, and what is not about her still is."""
    data, out = tmp_path / "here", tmp_path / "other.zip"
    ana, ben = filled(data)
    write_bundle(out, of_data_folder(data, torn=False), "2026-11-27T00:00:00+00:00", "export")
    assert wiped(data, ana, records).left == ()
    people = register(data)
    marks = people.read().marks
    import_bundle(read_bundle(out), data, people)
    assert people.read().marks == marks
    assert NAME not in people.path.read_text("utf-8") and ben in people.read().learners


def test_while_a_session_is_recorded_nothing_is_wiped(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    (path,) = (tmp_path / "sessions").glob("*22222222.journal.jsonl")
    session, _ = JournalFile.resume(path)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.jsonl")}
    with pytest.raises(InputError, match="Nothing was wiped"):
        wiped(tmp_path, ana, records)
    session.close()
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.jsonl")} == before


def test_rows_of_another_station_go_too(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    keeping(tmp_path, records).update()
    with records.writing() as connection:
        row = dict(connection.execute(attempts.select().limit(1)).mappings().one())
        new = {**row, "id": "9" * 32, "station": "other", "learner": ana}
        connection.execute(insert(attempts), new)
    assert wiped(tmp_path, ana, records).left == ()
    assert "9" * 32 not in {row[0] for row in dump(records)["attempts"]}


def test_what_is_left_is_told(tmp_path: Path, records: Records) -> None:
    ana, _ = filled(tmp_path)
    (tmp_path / "notes.txt").write_text(f"Call {NAME.upper()} back.")
    (tmp_path / f"{NAME}.pdf").write_bytes(b"%PDF")
    (tmp_path / "old.bin").write_bytes(b"\xff" + ana.encode())
    left = wiped(tmp_path, ana, records).left
    assert sorted(Path(one).name for one in left) == sorted(["notes.txt", f"{NAME}.pdf", "old.bin"])


def test_a_name_of_one_word_is_not_taken_out_of_what_others_said(
    tmp_path: Path, records: Records
) -> None:
    will = register(tmp_path).add_learner("Will")
    ben = register(tmp_path).add_learner("Ben Oak")
    path = journal(tmp_path / "sessions", "1" * 32, "i will call for help", learner=ben)
    before = path.read_bytes()
    assert wiped(tmp_path, will, records).left == ()
    assert path.read_bytes() == before


def test_a_name_that_another_has_too_stays_theirs(tmp_path: Path, records: Records) -> None:
    one = register(tmp_path).add_learner("Ana Silva")
    other = register(tmp_path).add_learner("Ana Silva", "evening")
    journal(tmp_path / "sessions", "1" * 32, "gloves", learner=one)
    path = journal(tmp_path / "sessions", "2" * 32, "this is ana silva", learner=other)
    before = path.read_bytes()
    assert wiped(tmp_path, one, records).left == ()
    assert path.read_bytes() == before
    assert [person.called for person in register(tmp_path).read().learners.values()] == [
        "Ana Silva (evening)"
    ]
    assert one not in everything(tmp_path, records)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("ANA MÜLLER", True),
        ('{"text": "ana m\\u00fcller"}', True),
        ("Ana   Mu\u0308ller,", True),
        ("Diana Müller", False),
        ("Ana Müllerin", False),
        ("a" * 32, True),
    ],
)
def test_what_counts_as_the_name(text: str, found: bool) -> None:
    wanted = Wanted(("a" * 32,), (NAME,))
    assert bool(found_in(text.encode(), wanted, wanted.names)) is found
    if "\\u" not in text and found and text != "a" * 32:
        assert nameless(text, wanted.names).strip(",") == "somebody"


def test_reports_that_are_as_they_were_written_go_and_the_others_are_named(
    tmp_path: Path, records: Records
) -> None:
    """One deleted, one changed, one moved; another learner's stays, and no path is remembered."""
    data, elsewhere = tmp_path / "data", tmp_path / "reports"
    ana, ben = filled(data)
    _, twin = register(data).read().ids_of(ana)
    contents = {
        elsewhere / f"{name}.pdf": f"report {name} of {NAME}".encode()
        for name in ("as-written", "changed", "moved", "twin", "bens")
    }
    for path, content in contents.items():
        learner = {"bens": ben, "twin": twin}.get(path.stem, ana)
        note_reports(register(data), learner, {path: content})
        note_reports(register(data), learner, {path: content})
    assert len(register(data).read().reports) == len(contents)
    write_owned(contents)
    (elsewhere / "changed.pdf").write_bytes(b"with remarks by hand")
    (elsewhere / "moved.pdf").rename(tmp_path / "kept.pdf")
    done = wiped(data, ana, records)
    assert done.taken_away == 2
    assert sorted(path.name for path in elsewhere.iterdir()) == ["bens.pdf", "changed.pdf"]
    changed, moved = sorted(done.not_taken)
    assert changed.startswith(f"{elsewhere / 'changed.pdf'} (changed since")
    assert moved.startswith(f"{elsewhere / 'moved.pdf'} (not there any more")
    assert [one.learner for one in register(data).read().reports] == [ben]
    assert str(elsewhere / "moved.pdf") not in (data / "register.jsonl").read_text()


def test_a_link_put_in_the_place_of_a_report_is_not_followed(tmp_path: Path) -> None:
    report, other = tmp_path / "report.pdf", tmp_path / "other.pdf"
    other.write_bytes(b"the same bytes")
    report.symlink_to(other)
    digest = hashlib.sha256(b"the same bytes").hexdigest()
    gone, left = take_away([ReportWritten("2026-03-04T21:40:03+01:00", "a", str(report), digest)])
    assert (gone, len(left)) == (0, 1)
    assert other.exists() and report.is_symlink()
