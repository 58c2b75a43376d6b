"""`coach understand`: the shape of its answers, and words that are none."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest

from coach.cli.main import main

FIELDS = {
    "kind", "command", "answer", "steps", "negated", "quantity", "value", "unit", "doubt",
    "confidence", "text", "file", "error",
}  # fmt: skip
EMOJI = "\U0001f600\U0001f44d\U0001f3fd"
ALWAYS = {"kind", "confidence", "text"}


def meanings(
    capsys: pytest.CaptureFixture[str], *arguments: str, skill: str = "oxygen-cylinder"
) -> list[dict[str, Any]]:
    """What `coach understand --json` printed, one object for each line."""
    assert main(["understand", *arguments, "--skill", skill, "--json"]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return [json.loads(line) for line in captured.out.splitlines()]


@pytest.mark.parametrize(
    ("text", "options", "present"),
    [
        ("stop", [], {"kind": "command", "command": "stop"}),
        ("yes", ["--expect", "yes-no"], {"kind": "answer", "answer": "yes"}),
        (
            "no leaks",
            ["--step", "leaks"],
            {"kind": "step", "steps": ["leaks"], "negated": False},
        ),
        (
            "there is a leak",
            ["--step", "leaks"],
            {"kind": "step", "steps": ["leaks"], "negated": True},
        ),
        (
            "seventeen hundred",
            ["--expect", "pressure"],
            {"kind": "reading", "quantity": "pressure", "value": 1700, "unit": "psi"},
        ),
        ("my cousin has a boat", [], {"kind": "none"}),
        ("", [], {"kind": "none"}),
    ],
)
def test_every_answer_has_all_fields_and_null_where_there_is_nothing(
    text: str, options: list[str], present: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    [meaning] = meanings(capsys, text, *options)
    assert set(meaning) == FIELDS
    assert meaning["text"] == text
    assert 0 <= meaning["confidence"] <= 1
    assert {name: meaning[name] for name in present} == present
    absent = FIELDS - ALWAYS - set(present)
    assert {name for name in absent if meaning[name] is not None} == set()


def test_a_blood_pressure_has_two_values(capsys: pytest.CaptureFixture[str]) -> None:
    [meaning] = meanings(
        capsys, "120 over 80", "--expect", "blood-pressure", skill="oxygen-delivery"
    )
    assert (meaning["value"], meaning["unit"]) == ([120, 80], "mmHg")


def test_several_texts_are_answered_a_line_each_in_their_order(
    capsys: pytest.CaptureFixture[str],
) -> None:
    texts = ["no leaks", "", "stop", "no leaks", "what is left"]
    found = meanings(capsys, *texts)
    assert [meaning["text"] for meaning in found] == texts
    assert [meaning["command"] for meaning in found] == [None, None, "stop", None, "left"]
    assert found[0] == found[3]


@pytest.mark.parametrize(
    "text",
    ["", "   ", "\t\n", "?!", "... - ,,,", "\u00bf\u2026\u201d", EMOJI, "\x00\x07\x1b", "\ufeff"],
)  # fmt: skip
def test_without_words_it_means_nothing(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    [meaning] = meanings(capsys, text)
    assert (meaning["kind"], meaning["text"], meaning["confidence"]) == ("none", "", 0)
    assert main(["understand", text, "--skill", "suction"]) == 0
    assert capsys.readouterr().out == "(no words): none\n"


@pytest.mark.parametrize(
    "written", ["No leaks.", "NO LEAKS!!!", "  no  leaks\r\n", f"no leaks {EMOJI}"]
)
def test_how_it_is_written_does_not_matter(
    written: str, capsys: pytest.CaptureFixture[str]
) -> None:
    plain, other = meanings(capsys, "no leaks", written)
    assert other["steps"] == plain["steps"] == ["leaks"]
    assert (other["text"], other["negated"]) == ("no leaks", False)


@pytest.mark.parametrize("words", ["gloves ", "one hundred ", "x", "1", "no leaks, ", "\u00e9"])
def test_ten_thousand_letters_are_answered(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = (words * 10_000)[:10_000]
    [meaning] = meanings(capsys, text, "--expect", "pressure")
    assert set(meaning) == FIELDS
    if meaning["kind"] == "reading":
        # Whatever it made of it, such a number needs the yes.
        assert meaning["doubt"] is not None


def test_bytes_that_are_not_text_are_left_out() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "coach", "understand", b"no \xff\xfeleaks", "--skill",
         "oxygen-cylinder", "--json"],
        capture_output=True,
        check=False,
    )  # fmt: skip
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert json.loads(ran.stdout)["steps"] == ["leaks"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["hello"], "--skill"),
        (["--skill", "suction"], "TEXT"),
        (["hello", "--skill", "oxygen-cylindre"], "did you mean 'oxygen-cylinder'?"),
        (["hello", "--skill", "dancing"], "There is no skill 'dancing': `coach skills` lists"),
        (["hello", "--skill", "nowhere/dancing.yaml"], "dancing.yaml does not exist"),
        (["hello", "--skill", "oral-airway", "--step", "glove"], "did you mean 'gloves'?"),
        (["hello", "--skill", "oral-airway", "--step", "dance"], "no step 'dance': the steps are"),
        (["hello", "--skill", "oral-airway", "--expect", "presure"], "did you mean 'pressure'?"),
        (["hello", "--skill", "oral-airway", "--expect", "luck"], "the words for --expect are"),
        (["hello", "--skill", "oral-airway", "--expect"], "--expect"),
        (["-5", "--skill", "oral-airway"], "-5"),
    ],
)
def test_what_it_does_not_know_is_exit_code_one(
    arguments: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["understand", *arguments]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    assert told in captured.err
    assert "Traceback" not in captured.err


@pytest.mark.parametrize(
    ("text", "told"),
    [("it's a training cylinder", "the cylinder: training"), ("it's empty", "the cylinder: empty")],
)
def test_what_is_said_of_the_cylinder_is_shown(
    text: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["understand", text, "--skill", "oxygen-cylinder", "--expect", "pressure"]
    assert main(arguments) == 0
    assert told in capsys.readouterr().out
