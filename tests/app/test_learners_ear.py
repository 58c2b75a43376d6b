"""What a hearing check found counts in the practice after it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from bench_skill import bench_skill
from fakes import FakeEar, FakeObserver, FakeVoice

from coach.app import sound
from coach.app.learners_ear import LearnersEar, learners_ear
from coach.app.practice import practise
from coach.app.request import Request
from coach.app.senses import Senses
from coach.edges.hearing_record import HearingRecord, keep_check, record_path
from coach.edges.loudspeaker import VirtualSpeaker
from coach.edges.settings import Settings
from coach.hearing.hypothesis import Hypothesis
from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.ports import SpeechBegan, TextHeard

pytestmark = pytest.mark.live

RECORD = HearingRecord("2026-03-01", "Desk", "own", -26.0, -60.0, 34.0, 0.0, 9, 10)


def heard(level_dbfs: float) -> Hypothesis:
    return Hypothesis("i'm ready", 0.9, level_dbfs=level_dbfs, noise_dbfs=-70.0)


def test_the_level_of_the_check_is_where_the_judgement_begins(tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path)}
    assert learners_ear(environ, "Desk") == LearnersEar()
    assert LearnersEar().own_voice == UNKNOWN
    keep_check(RECORD, environ)
    known = learners_ear(environ, "Desk")
    assert known == LearnersEar(-26.0, -60.0)
    assert known.own_voice.behind_db(heard(-46.0)) == pytest.approx(20.0, abs=0.2)


def test_what_was_measured_with_another_microphone_tells_nothing(tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path)}
    keep_check(RECORD, environ)
    assert learners_ear(environ, "Headset") == LearnersEar()


@pytest.mark.parametrize("value", ["loud", [1], 1e9])
def test_a_level_that_is_none_counts_as_no_check(value: object, tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path)}
    keep_check(RECORD, environ)
    tree = {**json.loads(record_path(environ).read_text("utf-8")), "level_dbfs": value}
    record_path(environ).write_text(json.dumps(tree), encoding="utf-8")
    assert learners_ear(environ, "Desk") == LearnersEar()


@pytest.mark.parametrize(("level_dbfs", "begun"), [(-26.0, True), (-50.0, False)])
def test_a_faint_neighbour_is_let_pass_from_the_first_turn_on(
    level_dbfs: float, begun: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    observer = FakeObserver()
    ear = FakeEar(SpeechBegan(), TextHeard(heard(level_dbfs)))
    senses = Senses(ear, FakeVoice(), False, LearnersEar(-26.0, -60.0).own_voice)
    practise(Request(bench_skill(), Settings(), {}), senses, observer)
    assert any(name == "heard" for name, _ in observer.log) is begun


class Desk:
    """A microphone of that name."""

    name = "Desk"

    def __init__(self, _wanted: str | None) -> None:
        pass

    def read(self, timeout_s: float) -> Any:
        return np.zeros(480, np.float32)

    def close(self) -> None:
        pass


def test_a_live_practice_is_given_what_the_check_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Ear:
        report = None

        def __init__(self, *_parts: object, noise_dbfs: float | None, **_more: object) -> None:
            given.append(noise_dbfs)

        def close(self) -> None:
            closed.append("ear")

    class Silent:
        def voice(self) -> str:
            return "any"

        def close(self) -> None:
            pass

    given: list[object] = []
    closed: list[str] = []
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    keep_check(replace(RECORD, noise_dbfs=-55.0), {"COACH_DATA": str(tmp_path)})
    monkeypatch.setattr(sound, "SystemSynthesiser", lambda *_: Silent())
    monkeypatch.setattr(sound, "open_ears", lambda *_: None)
    monkeypatch.setattr(sound, "VoiceActivity", lambda: None)
    monkeypatch.setattr(sound, "Loudspeaker", lambda _wanted, kept: VirtualSpeaker(kept))
    monkeypatch.setattr(sound, "Microphone", Desk)
    monkeypatch.setattr(sound, "Keyboard", lambda: None)
    monkeypatch.setattr(sound, "SoundEar", Ear)

    def practised(_request: object, senses: Senses, _observer: object) -> Any:
        given.append(senses.own_voice)

    monkeypatch.setattr(sound, "practise", practised)
    sound.practise_aloud(Request(bench_skill(), Settings(), {}), FakeObserver(), None, None)
    assert closed == ["ear"]  # whoever has it: a drill does not close it itself
    noise_dbfs, own_voice = given
    assert noise_dbfs == -55.0
    assert isinstance(own_voice, OwnVoice)
    assert own_voice.behind_db(heard(-46.0)) == pytest.approx(20.0, abs=0.2)
