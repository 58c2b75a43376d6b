"""The disk is full amid a session: it is said aloud, and nothing that was recorded is lost."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

import pytest
from bench_skill import bench_skill
from disk import full_disk
from fakes import FakeEar, FakeObserver, FakeVoice

from coach.app.drilling import Drill, journalled
from coach.app.not_recorded import NOT_RECORDED
from coach.app.practice import practise
from coach.app.request import Request
from coach.app.senses import Senses
from coach.dialogue.events import Heard
from coach.drill.student import student_acts
from coach.edges.journal_file import NotRecordedError, read_journal
from coach.edges.settings import Settings
from coach.edges.skill_files import load_skill
from coach.report.attempt import Way
from coach.session.ports import EarEvent

FILLS = "from here on the disk is full"


class FillingEar(FakeEar):
    """An ear beside which the disk runs full."""

    def __init__(self, stack: ExitStack, data: Path, *words: str) -> None:
        super().__init__(*words)
        self._stack, self._data = stack, data

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next words; at FILLS no journal takes more than a few bytes any more."""
        if self._events and self._events[0] == FILLS:
            self._events.popleft()
            (journal,) = (self._data / "sessions").glob("*.journal.jsonl")
            self._stack.enter_context(full_disk(journal.stat().st_size + 20))
        return super().next(timeout_s)


class BusyVoice(FakeVoice):
    """Takes a few looks to say a line; what is dropped was not heard."""

    def __init__(self) -> None:
        super().__init__()
        self.heard: list[str] = []
        self._looks = 0

    def busy(self) -> bool:
        """At the third look a line is said."""
        self._looks += 1
        if self._looks % 3 == 0:
            self.heard = list(self.lines)
        return self._looks % 3 != 0


def heard_in(path: Path) -> list[str]:
    contents = read_journal(path)
    assert contents.problems == () and not contents.torn
    return [event.meaning.text for event in contents.events if isinstance(event, Heard)]


def test_it_is_said_and_the_session_goes_on_once_there_is_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    voice, observer = BusyVoice(), FakeObserver()
    request = Request(bench_skill(), Settings(), {}, way=Way.LED)
    with ExitStack() as stack:
        ear = FillingEar(stack, tmp_path, "I'm ready", "the gloves are on", FILLS, "seal is good")
        with pytest.raises(NotRecordedError, match="COACH_DATA"):
            practise(request, Senses(ear, voice, skips=True), observer)
    assert voice.heard[-1] == NOT_RECORDED and voice.cuts > 0
    (path,) = (tmp_path / "sessions").glob("*.journal.jsonl")
    before = heard_in(path)
    assert before[:1] == ["i'm ready"] and "seal is good" not in before
    again = FakeEar("yes", "seal is good")
    practise(request, Senses(again, FakeVoice(), skips=True), observer)
    assert heard_in(path)[: len(before)] == before
    assert "seal is good" in heard_in(path)


def test_a_drill_with_a_student_says_it_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    skill_file, voice = load_skill("gloves"), BusyVoice()
    skill = skill_file.chosen({})
    drill = Drill(skill, student_acts(skill, 7, 2), 7, 2)
    with ExitStack() as stack, pytest.raises(NotRecordedError):
        ear = FillingEar(stack, tmp_path, "that is wrong", FILLS, "you forgot the bin")
        senses = Senses(ear, voice, skips=True)
        journalled(drill, skill_file, senses, FakeObserver(), {"COACH_DATA": str(tmp_path)})
    assert voice.heard[-1] == NOT_RECORDED
    (path,) = (tmp_path / "sessions").glob("*.journal.jsonl")
    assert read_journal(path).problems == () and len(read_journal(path).drilled) > 2
