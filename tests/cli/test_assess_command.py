"""`coach assess`: a recording judged like an attempt, once however often it is given."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from coach.cli.main import main
from coach.core.errors import CoachError
from coach.edges.convert import convert
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.wave_file import write_recording
from coach.session.ports import SAMPLE_RATE_HZ

SAID = (
    "I'm ready",
    "my gloves and goggles are on",
    "the patient is unresponsive with no gag or cough",
    "I look into the mouth, it is clear",
)
GAP_S = 1.5


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The beginning of an attempt at the oral airway, by the system's voice."""
    try:
        voice = SystemSynthesiser()
        rendered = [convert(*voice.render(words)) for words in SAID]
    except CoachError as missing:
        pytest.skip(f"no voice on this machine: {missing}")
    gap = np.zeros(int(GAP_S * SAMPLE_RATE_HZ), np.float32)
    parts = [gap]
    for samples in rendered:
        parts += [samples, gap]
    noise = np.random.default_rng(1).normal(0, 1e-4, sum(map(len, parts)))
    path = tmp_path_factory.mktemp("recorded") / "attempt.wav"
    sound = (np.concatenate(parts) + noise).astype(np.float32)
    write_recording(path, sound, SAMPLE_RATE_HZ)
    return path


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    return tmp_path


def assessed(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert main(["assess", *arguments, "--skill", "oral-airway", "--json"]) == 0
    last = json.loads(capsys.readouterr().out.splitlines()[-1])
    assert last["type"] == "result"
    return dict(last)


def test_the_attempt_is_judged_by_the_time_of_the_recording(
    recording: Path, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each step at the second at which its words end; the rest is missed."""
    result = assessed(capsys, str(recording), "--learner", "Ida Moor")
    done = {step["step"]: step["at_s"] for step in result["steps"] if step["mark"] == "done"}
    assert {"gloves", "unresponsive"} <= done.keys()
    times = [at for at in done.values() if at is not None]
    assert times == sorted(times)
    assert times[1] - times[0] > GAP_S
    assert result["way"] == "assessed"
    assert result["verdict"] == "not-yet"


def test_the_same_recording_is_one_attempt(
    recording: Path, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of another learner it is another."""
    first = assessed(capsys, str(recording), "--learner", "Ida Moor")
    again = assessed(capsys, str(recording), "--learner", "Ida Moor")
    assert again == first
    assert len(list((data / "sessions").glob("*.jsonl"))) == 1
    other = assessed(capsys, str(recording), "--learner", "Jonas Reed")
    assert other["attempt"] != first["attempt"]


def test_the_text_says_how_sure_it_is(
    recording: Path, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the caution, and where the whole report is."""
    assert main(["assess", str(recording), "--skill", "oral-airway"]) == 0
    text = capsys.readouterr().out
    assert "How sure: " in text
    assert "never for patient care" in text
    assert "coach report " in text


def test_what_is_no_recording_is_refused_by_name(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before anything is kept."""
    wrong = tmp_path / "notes.wav"
    wrong.write_text("no sound")
    assert main(["assess", str(wrong), "--skill", "oral-airway"]) == 1
    assert "notes.wav" in capsys.readouterr().err
    assert main(["assess", str(tmp_path / "none.wav"), "--skill", "oral-airway"]) == 1
    assert "none.wav" in capsys.readouterr().err
    assert not list(tmp_path.glob("sessions/*.jsonl"))
