"""`coach devices` tells what is there, and what to do about what is not."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from rig import running_rig

from coach.cli.main import main

pytestmark = pytest.mark.live

needs_espeak = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is not installed"
)


@needs_espeak
def test_with_everything_there_it_is_zero(capsys: pytest.CaptureFixture[str]) -> None:
    with running_rig():
        code = main(["devices", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert found["problems"] == []
    assert found["works"] is True
    assert code == 0
    for kind in ("microphones", "loudspeakers"):
        assert "pulse" in [device["name"] for device in found[kind]]
        assert sum(device["standard"] for device in found[kind]) == 1
    (standard,) = [voice for voice in found["voices"] if voice["standard"]]
    assert standard["id"] == "gmw/en-us"
    assert found["recognisers"][0]["ready"] is True


@needs_espeak
def test_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    with running_rig():
        code = main(["devices"])
    text = capsys.readouterr().out
    assert code == 0
    assert "pulse, 44100 Hz" in text
    assert "English (America) (gmw/en-us) *" in text
    assert "own: ready" in text


def test_without_devices_it_is_two_and_says_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    with running_rig() as rig:
        rig.unplug()
        code = main(["devices", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert code == 2
    assert found["works"] is False
    assert any("microphone" in problem for problem in found["problems"])
    assert any("loudspeaker" in problem for problem in found["problems"])
    assert found["recognisers"][0]["ready"] is True


def test_without_the_sound_library_it_is_said_once(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    code = main(["devices"])
    text = capsys.readouterr().out
    assert code == 2
    assert text.count("libportaudio2") == 1
