"""`coach models` tells which ears there are, and what to do about a damaged one."""

from __future__ import annotations

import importlib.util
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from coach.cli.main import main
from coach.edges.model_store import find_model

Shown = Callable[..., str]


@pytest.fixture
def shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Shown:
    """What `coach models` prints, with an empty folder of models and the variables given."""
    monkeypatch.setenv("COACH_MODELS", str(tmp_path))
    monkeypatch.setenv("COACH_CONFIG", "")

    def run(*arguments: str, **variables: str) -> str:
        for name, value in variables.items():
            monkeypatch.setenv(name, value)
        assert main(["models", *arguments]) == 0
        return capsys.readouterr().out

    return run


def damaged(folder: Path) -> None:
    """A second ear of files of the right sizes and wrong content (they take no room)."""
    (folder / "whisper-tiny").mkdir()
    for file in find_model("whisper-tiny").files:
        with (folder / "whisper-tiny" / file.name).open("wb") as out:
            out.truncate(file.size)


def test_without_anything_fetched_the_own_ear_is_there_and_how_to_get_a_second(
    shown: Shown,
) -> None:
    text = shown()
    assert "First ear: own, which comes with the program" in text
    assert "Second ear: none; coach models fetch whisper-tiny gets one" in text


def test_a_damaged_model_is_told_with_the_way_out(shown: Shown, tmp_path: Path) -> None:
    damaged(tmp_path)
    text = shown()
    assert "whisper-tiny  damaged: fetch it again with: coach models fetch whisper-tiny" in text
    assert "Second ear: none, for whisper-tiny is damaged" in text
    states = {model["name"]: model["state"] for model in json.loads(shown("--json"))}
    assert states == {
        "commands": "comes with the program",
        "whisper-tiny": "damaged",
        "vosk-small": "not fetched",
    }


@pytest.mark.parametrize(
    ("variables", "told"),
    [
        ({"COACH_SECOND_EAR": "no"}, "Second ear: switched off (setting second-ear)"),
        ({"COACH_ENGINE": "vosk"}, "Second ear: none, for vosk hears free sentences itself"),
    ],
)
def test_the_settings_say_which_ears_are_used(
    variables: dict[str, str], told: str, shown: Shown
) -> None:
    assert told in shown(**variables)


def test_packages_that_are_missing_are_named(
    shown: Shown, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("coach.cli.models.model_state", lambda *_, **__: "fetched")
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    assert "ctranslate2 and tokenizers must be installed" in shown()
