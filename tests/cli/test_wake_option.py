"""`coach practice --wake`: a class talks, and only what is meant for the coach counts."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path

import numpy as np
import pytest

from coach.cli.main import main
from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges.convert import convert
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.wave_file import write_recording

CLASS = """\
I'm ready
coach, I'm ready
has anybody seen the masks
I've put gloves on and I'm wearing my goggles
coach
I've put gloves on and I'm wearing my goggles
next
stop
yes
"""


def test_only_what_follows_the_word_is_heard(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(CLASS))
    assert main(["practice", "oral-airway", "--typed", "--wake", "coach", "--json"]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert "coach" in rows[0]["text"]
    assert [row["text"] for row in rows if row["type"] == "heard"] == [
        "i'm ready",
        "i've put gloves on and i'm wearing my goggles",
        "stop",
        "yes",
    ]
    assert len(rows[-1]["done"]) == 1


@pytest.mark.parametrize("word", ["gloves", "no", "stop"])
def test_a_word_of_the_practice_itself_is_refused(
    word: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["practice", "oral-airway", "--typed", "--wake", word]) == 1
    error = capsys.readouterr().err
    assert f'--wake "{word}"' in error and "such as coach" in error


def test_a_scripted_learner_needs_no_word(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["practice", "oral-airway", "--learner", "nobody.yaml", "--wake", "coach"]
    assert main(arguments) == 1
    assert "--wake" in capsys.readouterr().err


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is not installed")
def test_a_class_is_heard_in_sound(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = (
        "I'm ready",
        "coach, I'm ready",
        "did you see the game last night",
        "my gloves are on",
        "coach",
        "my gloves are on",
        "coach, what's left",
    )
    synthesiser = SystemSynthesiser()
    try:
        lines = [convert(*synthesiser.render(text)) for text in said]
    finally:
        synthesiser.close()
    pause = np.zeros(SAMPLE_RATE_HZ, np.float32)
    file = tmp_path / "class.wav"
    write_recording(
        file, np.concatenate([part for line in lines for part in (pause, line)]), SAMPLE_RATE_HZ
    )
    arguments = ["practice", "oxygen-cylinder", "--wake", "coach", "--json", "--from", str(file)]
    assert main(arguments) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    heard = [row["text"] for row in rows if row["type"] == "heard"]
    assert heard == ["i'm ready", "my gloves are on", "what's left"]
