"""`coach check`: lines on standard output, a sum, an exit code."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from coach.cli.main import main

GOOD = """\
id: good
title: Invented skill
minutes: 2
table: [a chair]
sources: {common: "Common practice, no source"}
steps:
  - id: sit
    name: the seat
    say: Sit down.
    why: It is restful.
    how: Bend your knees.
    heard-as: {keys: [sit/sat]}
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one good skill, which is the working folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(GOOD, "utf-8")
    return tmp_path


def test_a_good_file_is_counted(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "good.yaml"]) == 0
    assert capsys.readouterr().out.splitlines()[0] == "1 file, no problems"


def test_a_file_named_twice_is_checked_once(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "good.yaml", "good.yaml"]) == 0
    assert capsys.readouterr().out.splitlines()[0] == "1 file, no problems"


def test_five_mistakes_are_five_lines(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = (
        GOOD.replace("id: good", "id: worse")
        .replace("minutes: 2", "minutes: two")
        .replace("say: Sit down.", "sya: Sit down.")
        .replace("    why: It is restful.\n", "")
        .replace("keys: [sit/sat]", "keys: [...]")
    )
    (folder / "bad.yaml").write_text(bad, "utf-8")
    assert main(["check", "bad.yaml", "good.yaml"]) == 1
    captured = capsys.readouterr()
    assert captured.out.splitlines() == [
        "bad.yaml:1: the id is 'worse', but the file is named 'bad': make them the same.",
        "bad.yaml:3: 'minutes' must be a whole number, not text: give the minutes the practice "
        "takes.",
        "bad.yaml:7: step 'sit' has no 'why': add one sentence that says why it is done.",
        "bad.yaml:9: step 'sit' has an unknown key 'sya': did you mean 'say'?",
        "bad.yaml:11: no words can match step 'sit': give at least one line of 'phrases' or "
        "'keys'.",
    ]
    assert captured.err == "5 problems in 1 of 2 files\n"


def test_a_folder_holds_skills_and_dialogues(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "good.dialogues.yaml").write_text("- name: x\n  turns:\n    - kye: next\n", "utf-8")
    assert main(["check", "."]) == 1
    assert capsys.readouterr().out.splitlines() == [
        "good.dialogues.yaml:3: turn 1 of dialogue 'x' has an unknown key 'kye': did you mean "
        "'key'?",
    ]


def test_an_empty_folder_and_a_missing_file_are_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "empty").mkdir()
    assert main(["check", "empty"]) == 1
    assert "empty holds no .yaml file" in capsys.readouterr().err
    assert main(["check", "none.yaml"]) == 1
    assert capsys.readouterr().out == "none.yaml: the file does not exist: check the name.\n"


def test_without_a_path_every_known_file_is_checked(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "own").mkdir()
    (folder / "own" / "mine.yaml").write_text(GOOD, "utf-8")
    monkeypatch.setenv("COACH_PROCEDURES", str(folder / "own"))
    assert main(["check"]) == 1
    assert capsys.readouterr().out == (
        "own/mine.yaml:1: the id is 'good', but the file is named 'mine': make them the same.\n"
    )


def test_a_skill_file_of_ones_own_has_its_phrases_tried(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "good.yaml").write_text(GOOD.replace("keys: [", "phrases: [wait], keys: ["), "utf-8")
    problem = (
        "good.yaml:12: item 1 of 'phrases' of 'heard-as' of step 'sit', \"wait\", can never match: "
        "it is understood as the command pause, so word it otherwise or take it out.\n"
    )
    for arguments in (["good.yaml"], ["."], [".", "--words"]):
        assert main(["check", *arguments]) == 1
        assert problem in capsys.readouterr().out


class FewWords:
    """A model that knows three words."""

    def __init__(self, model: Path) -> None:
        self.model = model

    def missing_words(self, phrases: Iterable[str]) -> tuple[str, ...]:
        words = {word for phrase in phrases for word in phrase.split()}
        return tuple(sorted(words - {"sit", "down", "stop"}))


def test_words_that_a_vosk_model_does_not_know_are_named(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("coach.edges.vosk_recogniser.VoskRecogniser", FewWords)
    assert main(["check", "good.yaml", "--vosk-model", "anywhere"]) == 0
    counted, _, told = capsys.readouterr().out.splitlines()
    assert counted == "1 file, no problems"
    assert told.startswith("good.yaml: unknown to the model: ")
    unknown = told.partition("model: ")[2].split(", ")
    assert "sat" in unknown
    assert not {"sit", "stop"} & set(unknown)


def test_words_of_own_files_are_held_against_a_fetched_model_unasked(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("coach.edges.vosk_recogniser.VoskRecogniser", FewWords)
    monkeypatch.setenv("COACH_MODELS", str(folder / "models"))
    (folder / "own.local.yaml").write_text(
        "program: Own\ndate: 2026-03-01\napproved-by: J. Doe\nskills:\n  oral-airway:\n    steps:\n"
        "      insert: {because: So we say., phrases: [the flibbertigibbet zorp is in]}\n",
        "utf-8",
    )
    assert main(["check", "own.local.yaml"]) == 0
    (_, untried) = capsys.readouterr().out.splitlines()
    assert "no list of words was tried" in untried and "--vosk-model FOLDER" in untried
    (folder / "models" / "vosk-small").mkdir(parents=True)
    assert main(["check", "own.local.yaml"]) == 0
    (_, told) = capsys.readouterr().out.splitlines()
    assert told.startswith("own.local.yaml: unknown to the model: flibbertigibbet, ")


def test_a_folder_that_is_no_vosk_model_is_told_of(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "good.yaml", "--vosk-model", "nowhere"]) == 2
    assert "There is no folder nowhere" in capsys.readouterr().err
