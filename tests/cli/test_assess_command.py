"""`coach assess`: a recording judged like an attempt, once however often it is given."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
import soxr
from fakes import FakeObserver

from coach.app.assessing import REST_S, Assessment, assess
from coach.cli.main import main
from coach.core.errors import CoachError
from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges.convert import convert
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.wave_file import write_recording

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
    return recorded(tmp_path_factory.mktemp("recorded"), *SAID)


def recorded(folder: Path, *said: str, rest_s: float = 0.0) -> Path:
    """A recording of that, with silence after it."""
    try:
        voice = SystemSynthesiser()
        rendered = [convert(*voice.render(words)) for words in said]
    except CoachError as missing:
        pytest.skip(f"no voice on this machine: {missing}")
    gap = np.zeros(int(GAP_S * SAMPLE_RATE_HZ), np.float32)
    parts = [gap]
    for samples in rendered:
        parts += [samples, gap]
    parts.append(np.zeros(int(rest_s * SAMPLE_RATE_HZ), np.float32))
    noise = np.random.default_rng(1).normal(0, 1e-4, sum(map(len, parts)))
    path = folder / "attempt.wav"
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


def test_what_nobody_heard_after_the_end_is_told(
    tmp_path: Path, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A second attempt may be in it; also when the recording is assessed again."""
    path = recorded(tmp_path, *SAID, "finish", "yes", rest_s=REST_S + 5)
    for _ in range(2):
        assert main(["assess", str(path), "--skill", "oral-airway"]) == 0
        told = capsys.readouterr().err
        assert "of the recording after that were not heard" in told
    assert main(["assess", str(recorded(tmp_path, *SAID)), "--skill", "oral-airway"]) == 0
    assert "not heard" not in capsys.readouterr().err


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


def test_the_same_attempt_is_heard_from_stereo_at_another_rate(
    recording: Path, data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """44.1 kHz in two channels, as a camera gives it: the same steps, within half a second."""
    sound, rate_hz = soundfile.read(recording)
    stereo = tmp_path / "camera.wav"
    wide = soxr.resample(sound, rate_hz, 44_100)
    soundfile.write(stereo, np.stack([wide, wide], axis=1), 44_100)
    plain, other = assessed(capsys, str(recording)), assessed(capsys, str(stereo))
    assert other["attempt"] != plain["attempt"]
    for one, two in zip(plain["steps"], other["steps"], strict=True):
        assert one["mark"] == two["mark"]
        assert one["at_s"] == pytest.approx(two["at_s"], abs=0.5)


def test_a_recording_without_speech_fails_nobody(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A microphone that was off is told, and nothing is kept."""
    silent = tmp_path / "silent.wav"
    write_recording(silent, np.zeros(20 * SAMPLE_RATE_HZ, np.float32), SAMPLE_RATE_HZ)
    assert main(["assess", str(silent), "--skill", "oral-airway"]) == 1
    assert "silent.wav holds no speech: in 20 s no word was heard" in capsys.readouterr().err
    assert not list(data.glob("sessions/*"))


def test_an_attempt_half_on_record_is_heard_anew(
    recording: Path, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As it was after a program was ended by force while it wrote."""
    whole = assessed(capsys, str(recording))
    (journal,) = (data / "sessions").glob("*.jsonl")
    lines = journal.read_bytes().splitlines(keepends=True)
    journal.write_bytes(b"".join(lines[:4]))
    assert assessed(capsys, str(recording)) == whole
    assert len(list((data / "sessions").glob("*.jsonl"))) == 1


def test_how_far_it_is_heard_is_told_to_the_end(recording: Path, data: Path) -> None:
    told: list[tuple[float, float]] = []
    skill_file = load_skill("oral-airway")
    asked = Assessment(recording, skill_file, load_settings({}, {}), {})
    observer = FakeObserver()
    assess(asked, observer, lambda until_s, all_s: told.append((until_s, all_s)))
    lasts_s = soundfile.info(recording).duration
    assert [until for until, _ in told] == sorted({until for until, _ in told})
    assert told[-1] == pytest.approx((lasts_s, lasts_s))
    assert len(told) > lasts_s / 5


@pytest.mark.parametrize(
    ("name", "told"),
    [("zero.wav", "is empty"), ("cut.wav", "is cut short"), ("header.wav", "holds no sound")],
)
def test_a_broken_recording_is_refused_before_it_is_heard(
    recording: Path,
    data: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    told: str,
) -> None:
    path, whole = tmp_path / name, recording.read_bytes()
    if name == "header.wav":
        write_recording(path, np.zeros(0, np.float32), SAMPLE_RATE_HZ)
    else:
        path.write_bytes(b"" if name == "zero.wav" else whole[: len(whole) // 2])
    assert main(["assess", str(path), "--skill", "oral-airway"]) == 1
    assert f"{name} {told}" in capsys.readouterr().err
    assert not list(data.glob("sessions/*"))


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
