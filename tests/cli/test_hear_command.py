"""`coach hear` and `coach models`, as a user runs them."""

from __future__ import annotations

import json
import shutil
import subprocess
import urllib.error
from pathlib import Path

import numpy as np
import pytest

from coach.cli import hear
from coach.cli.main import main
from coach.edges.wave_file import write_recording
from coach.hearing.hypothesis import Hypothesis

FIELDS = {
    "kind", "command", "answer", "steps", "negated", "quantity", "value", "unit", "doubt",
    "confidence", "text", "file", "error",
    "decision", "reason", "expected", "hypotheses",
}  # fmt: skip


class Deaf:
    """A recogniser that hears the same whatever is said."""

    name = "deaf"

    def __init__(self, hypothesis: Hypothesis) -> None:
        self.hypothesis = hypothesis

    def hear(self, samples: object, hint: object) -> Hypothesis:
        return self.hypothesis


@pytest.fixture
def say(tmp_path: Path) -> object:
    """Writes speech by espeak-ng (22,050 Hz, 16 bit) to a file; skips where it is missing."""
    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("espeak-ng is not installed: no synthetic speech to hear")

    def speak(text: str, name: str) -> str:
        path = tmp_path / name
        run = [str(program), "-v", "en-us+m3", "-s", "150", "-w", str(path), text]
        subprocess.run(run, check=True)
        return str(path)

    return speak


def lines(capsys: pytest.CaptureFixture[str]) -> list[dict[str, object]]:
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def test_each_file_is_one_utterance_and_one_line(
    say: object, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert callable(say)
    silence = str(tmp_path / "silence.wav")
    write_recording(Path(silence), np.zeros(16_000, np.float32), 16_000)
    files = [say("seventeen hundred P S I", "psi.wav"), silence, say("stop", "stop.wav")]
    options = ["--skill", "oxygen-cylinder", "--expect", "pressure", "--json"]
    assert main(["hear", *files, *options]) == 0
    pressure, quiet, stop = lines(capsys)
    assert set(pressure) == FIELDS
    assert (pressure["quantity"], pressure["value"], pressure["unit"]) == ("pressure", 1700, "psi")
    assert pressure["file"] == files[0]
    assert (quiet["kind"], quiet["text"]) == ("none", "")
    assert (stop["kind"], stop["command"]) == ("command", "stop")


def test_it_explains_itself(say: object, capsys: pytest.CaptureFixture[str]) -> None:
    assert callable(say)
    file = say("seventeen hundred P S I", "psi.wav")
    options = ["--skill", "oxygen-cylinder", "--expect", "pressure"]
    assert main(["hear", file, *options, "--json"]) == 0
    [row] = lines(capsys)
    assert row["decision"] == "read back"
    assert row["reason"]
    assert "pressure of 0 to" in str(row["expected"])
    considered = row["hypotheses"]
    assert isinstance(considered, list)
    assert considered[0]["text"] == row["text"]
    assert all(set(one) == {"text", "probability"} for one in considered)
    assert main(["hear", file, *options]) == 0
    shown = capsys.readouterr().out
    assert "decided: read back: " in shown and "expected: pressure" in shown


def test_it_judges_as_a_practice_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A yes hardly heard counts no more here than there, and what else it may have been is told."""
    others = (("yet", 0.3), ("", 0.2))
    faint = Hypothesis("yes", 0.1, second="yet another", others=others)
    monkeypatch.setattr(hear, "open_ears", lambda *_, **__: Deaf(faint))
    file = tmp_path / "yes.wav"
    write_recording(file, np.zeros(16_000, np.float32), 16_000)
    options = ["--skill", "oxygen-cylinder", "--expect", "yes-no"]
    assert main(["hear", str(file), *options, "--json"]) == 0
    [row] = lines(capsys)
    assert (row["kind"], row["answer"], row["decision"]) == ("none", None, "ask again")
    assert "a yes heard at 0.10, less than" in str(row["reason"])
    assert row["hypotheses"] == [
        {"text": "yes", "probability": 0.1},
        {"text": "yet", "probability": 0.3},
        {"text": "", "probability": 0.2},
        {"text": "yet another", "probability": None},
    ]
    assert main(["hear", str(file), *options]) == 0
    shown = capsys.readouterr().out
    assert '0.10  "yes": answer; answer yes' in shown
    assert '0.20  "": silence or noise' in shown


def test_a_bad_file_is_told_of_and_the_others_are_answered(
    say: object, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert callable(say)
    (tmp_path / "notes.wav").write_text("not sound")
    files = [str(tmp_path / "none.wav"), str(tmp_path / "notes.wav"), say("yes", "yes.wav")]
    options = ["--skill", "oxygen-cylinder", "--expect", "yes-no", "--json"]
    assert main(["hear", *files, *options]) == 1
    missing, broken, yes = lines(capsys)
    assert set(missing) == set(yes) == FIELDS
    assert "does not exist" in str(missing["error"])
    assert "notes.wav" in str(broken["error"])
    assert (yes["answer"], yes["error"]) == ("yes", None)


def test_for_people_it_says_what_it_heard(say: object, capsys: pytest.CaptureFixture[str]) -> None:
    assert callable(say)
    file = say("repeat that", "again.wav")
    assert main(["hear", file, "none.wav", "--skill", "oral-airway"]) == 1
    out = capsys.readouterr()
    assert '"repeat that": command; command repeat' in out.out
    assert "coach: none.wav does not exist" in out.err


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--skill", "no-such-skill"], "no-such-skill"),
        (["--skill", "oxygen-cylinder", "--step", "dance"], "no step 'dance'"),
        (["--skill", "oxygen-cylinder", "--expect", "luck"], "--expect 'luck'"),
        (["--skill", "oxygen-cylinder", "--engine", "ears"], "no recogniser named ears"),
        ([], "--skill"),
    ],
)
def test_arguments_are_checked_before_a_model_is_loaded(
    options: list[str],
    message: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a model was loaded")

    monkeypatch.setattr(hear, "open_ears", never)
    assert main(["hear", "a.wav", *options]) == 1
    assert message in capsys.readouterr().err


def test_a_missing_model_is_exit_code_two(capsys: pytest.CaptureFixture[str]) -> None:
    options = ["--skill", "oral-airway", "--model", "nowhere.onnx"]
    assert main(["hear", "a.wav", *options]) == 2
    assert "nowhere.onnx does not exist" in capsys.readouterr().err


def test_models_lists_what_is_here(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("COACH_MODELS", str(tmp_path))
    assert main(["models"]) == 0
    listed = capsys.readouterr().out
    assert "commands      comes with the program; engine own" in listed
    assert "whisper-tiny  not fetched; engine whisper" in listed
    assert main(["models", "--json"]) == 0
    entries = {entry["name"]: entry for entry in json.loads(capsys.readouterr().out)}
    assert entries["commands"]["path"] is not None
    assert entries["whisper-tiny"]["path"] is None


def test_a_fetch_that_fails_is_exit_code_two_and_names_no_package(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("COACH_MODELS", str(tmp_path))

    def unplugged(*_: object, **__: object) -> None:
        raise urllib.error.URLError("no network")

    monkeypatch.setattr("urllib.request.urlopen", unplugged)
    assert main(["models", "fetch", "whisper-tiny"]) == 2
    told = capsys.readouterr().err
    assert "whisper-tiny was not fetched" in told
    assert "comes with the program needs nothing and still works" in told
    assert ".whl" not in told
    assert main(["models", "fetch", "whisper-huge"]) == 1
