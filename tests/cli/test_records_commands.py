"""The commands about records: what was practised is there, travels, is judged and can be wiped."""

from __future__ import annotations

import csv
import io
import json
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from coach.cli.main import main
from coach.edges.register_file import RegisterFile
from coach.records.class_words import COLUMNS
from coach.records.register_lines import MarkSet
from coach.report.attempt import Mark

Run = Callable[..., str]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command; gives what it printed, errors behind."""

    def running(*arguments: str, code: int = 0, said: str = "") -> str:
        monkeypatch.setattr("sys.stdin", io.StringIO(said))
        assert main(arguments) == code, capsys.readouterr()
        told = capsys.readouterr()
        return told.out + told.err

    return running


def practise(
    run: Run, learner: str, *said: str, way: str = "recall", skill: str = "suction"
) -> None:
    """A typed attempt at suction, or another skill."""
    words = "".join(f"{line}\n" for line in ("I'm ready", *said, "stop", "yes", "finish"))
    run("practice", skill, "--typed", "--learner", learner, "--way", way, said=words)


def attempts(run: Run) -> list[dict[str, object]]:
    """What `coach records --json` tells of learners."""
    found: list[dict[str, object]] = json.loads(run("records", "--json"))["learners"]
    return found


def attempt_id(tmp_path: Path) -> str:
    with sqlite3.connect(tmp_path / "data" / "records.sqlite") as connection:
        return str(connection.execute("SELECT id FROM attempts ORDER BY started_s").fetchone()[0])


def test_what_was_practised_is_in_the_records_and_after_a_rebuild_the_same(
    run: Run, tmp_path: Path
) -> None:
    practise(run, "Ana Silva", "gloves on")
    practise(run, "Ana Silva", "gloves on", "suction is connected")
    practise(run, "Ben Oak", "gloves on")
    before = attempts(run)
    assert [(one["learner"], one["attempts"]) for one in before] == [
        ("Ana Silva", 2),
        ("Ben Oak", 1),
    ]
    (tmp_path / "data" / "records.sqlite").unlink()
    assert "3 journals read" in run("records", "rebuild")
    assert attempts(run) == before
    told = run("records")
    assert "2 learners, 3 attempts" in told and "records.sqlite" in told


def test_with_nothing_recorded_it_says_so(run: Run) -> None:
    assert "0 learners, 0 attempts" in run("records")
    empty = run("class")
    assert "A class of 0" in empty and "coach records roster FILE.csv takes a class in" in empty


def test_a_damaged_database_is_moved_aside_by_a_rebuild(run: Run, tmp_path: Path) -> None:
    practise(run, "Ana Silva", "gloves on")
    for path in (tmp_path / "data").glob("records.sqlite*"):
        path.unlink()
    (tmp_path / "data" / "records.sqlite").write_bytes(b"not a database, but long enough" * 50)
    assert "coach records rebuild" in run("records", code=2)
    assert "damaged-1" in run("records", "rebuild")
    assert attempts(run)[0]["attempts"] == 1


def test_a_database_that_is_gone_or_locked_costs_a_session_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_RECORDS", str(tmp_path / "nowhere" / "a" / "records.sqlite"))
    (tmp_path / "nowhere").write_text("in the way")
    practise(run, "Ana Silva", "gloves on")
    run("records", code=2)
    monkeypatch.delenv("COACH_RECORDS")
    assert attempts(run)[0]["attempts"] == 1


def test_records_go_from_station_to_station_and_come_in_once(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    practise(run, "Ana Silva", "gloves on")
    told = run("records", "export", "station.coach.zip")
    assert "1 journal written" in told and "names" in told
    assert "already" in run("records", "export", "station.coach.zip", code=1)
    there = attempts(run)
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "other"))
    assert "1 attempt came in" in run("records", "import", "station.coach.zip")
    again = run("records", "import", "station.coach.zip")
    assert "0 attempts came in" in again and "set by hand" not in again
    assert attempts(run) == there
    assert ", 1 already here" in run("records", "import", str(tmp_path / "data"))
    assert "nowhere" in run("records", "import", "nowhere.zip", code=1)


def test_a_backup_is_put_back(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practise(run, "Ana Silva", "gloves on")
    run("records", "backup", "saved.coach.zip")
    there = attempts(run)
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "other"))
    assert "files put back" in run("records", "restore", "saved.coach.zip")
    assert attempts(run) == there
    practise(run, "Ben Oak", "gloves on")
    assert "records already" in run("records", "restore", "saved.coach.zip", code=1)


def test_a_class_comes_in_from_a_table_and_goes_out(run: Run, tmp_path: Path) -> None:
    Path("class.csv").write_bytes("name,e-mail\nAna Müller,a@b\nJo Doe,\n".encode("cp1252"))
    assert "class.csv:2" in run("records", "roster", "class.csv", code=1)
    told = run("records", "roster", "class.csv", "--encoding", "windows-1252")
    assert "2 new learners" in told and "Columns that were not read: e-mail." in told
    assert "0 new learners, 2 already" in run(
        "records", "roster", "class.csv", "--encoding", "windows-1252"
    )
    run("records", "roster", "--to", "out.csv")
    rows = list(csv.DictReader(io.StringIO(Path("out.csv").read_bytes().decode("utf-8-sig"))))
    assert [row["name"] for row in rows] == ["Ana Müller", "Jo Doe"]
    assert "Name a file" in run("records", "roster", code=1)
    assert "cannot be read" in run("records", "roster", "gone.csv", code=1)
    Path("slip.csv").write_text("name,certificat\x1b[2J\nJo Doe,CPR\n", "utf-8")
    told = run("records", "roster", "slip.csv")
    assert "certificat" in told and "did you mean certificate?" in told and "\x1b" not in told
    Path("bad.csv").write_text("name\n=1+1\n", "utf-8")
    assert "bad.csv:2" in run("records", "roster", "bad.csv", code=1)


def test_people_are_added_renamed_and_joined(run: Run) -> None:
    run("records", "add", "Ana Silva")
    assert "--note" in run("records", "add", "ana silva", code=1)
    run("records", "add", "Ana Silva", "--note", "station 2")
    practise(run, "Ana Silva (station 2)", "gloves on")
    assert "2 people" in run("records", "rename", "Ana Silva", "Ana Souza", code=1)
    run("records", "rename", "Ana Silva (station 2)", "Ana Souza")
    run("records", "join", "Ana Souza (station 2)", "Ana Silva")
    assert [(one["learner"], one["attempts"]) for one in attempts(run)] == [("Ana Silva", 1)]
    assert "one person already" in run("records", "join", "Ana Silva", "Ana Silva", code=1)
    assert "Did you mean Ana Silva?" in run("records", "rename", "Ana Silv", "Ben", code=1)


def test_steps_are_exported_without_names_or_words(run: Run, tmp_path: Path) -> None:
    practise(run, "Ana Silva", "gloves on")
    run("records", "pseudonyms", "steps.csv")
    text = Path("steps.csv").read_text("utf-8")
    learner = RegisterFile.of(os.environ).learner_named("Ana Silva")
    assert learner is not None
    assert not any(word in text for word in ("Ana", learner, attempt_id(tmp_path), "gloves on"))
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {row["learner"] for row in rows} == {"L0001"}
    assert {row["mark"] for row in rows} >= {"done", "missed"}


def test_marks_that_come_in_are_told(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who judged at another station sees that the judgement has come along."""
    practise(run, "Ana Silva", "gloves on")
    run("records")
    run("judge", attempt_id(tmp_path), "assemble", "done", "--by", "J. Doe", "--because", "seen")
    run("records", "export", "station.coach.zip")
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "other"))
    told = run("records", "import", "station.coach.zip")
    assert "1 new learner, 1 mark set by hand." in told
    assert "set by hand" not in run("records", "import", "station.coach.zip")


def test_a_person_judges_beside_the_coach_and_both_marks_are_kept(run: Run, tmp_path: Path) -> None:
    practise(run, "Ana Silva", "gloves on")
    run("records")
    attempt = attempt_id(tmp_path)
    told = run("judge", attempt[:8], "assemble", "done", "--by", "J. Doe", "--because", "I saw it")
    assert "The coach: Not yet" in told and "By J. Doe: " in told
    run("judge", attempt, "gloves", "late", "--by", "J. Doe", "--agreed")
    with sqlite3.connect(tmp_path / "data" / "records.sqlite") as connection:
        marks = dict(
            connection.execute("SELECT step, mark || ' ' || coach_mark FROM steps").fetchall()
        )
    assert marks["assemble"] == "done missed"
    assert marks["gloves"] == "late done"
    assert marks["power"] == "missed missed"
    table = json.loads(run("class", "--json"))
    steps = len(marks)
    assert (table["agreement"]["of"], table["agreement"]["same"]) == (steps, steps - 2)
    assert "kappa" in run("class")
    run("report", attempt, "--as", "json")
    (report,) = Path().glob("*.json")
    assert json.loads(report.read_bytes())["judged_by"] == "J. Doe"


def test_an_act_that_was_misheard_is_struck_by_a_person_and_both_are_shown(
    run: Run, tmp_path: Path
) -> None:
    practise(run, "Ana Silva", "I recap the needle", skill="sharps")
    run("records")
    attempt = attempt_id(tmp_path)
    because = ("--by", "J. Doe", "--because", "he spoke of the box")
    assert "must not happen" in run("judge", attempt, "recap", "late", *because, code=1)
    told = run("judge", attempt, "recap", "missed", *because)
    assert "The coach: Not yet: putting the cap back" in told
    assert "By J. Doe: Not yet: missed your gloves" in told
    run("report", attempt, "--as", "json,html")
    (report,) = Path().glob("*.json")
    assert json.loads(report.read_text("utf-8"))["failures"] == []
    (page,) = Path().glob("*.html")
    assert "he spoke of the box" in page.read_text("utf-8")


def test_a_learners_own_word_is_a_hint_for_who_judges_and_decides_nothing(
    run: Run, tmp_path: Path
) -> None:
    practise(run, "Ana Silva", "gloves on")
    run("records")
    attempt = attempt_id(tmp_path)
    register = RegisterFile.of(os.environ)
    word = MarkSet(register.now(), attempt, "assemble", Mark.DONE, "the learner", "yes I did")
    register.add(lambda _: (word,))
    told = run("judge", attempt, "gloves", "done", "--by", "J. Doe")
    assert "The learner said of" in told and '"yes I did", so done' in told
    with sqlite3.connect(tmp_path / "data" / "records.sqlite") as connection:
        asked = "SELECT mark FROM steps WHERE step = 'assemble'"
        assert connection.execute(asked).fetchall() == [("missed",)]
    table = json.loads(run("class", "--json"))
    assert table["agreement"]["of"] == 1
    run("report", attempt, "--as", "csv")
    (report,) = Path().glob("*.csv")
    assert "done by the learner at" in report.read_text("utf-8-sig")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("judge", "{}", "gloves", "done", "--by", "the learner"), "give a name"),
        (("judge", "{}", "gloves", "done", "--by", "The  LEARNER"), "give a name"),
        (("judge", "00000000", "gloves", "done", "--by", "J. Doe"), "no attempt"),
        (("judge", "gone.jsonl", "gloves", "done", "--by", "J. Doe"), "gone.jsonl cannot be read"),
        (("judge", "{}", "gloved", "done", "--by", "J. Doe"), "gloves"),
        (("judge", "{}", "gloves", "good", "--by", "J. Doe"), "good"),
        (("judge", "{}", "--by", "J. Doe"), "--agreed"),
        (("judge", "{}", "gloves", "done", "--by", "=1+1"), "formula"),
    ],
)
def test_a_judgement_that_cannot_be_is_refused_in_words(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], message: str
) -> None:
    practise(run, "Ana Silva", "gloves on")
    run("records")
    attempt = attempt_id(tmp_path)
    assert message in run(*(one.format(attempt) for one in arguments), code=1)
    assert RegisterFile.of(os.environ).read().marks == ()


def test_wiping_asks_and_proves(run: Run, tmp_path: Path) -> None:
    practise(run, "Ana Silva", "gloves on")
    practise(run, "Ben Oak", "gloves on", "next is ana silva")
    learner = RegisterFile.of(os.environ).learner_named("Ana Silva")
    assert learner is not None
    run("records", "wipe", "Ana Silva", code=130, said="n\n")
    assert attempts(run)[0]["learner"] == "Ana Silva"
    told = run("records", "wipe", "Ana Silva", "--yes")
    assert "1 attempt and" in told and "Neither id nor name was found" in told
    assert "Ana Silva" not in run("records")
    assert "Nobody called" in run("records", "wipe", "Ana Silva", "--yes", code=1)
    Path("data/notes.txt").write_text("Ben Oak", "utf-8")
    assert "notes.txt" in run("records", "wipe", "Ben Oak", "--yes", code=1)


def test_a_wipe_takes_along_what_was_written_about_the_class_and_the_learner(run: Run) -> None:
    """Looked for in the bytes of every file that is left, not only in what the wipe says."""
    practise(run, "Ben Oak", "gloves on")
    run("class", "--to", "out/before.html")
    practise(run, "Ana Silva", "gloves on")
    for target in ("out/class.html", "out/class.csv", "out/changed.html"):
        run("class", "--to", target)
    run("records", "roster", "--to", "out/roster.csv")
    for name in ("Ana", "Ben"):
        learner = "Ana Silva" if name == "Ana" else "Ben Oak"
        run("calendar", "--learner", learner, "--to", f"out/{name}.ics")
    Path("out/changed.html").write_bytes(b"Ana Silva, by hand")
    named = {path.name for path in Path("out").iterdir() if b"Ana Silva" in path.read_bytes()}
    assert named == {"class.html", "class.csv", "changed.html", "roster.csv", "Ana.ics"}
    told = run("records", "wipe", "Ana Silva", "--yes")
    assert "4 files that named them deleted." in told
    assert {path.name for path in Path("out").iterdir()} == {
        "before.html",
        "Ben.ics",
        "changed.html",
    }
    register = Path("data/register.jsonl").read_text("utf-8")
    assert "before.html" in register and "class.html" not in register


def test_the_class_is_shown_as_text_page_and_table(run: Run) -> None:
    practise(run, "Ana <b>Silva</b>", "gloves on")
    practise(run, "محمد علي", "gloves on", way="led")
    run("records", "add", "Zoë")
    text = run("class")
    assert "A class of 3" in text and "never for patient care" in text
    assert "missed 1 of 1 (21 to 100 %)" in text
    run("class", "--to", "class.html")
    page = Path("class.html").read_text("utf-8")
    assert "<b>Silva" not in page and "Ana &lt;b&gt;Silva" in page
    assert "http" not in page and "<script" not in page and "never for patient care" in page
    assert "<bdi>محمد علي</bdi>" in page
    run("class", "--to", "class.csv", "--skill", "suction")
    rows = list(csv.DictReader(io.StringIO(Path("class.csv").read_bytes().decode("utf-8-sig"))))
    assert tuple(rows[0]) == COLUMNS
    assert [row["state"] for row in rows] == ["not-yet", "never", "not-yet"]
    assert "ends in neither" in run("class", "--to", "class.txt", code=1)
    assert "suction" in run("class", "--skill", "sucktion", code=1)


def test_a_learner_who_is_new_is_told_of_with_who_may_be_meant(run: Run) -> None:
    """A slip of the pen would part one person's attempts in silence."""
    told = {
        name: run("practice", "suction", "--typed", "--learner", name, said="stop\nyes\n")
        for name in ("Ana Silva", "ana silva", "Ana Sliva")
    }
    assert "Ana Silva is new in the register.\n" in told["Ana Silva"]
    assert "new in" not in told["ana silva"]
    assert 'If Ana Silva is meant: coach records join "Ana Sliva" "Ana' in told["Ana Sliva"]
