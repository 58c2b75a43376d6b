"""The questions before the first practice, typed, and `coach settings` that changes the answers."""

from __future__ import annotations

import contextlib
import io
import json
import os
import pty
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.cli.main import main
from coach.dialogue.events import SessionStarted
from coach.dialogue.first_questions import NOT_REMEMBERED, REMEMBERED
from coach.dialogue.setup_talk import NOT_NOW
from coach.edges.journal_file import read_journal
from coach.session.journal_lines import decode

READY = "Say I'm ready to begin"


@pytest.fixture(autouse=True)
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty settings file; nothing of the machine counts."""
    for name in [name for name in os.environ if name.startswith("COACH_")]:
        monkeypatch.delenv(name)
    file = tmp_path / "config.yaml"
    file.write_text("# mine\n", encoding="utf-8")
    monkeypatch.setenv("COACH_CONFIG", str(file))
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "data"))
    return file


def practise(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    typed: str,
    *arguments: str,
) -> list[str]:
    """What the coach said in a practice by keyboard."""
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    assert main(["practice", *arguments, "--typed", "--json"]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    return [row["text"] for row in rows if row["type"] == "said"]


def started(data: Path) -> SessionStarted:
    """How the newest session began, from its journal."""
    journal = max((data / "sessions").glob("*.jsonl"), key=lambda path: path.stat().st_mtime_ns)
    events = [decode(line)[1] for line in journal.read_text(encoding="ascii").splitlines()]
    return next(event for event in events if isinstance(event, SessionStarted))


def test_answers_count_at_once_and_are_remembered(
    tmp_path: Path,
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    said = practise(
        monkeypatch, capsys, "the UK\nbar\na C D\nI'm ready\n", "oxygen-delivery", "--ask-first"
    )
    assert "Where do your cylinders come from" in said[0]
    assert said[3:5] == ["C D.", REMEMBERED]
    assert READY in said[5]
    assert yaml.safe_load(settings.read_text(encoding="utf-8")) == {
        "region": "uk",
        "pressure-unit": "bar",
        "cylinder": "CD",
    }
    assert settings.read_text(encoding="utf-8").startswith("# mine\n")
    first = started(tmp_path / "data")
    assert (first.region, first.cylinder, first.pressure_unit) == ("uk", "CD", "bar")
    # A CD is filled to 230 bar (Lutman and Petros, Emerg Med J 2006;23:703-4).
    assert first.choices["fill"] == "bar-230"

    said = practise(monkeypatch, capsys, "I'm ready\n", "oxygen-delivery", "--ask-first")
    assert READY in said[0]
    again = started(tmp_path / "data")
    assert (again.region, again.cylinder, again.choices) == ("uk", "CD", first.choices)


@pytest.mark.parametrize(
    "more", [(), ("--no-ask-first",), ("--way", "assessed"), ("--way", "recall")]
)
def test_nothing_is_asked_where_lines_come_from_a_program(
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    more: tuple[str, ...],
) -> None:
    """No line meant for the practice is ever taken for an answer."""
    said = practise(monkeypatch, capsys, "I'm ready\n", "oxygen-cylinder", *more)
    assert not any("cylinders come from" in line for line in said)
    assert settings.read_text(encoding="utf-8") == "# mine\n"


def test_what_was_said_for_this_session_is_not_asked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["--ask-first", "--region", "uk", "--cylinder", "CD", "--pressure-unit", "bar"]
    assert READY in practise(monkeypatch, capsys, "", "oxygen-cylinder", *arguments)[0]
    landmark = ("--ask-first", "--set", "landmark=mouth-to-jaw")
    assert READY in practise(monkeypatch, capsys, "", "oral-airway", *landmark)[0]


def test_what_the_local_program_decides_is_neither_asked_nor_overruled_by_what_is_remembered(
    tmp_path: Path,
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Riverside measures an oral airway from the teeth."""
    program = ("--ask-first", "--program", "riverside")
    assert READY not in practise(monkeypatch, capsys, "", "nasal-airway", *program)[0]
    assert READY in " ".join(practise(monkeypatch, capsys, "", "oral-airway", *program))
    settings.write_text("oral-airway.landmark: mouth-to-jaw\n", encoding="utf-8")
    practise(monkeypatch, capsys, "I'm ready\n", "oral-airway", "--program", "riverside")
    assert "landmark" not in started(tmp_path / "data").choices
    practise(monkeypatch, capsys, "I'm ready\n", "oral-airway")
    assert started(tmp_path / "data").choices["landmark"] == "mouth-to-jaw"


def test_the_end_of_the_lines_begins_the_session_and_keeps_what_was_said(
    settings: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = practise(monkeypatch, capsys, "the states\n", "oxygen-cylinder", "--ask-first")
    assert any(READY in line for line in said)
    assert yaml.safe_load(settings.read_text(encoding="utf-8")) == {"region": "us"}


def test_blank_lines_are_silence_and_nobody_is_waited_for(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = practise(
        monkeypatch, capsys, "\n" * 20 + "I'm ready\n", "oxygen-cylinder", "--ask-first"
    )
    asked = [line for line in said if "cylinders come from" in line]
    assert len(asked) == 2
    assert "Nothing heard: I go on with the defaults, and ask again another time." in said


def test_stop_is_for_the_session(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = practise(monkeypatch, capsys, "stop\nyes\n", "oxygen-cylinder", "--ask-first")
    assert "Paused. Shall I end here?" in said


def test_where_they_cannot_be_kept_the_answers_hold_for_the_session(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(values: object, environ: object) -> Path:
        from coach.core.errors import MissingError

        raise MissingError("no space")

    monkeypatch.setattr("coach.app.first_questions.remember", full)
    lines = "uk\nbar\nf\nI'm ready\n"
    said = practise(monkeypatch, capsys, lines, "oxygen-cylinder", "--ask-first")
    assert NOT_REMEMBERED in said
    assert REMEMBERED not in said
    assert started(tmp_path / "data").cylinder == "F"


def test_a_learner_at_a_terminal_is_asked(tmp_path: Path, settings: Path) -> None:
    """By keyboard the same questions come as text, without an option."""
    keys, terminal = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "coach", "practice", "oral-airway", "--typed"],
        stdin=terminal,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    os.close(terminal)
    os.write(keys, b"mouth to jaw\nstop\nyes\n")
    try:
        out, _ = process.communicate(timeout=60)
    finally:
        process.kill()
        with contextlib.suppress(OSError):
            os.close(keys)
    assert "How does your course size it" in out
    assert "I remember that" in out
    assert settings.read_text(encoding="utf-8") == "# mine\noral-airway.landmark: mouth-to-jaw\n"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """`coach settings` with these arguments: exit code, output, errors."""
    code = main(["settings", *arguments])
    told = capsys.readouterr()
    return code, told.out, told.err


def test_settings_are_set_shown_and_forgotten(
    settings: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, value in (
        ("region", "uk"),
        ("cylinder", "CD"),
        ("training-cylinder", "empty"),
        ("oral-airway.landmark", "mouth-to-jaw"),
    ):
        assert run(capsys, "set", name, value)[0] == 0
    shown: dict[str, Any] = json.loads(run(capsys, "--json")[1])
    rows = {row["name"]: row for row in shown["settings"]}
    assert rows["oral-airway.landmark"]["value"] == "mouth-to-jaw"
    assert rows["oral-airway.landmark"]["variable"] is None
    assert rows["training-cylinder"]["origin"] == f"{settings}:4"
    assert run(capsys, "forget", "--asked")[1] == (
        "Forgotten: cylinder, oral-airway.landmark, region.\n"
    )
    assert settings.read_text(encoding="utf-8") == "# mine\ntraining-cylinder: empty\n"
    assert "nothing" in run(capsys, "forget", "region")[1]


def test_who_forgets_the_region_forgets_the_letter_that_is_of_it(
    settings: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings.write_text("region: uk\ncylinder: CD\n", encoding="utf-8")
    assert run(capsys, "forget", "region")[0] == 0
    assert run(capsys)[0] == 0


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("set", "regio", "uk"), "Did you mean region?"),
        (("set", "region", "mars"), "use us, uk or anz"),
        (("set", "cylinder", "CD"), "CD is listed for uk"),
        (("set", "oral-airway.landmark", "nose"), "has no option 'nose'"),
        (("set", "oral-airway.landmrk", "x"), "has no setting 'landmrk'"),
        (("set", "oral-airwy.landmark", "x"), "oral-airway"),
        (("forget",), "--asked"),
    ],
)
def test_mistakes_are_told_and_nothing_is_written(
    settings: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], told: str
) -> None:
    code, _, errors = run(capsys, *arguments)
    assert code != 0
    assert told in errors
    assert settings.read_text(encoding="utf-8") == "# mine\n"


def test_an_option_in_the_file_that_the_skill_lacks_is_told_with_its_line(
    settings: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    settings.write_text("# mine\noral-airway.landmark: nose\n", encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    assert main(["practice", "oral-airway", "--typed"]) == 1
    assert (
        f"{settings}:2: setting 'landmark' of oral-airway has no option" in capsys.readouterr().err
    )


def test_a_setting_is_changed_by_voice_before_the_beginning_and_leaves_no_empty_attempt(
    tmp_path: Path,
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = "what do you know about my setup\nuse bar\nI'm ready\nuse psi\n"
    said = practise(monkeypatch, capsys, words, "oxygen-delivery")
    assert said[1].startswith("Nobody has told me anything yet. By default I take cylinders from")
    assert said[2] == f"Bar. {REMEMBERED}"
    assert READY in said[3]
    assert NOT_NOW in said
    assert yaml.safe_load(settings.read_text(encoding="utf-8")) == {"pressure-unit": "bar"}
    assert len([*(tmp_path / "data" / "sessions").glob("*.jsonl")]) == 1
    assert started(tmp_path / "data").pressure_unit == "bar"


def test_a_setting_changed_in_the_debrief_counts_for_the_next_student(
    tmp_path: Path,
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = "I'm ready\nfinish\nyes\nuse bar\nnext student, Ana\nfinish\nyes\n"
    said = practise(monkeypatch, capsys, words, "oxygen-delivery", "--way", "recall")
    assert f"Bar. {REMEMBERED}" in said
    assert yaml.safe_load(settings.read_text(encoding="utf-8")) == {"pressure-unit": "bar"}
    assert started(tmp_path / "data").pressure_unit == "bar"


def test_a_setting_changed_before_the_beginning_counts_for_the_next_student_too(
    tmp_path: Path,
    settings: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The attempt was begun anew with it; whoever comes after does not go back to the old one."""
    words = "use bar\nI'm ready\nfinish\nyes\nnext student, Ana\nI'm ready\nfinish\nyes\n"
    practise(monkeypatch, capsys, words, "oxygen-delivery", "--way", "recall")
    journals = sorted((tmp_path / "data" / "sessions").glob("*.jsonl"))
    begun = [
        event
        for journal in journals
        for event in read_journal(journal).events
        if isinstance(event, SessionStarted)
    ]
    assert [event.pressure_unit for event in begun] == ["bar", "bar"]
