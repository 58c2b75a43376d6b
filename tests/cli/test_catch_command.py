"""`coach catch`: a student with mistakes, by keyboard."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from coach.cli.main import main


def caught(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: str
) -> dict[str, Any]:
    monkeypatch.setattr("sys.stdin", io.StringIO(words))
    assert main(["catch", "oral-airway", "--typed", "--seed", "3", "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out.splitlines()[-1]))


def test_silence_catches_nothing_and_objecting_throughout_catches_all(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same seed, the same mistakes; each is told with its reason."""
    silent = caught(monkeypatch, capsys, "\n" * 30)
    assert silent["caught"] == []
    assert len(silent["missed"]) == 3
    assert all(mistake["because"] for mistake in silent["missed"])
    loud = caught(monkeypatch, capsys, "stop, that is wrong\n" * 30)
    assert loud["missed"] == []
    assert loud["caught"] == silent["missed"]
    assert loud["without_cause"] > 0


def test_wrong_input_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown skill and a number of mistakes that nobody could catch."""
    assert main(["catch", "oral-airwai", "--typed"]) == 1
    assert "oral-airway" in capsys.readouterr().err
    assert main(["catch", "oral-airway", "--mistakes", "99"]) == 1
