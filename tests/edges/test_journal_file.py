"""What was acknowledged stays; what is torn, damaged or missing is said and never passed over."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from disk import full_disk

from coach.core.errors import InputError, MissingError
from coach.core.meaning import Meaning
from coach.dialogue.events import Event, Heard, SessionResumed, SessionStarted, TimerFired
from coach.edges import journal_file
from coach.edges.folders import sessions_folder, user_data_folder
from coach.edges.journal_file import JournalFile, NotRecordedError, read_journal, unfinished
from coach.session.journal_lines import JournalClosed, JournalOpened, encode

EVENING = datetime(2026, 3, 4, 21, 40, 3, tzinfo=UTC)
EVENTS: tuple[Event, ...] = (
    SessionStarted(0.0, "oral-airway"),
    Heard(3.5, Meaning("gloves on")),
    TimerFired(25.0, "nudge"),
)


def kept(folder: Path, *events: Event, skill: str = "oral-airway", at: datetime = EVENING) -> Path:
    """The path of a journal with these events, left unfinished."""
    with JournalFile.create(folder, skill, at, "0.1.0") as journal:
        for event in events:
            journal.append(event)
    return journal.path


def test_events_are_kept_in_order_under_a_header(tmp_path: Path) -> None:
    path = kept(tmp_path / "new" / "sessions", *EVENTS)
    contents = read_journal(path)
    assert contents.header == JournalOpened("oral-airway", "2026-03-04T21:40:03+00:00", "0.1.0")
    assert contents.events == EVENTS
    assert (contents.closed, contents.torn, contents.problems) == (None, False, ())
    assert contents.refusal == ""


def test_the_name_tells_when_and_what(tmp_path: Path) -> None:
    assert kept(tmp_path).name == "2026-03-04T21-40-03-oral-airway.journal.jsonl"
    odd = kept(tmp_path, skill="../Our Skill: new/one")
    assert odd.parent == tmp_path
    assert odd.name == "2026-03-04T21-40-03-our-skill-new-one.journal.jsonl"


def test_every_line_is_json_any_program_can_read(tmp_path: Path) -> None:
    lines = kept(tmp_path, *EVENTS).read_text("ascii").splitlines()
    data = [json.loads(line) for line in lines]
    assert [line["n"] for line in data] == [0, 1, 2, 3]
    assert data[2]["meaning"]["text"] == "gloves on"


def test_append_returns_only_after_the_line_is_flushed_to_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[bytes] = []
    real = os.fsync

    def watched(handle: int) -> None:
        real(handle)
        if os.fstat(handle).st_ino == journal.path.stat().st_ino:
            synced.append(journal.path.read_bytes())

    with JournalFile.create(tmp_path, "oral-airway", EVENING, "0.1.0") as journal:
        monkeypatch.setattr(os, "fsync", watched)
        for sequence, event in enumerate(EVENTS, start=1):
            journal.append(event)
            assert len(synced) == sequence
            assert synced[-1].endswith(f"{encode(event, sequence)}\n".encode())


def test_a_new_session_of_the_same_second_gets_a_file_of_its_own(tmp_path: Path) -> None:
    with JournalFile.create(tmp_path, "suction", EVENING, "1") as first:
        second = kept(tmp_path, *EVENTS, skill="suction")
        first.append(SessionResumed(1.0))
    assert second != first.path
    assert read_journal(first.path).events == (SessionResumed(1.0),)
    assert read_journal(second).events == EVENTS


def test_a_session_goes_on_where_it_broke_off(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS)
    journal, contents = JournalFile.resume(path)
    with journal:
        journal.append(SessionResumed(30.0))
    assert contents.events == EVENTS
    after = read_journal(path)
    assert after.events == (*EVENTS, SessionResumed(30.0))
    assert after.problems == ()


LAST_LINE_BYTES = len(encode(EVENTS[-1], len(EVENTS)))


@pytest.mark.parametrize("left", [*range(1, LAST_LINE_BYTES, 7), LAST_LINE_BYTES - 1])
def test_a_torn_last_line_is_dropped_said_and_kept_aside(tmp_path: Path, left: int) -> None:
    path = kept(tmp_path, *EVENTS)
    whole = path.read_bytes()
    line = f"{encode(EVENTS[-1], len(EVENTS))}\n".encode()
    start = len(whole) - len(line)
    path.write_bytes(whole[: start + left])
    contents = read_journal(path)
    assert contents.torn
    assert contents.events == EVENTS[:-1]
    assert contents.problems == ()
    assert path.read_bytes() == whole[: start + left]

    journal, resumed = JournalFile.resume(path)
    with journal:
        journal.append(SessionResumed(30.0))
    assert resumed.torn
    assert not read_journal(path).torn
    assert read_journal(path).events == (*EVENTS[:-1], SessionResumed(30.0))
    aside = path.with_name(path.name + ".torn")
    assert aside.read_bytes() == line[:left] + b"\n"


def test_a_last_line_that_lacks_only_its_break_is_whole(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS)
    path.write_bytes(path.read_bytes()[:-1])
    assert read_journal(path).events == EVENTS
    assert not read_journal(path).torn
    journal, _ = JournalFile.resume(path)
    with journal:
        journal.append(SessionResumed(30.0))
    assert read_journal(path).events == (*EVENTS, SessionResumed(30.0))


def test_zeros_that_a_power_cut_leaves_at_the_end_are_a_torn_line(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS)
    sound = path.read_bytes()
    for end in (b"\0" * 50, b"\0" * 50 + b"\n"):
        path.write_bytes(sound + end)
        contents = read_journal(path)
        assert contents.torn
        assert contents.events == EVENTS
        assert contents.problems == ()


Damage = Callable[[list[bytes]], list[bytes]]


def changed(lines: list[bytes]) -> list[bytes]:
    return [*lines[:2], lines[2].replace(b"gloves on", b"gloves no"), *lines[3:]]


@pytest.mark.parametrize(
    ("damage", "line", "message"),
    [
        (changed, 3, "checksum does not fit"),
        (lambda lines: [*lines[:2], b"\xff\xfe", *lines[3:]], 3, "not text"),
        (lambda lines: [*lines[:2], b"", *lines[2:]], 3, "not whole"),
        (lambda lines: [*lines[:2], lines[2][:20], *lines[3:]], 3, "not whole"),
        (lambda lines: [*lines[:2], *lines[3:]], 3, "Line 2 belongs here, not line 3."),
        (lambda lines: [*lines[:3], *lines[2:]], 4, "Line 3 belongs here, not line 2."),
        (lambda lines: lines[1:], 1, "Line 0 belongs here, not line 1."),
        (lambda lines: [b"rubbish", *lines[1:]], 1, "not whole"),
        (lambda lines: [*lines[:3], b"{}"], 4, "no checksum"),
        (lambda lines: [*lines, lines[0].replace(b'"v":1', b'"v":2')], 5, "newer version"),
        (lambda lines: [*lines, encode(JournalOpened("s", "t", "p"), 4).encode()], 5, "first line"),
        (
            lambda lines: [
                *lines,
                encode(JournalClosed("t"), 4).encode(),
                encode(SessionResumed(1.0), 5).encode(),
            ],
            6,
            "ended before this line",
        ),
    ],
)
def test_a_damaged_session_is_told_by_line_and_left_as_it_is(
    tmp_path: Path, damage: Damage, line: int, message: str
) -> None:
    path = kept(tmp_path, *EVENTS)
    harmed = b"".join(part + b"\n" for part in damage(path.read_bytes().splitlines()))
    path.write_bytes(harmed)
    contents = read_journal(path)
    assert [problem.line for problem in contents.problems][:1] == [line]
    assert message in contents.problems[0].message
    assert contents.problems[0].file == str(path)
    assert contents.events == EVENTS[: max(0, line - 2)]
    assert not contents.torn
    with pytest.raises(InputError, match="cannot be gone on with") as caught:
        JournalFile.resume(path)
    assert f"{path}:{line}:" in str(caught.value)
    assert path.read_bytes() == harmed


def test_every_damaged_line_is_told(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS, *EVENTS)
    lines = path.read_bytes().splitlines()
    lines[2] = lines[5] = b"?"
    path.write_bytes(b"\n".join(lines) + b"\n")
    assert [problem.line for problem in read_journal(path).problems] == [3, 6]


def test_an_ended_session_is_not_gone_on_with(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS)
    journal, _ = JournalFile.resume(path)
    journal.finish(EVENING + timedelta(minutes=9))
    contents = read_journal(path)
    assert contents.closed == JournalClosed("2026-03-04T21:49:03+00:00")
    assert contents.events == EVENTS
    with pytest.raises(InputError, match="has ended"):
        JournalFile.resume(path)


def test_a_journal_in_use_is_not_written_by_another(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS)
    first, _ = JournalFile.resume(path)
    with pytest.raises(InputError, match="in use"):
        JournalFile.resume(path)
    assert unfinished(tmp_path, "oral-airway") is None
    first.close()
    assert unfinished(tmp_path, "oral-airway") == path
    second, _ = JournalFile.resume(path)
    second.close()


def test_the_newest_unfinished_session_of_the_skill_is_found(tmp_path: Path) -> None:
    assert unfinished(tmp_path / "nowhere", "suction") is None
    days = [EVENING + timedelta(days=day) for day in range(6)]
    kept(tmp_path, *EVENTS, skill="suction", at=days[0])
    newest = kept(tmp_path, *EVENTS, skill="suction", at=days[1])
    ended = kept(tmp_path, *EVENTS, skill="suction", at=days[2])
    JournalFile.resume(ended)[0].finish(days[2])
    kept(tmp_path, *EVENTS, skill="oral-airway", at=days[3])
    kept(tmp_path, *EVENTS, skill="suction-child", at=days[4])
    assert unfinished(tmp_path, "suction") == newest
    assert unfinished(tmp_path, "nasal-airway") is None

    empty = kept(tmp_path, skill="suction", at=days[5])
    empty.write_bytes(empty.read_bytes()[:30])
    assert unfinished(tmp_path, "suction") == newest


def test_of_one_second_the_later_session_is_the_newest(tmp_path: Path) -> None:
    paths = [kept(tmp_path, *EVENTS, skill="suction") for _ in range(11)]
    assert unfinished(tmp_path, "suction") == paths[-1]


def test_a_damaged_session_is_found_so_that_it_is_told(tmp_path: Path) -> None:
    path = kept(tmp_path, *EVENTS, skill="suction")
    path.write_bytes(b"?" + path.read_bytes())
    assert unfinished(tmp_path, "suction") == path
    assert read_journal(path).problems


def test_a_session_with_a_long_last_line_is_not_taken_for_ended(tmp_path: Path) -> None:
    path = kept(tmp_path, Heard(1.0, Meaning("word " * 10_000)))
    assert unfinished(tmp_path, "oral-airway") == path


def test_a_full_disk_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    """The limit of the file size makes a real write fail half-way, as a full disk does."""
    with JournalFile.create(tmp_path, "oral-airway", EVENING, "0.1.0") as journal:
        journal.append(EVENTS[0])
        before = journal.path.read_bytes()
        with (
            full_disk(len(before) + 10),
            pytest.raises(NotRecordedError, match="COACH_DATA") as caught,
        ):
            journal.append(EVENTS[1])
        assert str(journal.path) in str(caught.value)
        assert journal.path.read_bytes() == before
        journal.append(EVENTS[1])
    assert read_journal(journal.path).events == EVENTS[:2]


def test_a_failed_write_that_cannot_be_cut_off_at_once_is_cut_off_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise OSError(5, "Input/output error")

    with JournalFile.create(tmp_path, "oral-airway", EVENING, "0.1.0") as journal:
        journal.append(EVENTS[0])
        with monkeypatch.context() as trouble:
            trouble.setattr(journal_file, "_flush", broken)
            trouble.setattr(JournalFile, "_cut_back", lambda self: None)
            with pytest.raises(MissingError, match="Input/output error"):
                journal.append(EVENTS[2])
        journal.append(EVENTS[1])
    assert read_journal(journal.path).events == EVENTS[:2]
    assert read_journal(journal.path).problems == ()


def test_a_folder_that_cannot_be_written_is_named_with_its_variable(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    folder = sessions_folder({"COACH_DATA": str(tmp_path / "file")})
    with pytest.raises(InputError, match="COACH_DATA") as caught:
        JournalFile.create(folder, "oral-airway", EVENING, "0.1.0")
    assert str(folder) in str(caught.value)
    assert caught.value.exit_code == 1


def test_a_session_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="nothing-here"):
        read_journal(tmp_path / "nothing-here")


def test_the_data_folder_is_where_it_was_told(tmp_path: Path) -> None:
    assert user_data_folder({"COACH_DATA": str(tmp_path)}) == tmp_path
    assert sessions_folder({"COACH_DATA": str(tmp_path)}) == tmp_path / "sessions"
    assert user_data_folder({"COACH_DATA": ""}).name == "hands-free-skill-coach"
    assert user_data_folder({"COACH_DATA": "~"}) == Path.home()
