"""Help and the first screen: an example at every level, and nothing wrapped in a pipe."""

from __future__ import annotations

import importlib
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from coach import __version__
from coach.app.moment import EXPECTATIONS
from coach.cli.main import COMMANDS, main
from coach.edges import audio_devices
from coach.edges.audio_devices import Device, Direction
from coach.edges.skill_folders import skill_ids

LEVELS = [(), *((name,) for name in COMMANDS), ("models", "fetch")]


@pytest.mark.parametrize("flag", ["--help", "-h"])
@pytest.mark.parametrize("level", LEVELS, ids=" ".join)
def test_help_has_an_example_of_a_command_that_exists(
    level: tuple[str, ...], flag: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*level, flag]) == 0
    out = capsys.readouterr().out
    assert out.startswith(" ".join(("Usage: coach", *level)))
    example = re.search(r"^ *Example: coach (\S+)", out, re.MULTILINE)
    assert example is not None
    assert example[1] == (level[0] if level else example[1])
    assert example[1] in COMMANDS


@pytest.mark.parametrize("level", LEVELS, ids=" ".join)
def test_help_in_a_pipe_is_not_wrapped(
    level: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """Each paragraph of the text and each option's explanation stands in one line."""
    command: click.Command = importlib.import_module("coach.cli.main").program
    for name in level:
        assert isinstance(command, click.Group)
        found = command.get_command(click.Context(command), name)
        assert found is not None
        command = found
    main([*level, "--help"])
    lines = [line.strip() for line in capsys.readouterr().out.splitlines()]
    for paragraph in (command.help or "").split("\n\n"):
        assert " ".join(paragraph.split()) in lines
    for parameter in command.params:
        if isinstance(parameter, click.Option) and parameter.help:
            assert any(parameter.help in line for line in lines), parameter.name


def test_help_lists_every_command_with_a_whole_sentence(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["--help"]) == 0
    listed = capsys.readouterr().out.partition("Commands:")[2].splitlines()
    for name in COMMANDS:
        [line] = [line for line in listed if line.split()[:1] == [name]]
        assert line.endswith(".") and not line.endswith("...")


def test_the_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.split()[-1] == __version__


def test_alone_it_shows_skills_how_to_begin_and_the_devices(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    names = {Direction.IN: "Desk microphone", Direction.OUT: "Kitchen loudspeaker"}
    monkeypatch.setattr(
        audio_devices, "choose_device", lambda way, _name: Device(0, names[way], 48_000, True)
    )
    assert main([]) == 0
    out = capsys.readouterr().out
    assert len(skill_ids()) >= 5
    for skill in skill_ids():
        assert re.search(rf"^  {skill} .*about \d+ minutes", out, re.MULTILINE)
    assert re.search(r"Begin: +coach practice \S+", out)
    assert all(name in out for name in names.values())
    assert "never for patient care" in out


def test_alone_it_says_what_to_do_where_there_is_no_device(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Deaf:
        """A sound library that finds nothing."""

        class default:  # noqa: N801 - named as in the library
            device = (-1, -1)

        class PortAudioError(Exception):
            """As in the library."""

        @staticmethod
        def query_devices() -> list[object]:
            return []

    monkeypatch.setattr(audio_devices, "sound_library", lambda: Deaf)
    assert main([]) == 0
    out = capsys.readouterr().out
    assert "no microphone" in out and out.count("coach devices") == 1
    assert "--typed" in out


def test_alone_it_shows_the_other_skills_where_one_is_broken(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "aaa-broken.yaml").write_text("id: [", "utf-8")
    monkeypatch.setenv("COACH_PROCEDURES", str(tmp_path))
    assert main([]) == 0
    out = capsys.readouterr().out
    assert "aaa-broken" in out and "coach check" in out
    assert "oral-airway" in out and "Begin:" in out


def test_alone_it_complains_of_a_cylinder_that_there_is_not(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([]) == 0
    assert "cylinder" not in capsys.readouterr().err
    monkeypatch.setenv("COACH_CYLINDER", "Q")
    assert main([]) == 0
    captured = capsys.readouterr()
    assert "Begin:" in captured.out, "all else is said as well"
    assert captured.err.startswith("coach: COACH_CYLINDER: ") and '"Q"' in captured.err


def test_it_runs_as_a_module_too() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "coach", "--version"], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip().endswith(__version__)


@pytest.mark.parametrize("level", ["hear", "understand"])
def test_all_that_can_be_expected_is_named(level: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A list written by hand had lacked two."""
    assert main([level, "--help"]) == 0
    named = re.search(r"What was just asked: (.*)\.$", capsys.readouterr().out, re.MULTILINE)
    assert named is not None
    assert tuple(re.split(", | or ", named[1])) == EXPECTATIONS
