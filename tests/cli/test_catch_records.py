"""A drill with a student who makes mistakes is kept as it happens, and shown in plain words."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from coach.app.practice import practise_typed
from coach.app.request import Request
from coach.cli.main import main
from coach.cli.observers import JsonObserver
from coach.edges.journal_file import JournalFile
from coach.edges.settings import Settings
from coach.edges.skill_files import load_skill
from coach.records.student_drill_journals import student_drill_of
from coach.records.student_drills import StudentDrill, drill_words
from coach.session.journal_contents import scan
from coach.session.student_events import StudentActed, StudentDrillOver, StudentEvent, WatcherSpoke


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    return tmp_path


def catch(monkeypatch: pytest.MonkeyPatch, words: str, *more: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(words))
    assert main(["catch", "oral-airway", "--typed", "--seed", "3", *more]) == 0


def drill_in(data: Path) -> tuple[StudentDrill, tuple[StudentEvent, ...]]:
    (path,) = (data / "sessions").glob("*.journal.jsonl")
    contents = scan(path.name, path.read_bytes())
    drill = student_drill_of(contents)
    assert drill is not None and contents.closed is not None and not contents.problems
    return drill, contents.drilled


def test_what_was_played_said_caught_and_missed_is_journalled(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    catch(monkeypatch, "\n\nstop, that is wrong\n" + "\n" * 30, "--learner", "J. Doe", "--json")
    told = json.loads(capsys.readouterr().out.splitlines()[-1])
    drill, events = drill_in(data)
    assert (drill.skill, drill.seed, drill.mistakes, drill.whole) == ("oral-airway", 3, 3, True)
    assert list(drill.caught) == [one["says"] for one in told["caught"]]
    assert list(drill.missed) == [one["says"] for one in told["missed"]]
    assert [event.text for event in events if isinstance(event, WatcherSpoke)] == [
        "stop, that is wrong"
    ]
    shown = [m.says for event in events if isinstance(event, StudentActed) for m in event.shows]
    assert sorted(shown) == sorted([*drill.caught, *drill.missed])
    assert not any(b"Doe" in path.read_bytes() for path in (data / "sessions").iterdir())


class PowerGoneError(Exception):
    """The power went."""


def test_a_drill_that_broke_off_keeps_what_happened(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it comes to is then worked out from what was said, as it would have been told."""
    written: list[object] = []
    whole = JournalFile.append

    def append(self: JournalFile, event: StudentEvent) -> None:
        if isinstance(event, StudentDrillOver):
            raise PowerGoneError
        written.append(event)
        whole(self, event)

    monkeypatch.setattr(JournalFile, "append", append)
    with pytest.raises(PowerGoneError):
        catch(monkeypatch, "stop, that is wrong\n" * 30)
    (path,) = (data / "sessions").glob("*.journal.jsonl")
    contents = scan(path.name, path.read_bytes())
    assert list(contents.drilled) == written and contents.closed is None
    drill = student_drill_of(contents)
    assert drill is not None and not drill.whole
    assert (len(drill.caught), drill.missed) == (3, ())
    assert "broken off" in drill_words(drill)


def test_the_learners_page_tells_it_and_counts_no_time_practised(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    catch(monkeypatch, "\n" * 30, "--learner", "J. Doe")
    capsys.readouterr()
    for remake in (False, True):
        if remake:
            assert main(["records", "rebuild"]) == 0
        capsys.readouterr()
        assert main(["learner", "J. Doe"]) == 0
        page = capsys.readouterr().out
        assert "Watched a student with mistakes: 1 drill" in page
        assert "caught 0 of 3 mistakes, missed: " in page and "(seed 3)" in page
        assert main(["learner", "J. Doe", "--json"]) == 0
        fields = json.loads(capsys.readouterr().out)
        assert (fields["seconds_practised"], fields["skills"]) == (0, [])
        assert [one["seed"] for one in fields["watched"]] == [3]


def test_a_drill_is_no_attempt_and_no_session_to_go_on_with(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    catch(monkeypatch, "\n" * 30)
    (path,) = (data / "sessions").glob("*.journal.jsonl")
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-1]))
    practise_typed(
        Request(load_skill("oral-airway"), Settings(), {}),
        io.StringIO("stop\nyes\n"),
        JsonObserver(),
    )
    assert "earlier-session-unreadable" not in capsys.readouterr().out
    assert main(["report", str(path), "--as", "json"]) == 1
    assert "no attempt" in capsys.readouterr().err


def test_who_is_wiped_takes_his_drills_along(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    catch(monkeypatch, "Jane stop\n" * 30, "--learner", "Jane Roe")
    assert main(["records"]) == 0
    assert main(["records", "wipe", "Jane Roe", "--yes"]) == 0
    assert not list((data / "sessions").glob("*.journal.jsonl"))


def test_a_drill_comes_in_with_a_stations_records_once(
    data: Path,
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    catch(monkeypatch, "\n" * 30, "--learner", "J. Doe")
    bundle = tmp_path_factory.mktemp("carried") / "one.coach.zip"
    assert main(["records", "export", str(bundle)]) == 0
    monkeypatch.setenv("COACH_DATA", str(tmp_path_factory.mktemp("other")))
    for _ in range(2):
        assert main(["records", "import", str(bundle)]) == 0
    capsys.readouterr()
    assert main(["learner", "J. Doe"]) == 0
    assert "Watched a student with mistakes: 1 drill" in capsys.readouterr().out
