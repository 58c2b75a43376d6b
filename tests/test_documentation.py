"""What the documents promise is true: their commands exist, their files are there."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from coach.cli.main import main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

COMMANDS = sorted(set(re.findall(r"^    (coach(?: [^#\n]*)?)", README, re.MULTILINE)))
QUIET = ("coach skills", "coach oxygen", "coach understand", "coach check", "coach models")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_of_the_readme_is_one(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    words = shlex.split(command.strip())[1:]
    if command.startswith(QUIET):
        assert main(words) == 0
    elif words:
        assert main([words[0], "--help"]) == 0
        help_text = capsys.readouterr().out
        for option in (word for word in words if word.startswith("--")):
            assert option in help_text


@pytest.mark.parametrize("text", [README, DEVELOPERS])
def test_every_file_named_is_there(text: str) -> None:
    named = re.findall(r"\]\(([^)#:]+)\)|`((?:coach|tests|procedures|models)/[\w./-]+)`", text)
    for link, path in named:
        assert (ROOT / (link or path)).exists(), link or path


@pytest.mark.parametrize("text", [README, (ROOT / "coach/report/summary.py").read_text("utf-8")])
def test_the_caution_stands(text: str) -> None:
    assert "never for patient care" in text
    assert "medical direction" in text
    assert "licensed" in text
