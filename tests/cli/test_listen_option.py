"""`coach devices --listen`: ten phrases, really heard from a file and a virtual microphone."""

from __future__ import annotations

import functools
import json
import os
import re
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest
from rig import Heard, SoundRig, running_rig

from coach.app.hearing_check import PROMPTS
from coach.cli.main import main
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import convert
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.wave_file import write_recording

pytestmark = pytest.mark.live

needs_espeak = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is not installed"
)
QUIET_S, QUIET_LEVEL = 0.6, 0.003
LONGEST_LINE_S = 20.0


@functools.cache
def spoken() -> dict[str, Samples]:
    """Every phrase in the system's voice, at half scale."""
    synthesiser = SystemSynthesiser()
    try:
        rendered = {p.say: synthesiser.render(p.say) for p in PROMPTS}
    finally:
        synthesiser.close()
    return {
        say: np.asarray(convert(samples, rate) * 0.5, np.float32)
        for say, (samples, rate) in rendered.items()
    }


def recording(path: Path, gain: float = 1.0) -> str:
    """A file in which all ten phrases are said, and its name."""
    pause = np.zeros(SAMPLE_RATE_HZ, np.float32)
    samples = np.concatenate([part for one in spoken().values() for part in (pause, one)] + [pause])
    room = np.random.default_rng(2).standard_normal(len(samples)) * 0.001
    write_recording(path, np.asarray((samples + room) * gain, np.float32), SAMPLE_RATE_HZ)
    return str(path)


@needs_espeak
def test_a_good_recording_is_understood_and_nothing_is_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = recording(tmp_path / "ten.wav")
    assert main(["devices", "--listen", "--from", file, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["understood"] == found["asked"] == 10
    # How sure a recogniser is of one synthetic phrase is not the matter of levels and microphones.
    assert [one for one in found["advice"] if "slower" not in one["change"]] == []
    assert found["noise_dbfs"] == pytest.approx(-60.0, abs=1.0)
    assert found["signal_to_noise_db"] > 25.0
    assert not (tmp_path / "data").exists()


@needs_espeak
@pytest.mark.parametrize(("gain", "advised"), [(20.0, "gain down"), (0.03, "gain up")])
def test_a_bad_recording_is_told_what_to_change(
    gain: float, advised: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["devices", "--listen", "--from", recording(tmp_path / "ten.wav", gain)]) == 0
    assert advised in capsys.readouterr().out


def test_wrong_use_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["devices", "--from", "ten.wav"]) == 1
    assert "--listen" in capsys.readouterr().err
    assert main(["devices", "--listen", "--from", str(tmp_path / "gone.wav")]) == 1
    assert "gone.wav" in capsys.readouterr().err


def test_without_a_microphone_it_is_two(capsys: pytest.CaptureFixture[str]) -> None:
    with running_rig() as rig:
        rig.unplug()
        assert main(["devices", "--listen"]) == 2
    assert "microphone" in capsys.readouterr().err


def wait_for_quiet(heard: Heard, since_sample: int) -> None:
    """Until the coach has said something after `since_sample` and is quiet again."""
    deadline = time.monotonic() + LONGEST_LINE_S
    while time.monotonic() < deadline:
        line = np.abs(heard.samples[since_sample:])
        tail = line[-round(QUIET_S * SAMPLE_RATE_HZ) :]
        if line.max(initial=0.0) > QUIET_LEVEL * 3 and tail.max(initial=0.0) < QUIET_LEVEL:
            return
        time.sleep(0.05)


def answered(rig: SoundRig, heard: Heard, words: dict[str, Samples]) -> tuple[int, str]:
    """A check answered after each caption; its exit code and its output."""
    check = subprocess.Popen(
        [sys.executable, "-m", "coach", "devices", "--listen", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "COACH_RATE": "1.5"},
    )
    assert check.stderr is not None
    output: list[str] = []
    reader = threading.Thread(target=lambda: output.extend(check.stdout or ()), daemon=True)
    reader.start()
    since = 0
    for caption in check.stderr:
        asked = re.search(r"Say: (.*)\.$", caption.strip())
        if asked and asked[1] in words:
            wait_for_quiet(heard, since)
            rig.speak(words[asked[1]])
            since = len(heard.samples)
    code = check.wait(timeout=30)
    reader.join(timeout=10)
    return code, "".join(output)


@needs_espeak
def test_through_a_microphone(tmp_path: Path) -> None:
    words = spoken()
    with running_rig() as rig, rig.recording() as heard:
        rig.speak(np.zeros(1600, np.float32))
        code, output = answered(rig, heard, words)
    found = json.loads(output)
    assert code == 0
    assert found["understood"] >= 9, found["phrases"]
    assert found["clipped_share"] == 0.0
    kept = json.loads((tmp_path / "data" / "hearing.json").read_text("utf-8"))
    assert kept["understood"] == found["understood"]
    assert set(kept["margins"]) <= set(words)
    assert [file.name for file in (tmp_path / "data").iterdir()] == ["hearing.json"]
