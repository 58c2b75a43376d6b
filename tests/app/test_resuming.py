"""The offer to go on with a session that was broken off, and what becomes of its record."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bench_session import Run
from bench_skill import bench_skill
from fakes import FakeEar, FakeObserver, FakeVoice

from coach.app.resuming import MOST_ASKED, Answer, Earlier, earlier_session, offer, replayed
from coach.core.meaning import YES_NO
from coach.dialogue.events import InputEnded, SessionStarted
from coach.dialogue.state import Mode
from coach.edges.journal_file import JournalFile, read_journal
from coach.hearing.hypothesis import Hypothesis
from coach.session.ports import (
    EarClosed,
    EarEvent,
    EarReported,
    KeyHit,
    SpeechBegan,
    TextHeard,
)

STARTED = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)


def recorded(folder: Path, *words: EarEvent | str | float, second: int = 0) -> Path:
    """The journal of a bench session that broke off after these words."""
    events = [e for e in Run(*words).journal.events if not isinstance(e, InputEnded)]
    with JournalFile.create(folder, "bench", STARTED.replace(second=second), "1") as journal:
        for event in events:
            journal.append(event)
        return journal.path


def found(
    folder: Path, observer: FakeObserver | None = None, learner: str = "", way: str = "led"
) -> Earlier | None:
    first = SessionStarted(0.0, "bench", learner=learner, way=way)
    earlier = earlier_session(folder, bench_skill(), observer or FakeObserver(), first)
    if earlier is not None:
        earlier.journal.close()
    return earlier


@pytest.fixture
def earlier(tmp_path: Path) -> Earlier:
    """A session that broke off after one step."""
    recorded(tmp_path, "my gloves are on")
    session = found(tmp_path)
    assert session is not None
    return session


class PatientEar(FakeEar):
    """Hears nothing, for ever, when the given events are over."""

    def next(self, timeout_s: float) -> EarEvent | None:
        event = super().next(timeout_s)
        return None if isinstance(event, EarClosed) else event


def asked(
    earlier: Earlier, *words: EarEvent | str | float
) -> tuple[Answer, EarEvent | None, list[str]]:
    voice, observer = FakeVoice(), FakeObserver()
    answer, rest = offer(earlier, PatientEar(*words), voice, observer)
    assert ("listening", (None, YES_NO)) in observer.log
    assert [text for name, text in observer.log if name == "said"] == voice.lines
    return answer, rest, voice.lines


def test_a_session_in_which_something_was_done_is_found(earlier: Earlier) -> None:
    assert earlier.state.done == {"gloves"}


@pytest.mark.parametrize(
    "words",
    [
        ["I'm ready"],
        ["my gloves are on", "this is real"],
        ["my gloves are on", "stop", "yes"],
        ["my gloves are on", "undo"],
    ],
    ids=["nothing done", "silenced", "ended by word", "all taken back"],
)
def test_what_is_over_or_empty_is_not_offered(words: list[str], tmp_path: Path) -> None:
    recorded(tmp_path, *words)
    observer = FakeObserver()
    assert found(tmp_path, observer) is None
    assert observer.log == []


def test_a_folder_that_is_not_there_holds_no_session(tmp_path: Path) -> None:
    assert found(tmp_path / "none") is None


def test_a_damaged_record_is_noted_and_left_as_it_is(tmp_path: Path) -> None:
    path = recorded(tmp_path, "my gloves are on")
    damaged = path.read_bytes().replace(b"gloves", b"globes", 1)
    path.write_bytes(damaged)
    observer = FakeObserver()
    assert found(tmp_path, observer) is None
    [(name, data)] = observer.log
    assert name == "earlier-session-unreadable"
    assert str(path) in data["message"]
    assert path.read_bytes() == damaged


def test_a_record_that_cannot_be_opened_is_noted_and_keeps_nobody_from_practising(
    tmp_path: Path,
) -> None:
    recorded(tmp_path, "my gloves are on").rename(tmp_path / "kept")
    (tmp_path / "2026-03-04T05-06-07-bench.journal.jsonl").mkdir()
    observer = FakeObserver()
    assert found(tmp_path, observer) is None
    assert [name for name, _ in observer.log] == ["earlier-session-unreadable"]


def test_a_record_that_no_longer_fits_the_skill_is_noted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = recorded(tmp_path, "my gloves are on")
    monkeypatch.setattr("coach.app.resuming.replayed", lambda *_: None)
    observer = FakeObserver()
    assert found(tmp_path, observer) is None
    [(name, data)] = observer.log
    assert name == "earlier-session-unreadable"
    assert f"{path} does not fit this skill any more" in data["message"]
    with JournalFile.resume(path)[0]:
        """Its lock was given back."""


def test_a_replay_of_a_choice_that_the_skill_has_no_more_comes_to_nothing() -> None:
    started, *rest = Run("my gloves are on").journal.events
    assert isinstance(started, SessionStarted)
    strange = replace(started, choices={"device": "snorkel"})
    assert replayed(bench_skill(), (strange, *rest)) is None
    same = replayed(bench_skill(), (started, *rest))
    assert same is not None and same.done == {"gloves"}
    assert replayed(bench_skill(), (started, started)) is None


def test_a_half_written_line_is_told_and_the_rest_offered(tmp_path: Path) -> None:
    path = recorded(tmp_path, "my gloves are on")
    path.write_bytes(path.read_bytes() + b'{"v":1')
    observer = FakeObserver()
    assert found(tmp_path, observer) is not None
    assert observer.log == [("torn-line-dropped", {"file": str(path)})]
    assert not read_journal(path).torn


@pytest.mark.parametrize("words", ["go on", "yes", "okay", "continue", KeyHit("yes")])
def test_going_on(words: EarEvent | str, earlier: Earlier) -> None:
    answer, rest, lines = asked(earlier, words)
    assert (answer, rest) == (Answer.GO_ON, None)
    assert "after one step" in lines[0]


@pytest.mark.parametrize("words", ["no", "start anew", "start over", "restart", KeyHit("next")])
def test_a_no_begins_anew_and_is_not_heard_again(words: EarEvent | str, earlier: Earlier) -> None:
    assert asked(earlier, words)[:2] == (Answer.ANEW, None)


@pytest.mark.parametrize("words", ["I'm ready", "begin", "the washer is whole", "what's left"])
def test_what_begins_a_session_begins_anew_and_is_heard_in_it(words: str, earlier: Earlier) -> None:
    answer, rest, _ = asked(earlier, words)
    assert answer is Answer.ANEW
    assert isinstance(rest, TextHeard) and rest.hypothesis.text == words


@pytest.mark.parametrize("words", ["stop", "this is real"])
def test_a_stop_is_heard_in_the_new_session_and_ends_nothing_of_the_old(
    words: str, earlier: Earlier
) -> None:
    answer, rest, _ = asked(earlier, words)
    assert answer is Answer.NONE
    assert isinstance(rest, TextHeard) and rest.hypothesis.text == words


@pytest.mark.parametrize(
    "words", ["the purple elephant", "say that again", "help", KeyHit("repeat")]
)
def test_what_decides_nothing_is_asked_again(words: EarEvent | str, earlier: Earlier) -> None:
    answer, rest, lines = asked(earlier, words, "go on")
    assert (answer, rest) == (Answer.GO_ON, None)
    assert len(lines) == 2 and lines[0] == lines[1]


def test_noise_never_gives_an_earlier_session_up(earlier: Earlier) -> None:
    answer, rest, lines = asked(earlier, *["the purple elephant"] * (MOST_ASKED + 1))
    assert (answer, rest) == (Answer.NONE, None)
    assert len(lines) == MOST_ASKED


@pytest.mark.parametrize("words", ["start anew", "no", "yes", "restart"])
def test_words_that_were_hardly_heard_decide_nothing(words: str, earlier: Earlier) -> None:
    faint = TextHeard(Hypothesis(words, 0.1))
    answer, _, lines = asked(earlier, faint, "go on")
    assert answer is Answer.GO_ON
    assert len(lines) == 2


def test_a_microphone_that_goes_is_told_of_while_the_offer_stands(earlier: Earlier) -> None:
    _, _, lines = asked(earlier, EarReported("The microphone is gone."), "go on")
    assert lines[1] == "The microphone is gone."


def test_sounds_without_words_are_passed_over(earlier: Earlier) -> None:
    nothing = TextHeard(Hypothesis("", 0.0))
    answer, _, lines = asked(earlier, SpeechBegan(), nothing, 2.5, "go on")
    assert (answer, len(lines)) == (Answer.GO_ON, 1)


def test_without_an_answer_a_new_session_begins_and_the_end_of_the_input_is_passed_on(
    earlier: Earlier,
) -> None:
    assert asked(earlier)[:2] == (Answer.NONE, None)
    closed = offer(earlier, FakeEar(), FakeVoice(), FakeObserver())
    assert closed == (Answer.NONE, EarClosed())


def test_patience_counts_from_the_end_of_the_line(earlier: Earlier) -> None:
    class Slow(FakeVoice):
        looks = 0

        def busy(self) -> bool:
            self.looks += 1
            return self.looks < 1_000

    voice = Slow()
    assert offer(earlier, PatientEar(), voice, FakeObserver())[0] is Answer.NONE
    assert voice.looks > 1_000


def test_the_mode_of_a_session_gone_on_with_is_as_it_was(tmp_path: Path) -> None:
    recorded(tmp_path, "my gloves are on", "wait")
    session = found(tmp_path)
    assert session is not None and session.state.mode is Mode.PAUSED


def test_nobody_is_offered_what_another_began(tmp_path: Path) -> None:
    """Neither another learner's session nor one in another way; the journal stays as it is."""
    path = recorded(tmp_path, "my gloves are on")
    before = path.read_bytes()
    assert found(tmp_path, learner="b" * 32) is None
    assert found(tmp_path, way="assessed") is None
    assert path.read_bytes() == before
    assert found(tmp_path) is not None
