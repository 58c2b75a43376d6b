"""A practice in sound put together: what was opened is closed when something later is missing."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from bench_skill import bench_skill
from fakes import FakeObserver

from coach.app import sound
from coach.app.request import Request
from coach.core.errors import MissingError
from coach.edges.loudspeaker import VirtualSpeaker
from coach.edges.second_pass import SecondPass
from coach.edges.settings import Settings
from coach.edges.spoken_voice import SpokenVoice


class Synthesiser:
    """Renders a tenth of a second of silence; keeps the rates it was asked for."""

    def __init__(self) -> None:
        self.rates: list[float] = []
        self.closed = 0

    def voice(self) -> str:
        return "any"

    def render(self, text: str, rate: float = 1.0) -> tuple[Any, int]:
        self.rates.append(rate)
        return np.zeros(1_600, dtype=np.float32), 16_000

    def close(self) -> None:
        self.closed += 1


@pytest.fixture
def synthesiser(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Synthesiser:
    """Stands in for the system's voice; there is no loudspeaker and no model."""
    made = Synthesiser()
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    monkeypatch.setattr(sound, "SystemSynthesiser", lambda *_: made)
    monkeypatch.setattr(sound, "open_ears", lambda *_: None)
    monkeypatch.setattr(sound, "VoiceActivity", lambda: None)
    monkeypatch.setattr(sound, "Loudspeaker", lambda _wanted, kept: VirtualSpeaker(kept))
    return made


def speaking() -> list[str]:
    return [thread.name for thread in threading.enumerate() if "lines" in thread.name]


def missing(message: str) -> Any:
    def fail(*_: object) -> None:
        raise MissingError(message)

    return fail


def request() -> Request:
    return Request(bench_skill(), Settings(rate=1.25), {})


def test_a_microphone_that_is_missing_leaves_nothing_open(
    synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sound, "Microphone", missing("There is no microphone."))
    before = speaking()
    with pytest.raises(MissingError, match="no microphone"):
        sound.practise_aloud(request(), FakeObserver(), None, tmp_path / "kept.wav")
    assert speaking() == before
    assert synthesiser.closed == 1
    assert (tmp_path / "kept.wav").stat().st_size > 0
    assert not (tmp_path / "sessions").exists(), "nothing was recorded"


def test_a_model_that_is_missing_is_told_before_any_device_is_opened(
    synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound, "VoiceActivity", missing("The program is not whole."))
    monkeypatch.setattr(sound, "Microphone", missing("it was opened"))
    with pytest.raises(MissingError, match="not whole"):
        sound.practise_aloud(request(), FakeObserver(), None, None)
    assert synthesiser.closed == 0, "it was never made"


@pytest.mark.parametrize("wanted", [None, "usb"])
def test_a_live_session_needs_a_loudspeaker(
    wanted: str | None, synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound, "Loudspeaker", missing("There is no loudspeaker."))
    live = Request(bench_skill(), Settings(loudspeaker=wanted), {})
    with pytest.raises(MissingError, match="no loudspeaker"):
        sound.practise_aloud(live, FakeObserver(), None, None)
    assert synthesiser.closed == 1


def test_a_script_needs_a_loudspeaker_only_where_one_was_asked_for(
    synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound, "Loudspeaker", missing("There is no loudspeaker."))
    monkeypatch.setattr(sound, "practise_script", lambda *_: "played")
    script: Any = None
    sound.practise_script_aloud(bench_skill(), script, FakeObserver(), None, Settings())
    with pytest.raises(MissingError, match="no loudspeaker"):
        sound.practise_script_aloud(
            bench_skill(), script, FakeObserver(), None, Settings(loudspeaker="usb")
        )


def test_a_scripted_learner_in_sound_hears_the_coach_at_the_users_rate(
    synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[SpokenVoice] = []

    def practised(*arguments: Any) -> str:
        voice = arguments[3]
        given.append(voice)
        voice.say("a line")
        for _ in range(500):
            if not voice.busy():
                break
            time.sleep(0.01)
        return "played"

    monkeypatch.setattr(sound, "practise_script", practised)
    script: Any = None
    played = sound.practise_script_aloud(
        bench_skill(), script, FakeObserver(), None, Settings(rate=1.25)
    )
    assert played == "played"  # type: ignore[comparison-overlap]  # what the stand-in gave
    assert synthesiser.rates == [1.25]
    assert synthesiser.closed == 1


class Deaf:
    """A first ear."""

    name = "own"


@pytest.mark.parametrize("why", [None, "The second ear is damaged."])
def test_a_second_ear_that_is_missing_is_told_once_and_after_the_session(
    why: str | None, synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    ears = SecondPass(Deaf(), frozenset(), missing("no"))  # type: ignore[arg-type]  # never hears
    ears.trouble = why
    asked: list[tuple[object, ...]] = []

    def opened(*given: object) -> SecondPass:
        asked.append(given)
        return ears

    monkeypatch.setattr(sound, "open_ears", opened)
    monkeypatch.setattr(sound, "read_recording", lambda _: np.zeros(100, np.float32))
    monkeypatch.setattr(sound, "RecordedEar", lambda *_: None)
    observer = FakeObserver()
    monkeypatch.setattr(sound, "practise", lambda *_: observer.log.append(("practised", 1)))
    off = Request(bench_skill(), Settings(second_ear=False, engine="own"), {})
    sound.practise_aloud(off, observer, tmp_path / "said.wav", None)
    assert asked == [("own", None, False, True)], "a recording can wait for the second ear"
    told = [("second-ear-missing", {"message": why})] if why else []
    assert observer.log == [("practised", 1), *told]
