"""`coach check` plays the dialogues of one's own skills, and of those that are named."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.test_check_command import GOOD
from coach.cli.check import UNTRIED
from coach.cli.main import main

DIALOGUES = """\
- name: as it goes
  turns:
    - learner: I'm ready.
      step: sit
    - learner: I sat down.
      means: {steps: [sit]}
      coach: steps done in about
  ends: {done: [sit]}
"""
PLAYED = "2 files, 1 dialogue played, no problems"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one good skill and its dialogues, which is the working folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(GOOD, "utf-8")
    (tmp_path / "good.dialogues.yaml").write_text(DIALOGUES, "utf-8")
    return tmp_path


def checked(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[str]:
    """The lines that `coach check` prints of what is sound, but for the one about models."""
    assert main(["check", *arguments]) == 0
    return [line for line in capsys.readouterr().out.splitlines() if line != UNTRIED]


@pytest.mark.parametrize("named", ["good.yaml", "good.dialogues.yaml", "."])
def test_dialogues_that_come_out_as_written_are_counted(
    named: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert checked(capsys, named) == [PLAYED]


def test_ones_own_skills_are_played_without_being_named(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COACH_PROCEDURES", str(folder))
    (told,) = checked(capsys)
    assert ", 1 dialogue played, no problems" in told


def test_what_the_coach_does_otherwise_is_told_with_file_and_line(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    otherwise = DIALOGUES.replace("steps done in about", "a brass band").replace(
        "[sit]}\n", "[]}\n"
    )
    (folder / "good.dialogues.yaml").write_text(otherwise, "utf-8")
    assert main(["check", "good.yaml"]) == 1
    captured = capsys.readouterr()
    first, second, third = captured.out.splitlines()
    of_turn = "good.dialogues.yaml:5: in dialogue 'as it goes' "
    assert first.startswith(f"{of_turn}the coach should say 'a brass band', but said 'All 1")
    assert second.startswith(f"{of_turn}steps should be nothing, but is [sit]")
    assert third == (
        "good.dialogues.yaml:8: in dialogue 'as it goes' done of the end has [sit] besides "
        "(it may follow from line 5)."
    )
    assert captured.err == "3 problems in 1 of 2 files\n"


def test_a_broken_table_of_facts_is_told_with_the_problems_of_the_other_files(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "facts.yaml").write_text("facts:\n  x: {about: nothing}\n", "utf-8")
    (folder / "good.dialogues.yaml").write_text(DIALOGUES.replace("means", "maens"), "utf-8")
    assert main(["check", "."]) == 1
    told = capsys.readouterr().out.splitlines()
    assert any(line.startswith("facts.yaml:2: ") for line in told)
    assert any("did you mean 'means'?" in line for line in told)


@pytest.mark.parametrize("broken", ["good.yaml", "good.dialogues.yaml"])
def test_nothing_is_played_where_a_file_has_other_mistakes(
    broken: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (folder / broken).read_text("utf-8")
    (folder / broken).write_text(text.replace("step: sit", "stpe: sit").replace("say:", "sya:"))
    assert main(["check", "."]) == 1
    (told,) = capsys.readouterr().out.splitlines()
    assert "did you mean" in told


def test_what_is_not_tried_yet_is_advice(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    never_begun = "- name: nothing\n  turns:\n    - silence: 1\n"
    (folder / "good.dialogues.yaml").write_text(never_begun, "utf-8")
    assert checked(capsys, "good.yaml") == [
        PLAYED,
        "good.dialogues.yaml: advice: add a dialogue that does every step in the suggested order, "
        "to the end.",
    ]
    (folder / "good.dialogues.yaml").unlink()
    assert checked(capsys, "good.yaml") == [
        "1 file, no problems",
        "good.yaml: advice: prove it by dialogues, in good.dialogues.yaml beside it.",
    ]


def test_dialogues_without_a_skill_are_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "good.yaml").unlink()
    assert checked(capsys, "good.dialogues.yaml") == [
        "1 file, no problems",
        "good.dialogues.yaml: advice: there is no skill of that name, nothing is played.",
    ]


def test_the_skills_that_come_with_the_coach_are_played_when_named_or_asked_for(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shipped = str(Path(__file__).parents[2] / "procedures" / "gloves.yaml")
    (played,) = checked(capsys, shipped)
    assert played.startswith("2 files, ")
    assert played.endswith(" dialogues played, no problems")
    monkeypatch.setattr("coach.cli.check.files_in", lambda _: (Path(shipped),))
    assert checked(capsys) == ["2 files, no problems"]
    assert checked(capsys, "--dialogues") == [played]
