"""`coach skills`: the list for people and for programs."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from coach.cli.main import main

LONG = "a very long chair with a very long name that goes on and on and on and on and on and on"
OWN = f"""\
id: aaa-sitting
title: Sitting down
minutes: 1
table: [{LONG}, a cushion]
sources: {{common: "Common practice, no source"}}
settings:
  chair:
    asks: Which chair?
    default: soft
    because: It is softer.
    options: {{hard: {{says: the hard one}}, soft: {{says: the soft one}}}}
steps:
  - id: sit
    name: the seat
    say: Sit down on {{chair}}.
    why: It is restful.
    how: Bend your knees.
    heard-as: {{keys: [sit/sat]}}
"""


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's folder of skills, with one in it."""
    (tmp_path / "aaa-sitting.yaml").write_text(OWN, "utf-8")
    monkeypatch.setenv("COACH_PROCEDURES", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_list_says_what_to_lay_out_and_is_not_wrapped(
    own_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["skills"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].split(maxsplit=1) == ["aaa-sitting", "Sitting down, 1 minute"]
    assert lines[1].strip() == f"lay out: {LONG}; a cushion"
    assert lines[2].strip() == "chair: hard or soft (default)"
    # Three lines at least for each skill of the program as well.
    assert len(lines) > 5


def test_on_a_terminal_it_is_broken_between_words_and_keeps_its_column(
    own_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "72")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    assert main(["skills"]) == 0
    first, *rest = capsys.readouterr().out.splitlines()
    told = rest[: next(n for n, line in enumerate(rest) if "chair: " in line)]
    assert first.startswith("aaa-sitting") and len(told) > 1
    assert all(len(line) <= 72 and line.startswith(" " * 14) for line in told)
    assert " ".join(line.strip() for line in told) == f"lay out: {LONG}; a cushion"


def test_json_is_one_array(own_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["skills", "--json"]) == 0
    skills = json.loads(capsys.readouterr().out)
    assert skills[0] == {
        "id": "aaa-sitting",
        "title": "Sitting down",
        "minutes": 1,
        "table": [LONG, "a cushion"],
        "settings": {"chair": {"default": "soft", "options": ["hard", "soft"]}},
        "scenarios": [],
        "file": "aaa-sitting.yaml",
    }
    assert all({"id", "title", "minutes", "table"} <= set(skill) for skill in skills)


def test_the_bibliography_has_sources_facts_and_disagreements(
    own_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["skills", "--sources"]) == 0
    lines = capsys.readouterr().out.splitlines()
    # 49 CFR 180.209 gives the test intervals; the guideline of 2010 is of the AARC.
    law = next(number for number, line in enumerate(lines) if line.startswith("49 CFR 180.209"))
    assert lines[law].endswith("(law, no year)")
    assert lines[law + 1] == "    cylinder-test-years: five, ten or twelve years"
    assert any("guideline of 2010 (guideline, 2010)" in line for line in lines)
    assert any(line.endswith("(textbook, no year, from memory, not checked)") for line in lines)
    # StatPearls, Physiology, Pulse Pressure: where pulse pressures begin to be narrow and wide.
    assert any(line.startswith("StatPearls, Physiology, Pulse Pressure") for line in lines)
    part = lines[lines.index("WHERE SOURCES DISAGREE") :]
    pass_adult = next(
        number for number, line in enumerate(part) if line.startswith("suction-pass-adult: ")
    )
    assert part[pass_adult + 1].startswith("    default: 10 s [Oregon EMS")
    assert part[pass_adult + 2].strip().startswith("The shorter published limit")
    assert part[pass_adult + 3].startswith("    longer: 15 s [Exam preparation for North")
    newborn = next(n for n, line in enumerate(part) if line.startswith("breath-rate-newborn: "))
    assert part[newborn + 3].startswith("    later: 30 to 60 /min [")
    assert part[newborn + 3].endswith("(from memory)]")


def test_the_bibliography_tells_no_dose_and_no_size(
    own_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["skills", "--sources"])
    lines = capsys.readouterr().out.splitlines()
    sizes = [line for line in lines if line.strip().startswith("oral-airway-length-adult")]
    assert sizes
    assert all(
        line.endswith(": a size, only checked against the learner's own number") for line in sizes
    )
    amount = re.compile(r"\d (?:French|(?:milli|micro)?grams?|mg|mcg)(?![\w/])")
    assert not [line for line in lines if amount.search(line)]
    # of an airway no text's own name may tell a length
    airways = [line for line in lines if re.match(r"\S.*(?:oral|nasal|pharyngeal) airway", line)]
    assert airways
    assert not [line for line in airways if re.search(r"\d (?:mm|millimeters)", line)]


def test_a_broken_file_is_told_and_the_others_are_listed(
    own_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (own_folder / "bad.yaml").write_text(OWN.replace("say: Sit", "sya: Sit"), "utf-8")
    (own_folder / "worse.yaml").write_bytes(b"\xff\xfe")
    assert main(["skills", "--json"]) == 1
    captured = capsys.readouterr()
    ids = [skill["id"] for skill in json.loads(captured.out)]
    assert "aaa-sitting" in ids
    assert "bad" not in ids
    assert "bad.yaml:15: step 'sit' has an unknown key 'sya': did you mean 'say'?" in captured.err
    assert "worse.yaml:1: the file is not UTF-8 text here" in captured.err


@pytest.mark.parametrize("command", ["skills", "check"])
def test_no_audio_or_speech_library_is_loaded(command: str) -> None:
    code = (
        "import sys; from coach.cli.main import main; main([sys.argv[1]]); "
        "print('loaded:', *(set(sys.modules) & {'sounddevice', 'soundfile', 'vosk', 'pyttsx3', "
        "'onnxruntime', 'numpy', 'soxr'}), file=sys.stderr)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, command], capture_output=True, text=True, check=True
    )
    assert ran.stderr.splitlines()[-1] == "loaded:"


def test_a_file_that_hides_a_skill_of_the_program_is_named_in_the_list_and_aloud(
    own_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A copy with other numbers would else weaken a rule in silence."""
    hiding = OWN.replace("id: aaa-sitting", "id: suction")
    (own_folder / "suction.yaml").write_text(hiding, "utf-8")
    assert main(["skills"]) == 0
    (line,) = (li for li in capsys.readouterr().out.splitlines() if li.startswith("suction "))
    assert "Sitting down, 1 minute, your own version (" in line and "suction.yaml)" in line
    monkeypatch.setattr(sys, "stdin", io.StringIO("end here\nyes\n"))
    main(["practice", "suction", "--typed", "--no-ask-first"])
    assert "Sitting down, your own version: practice only" in capsys.readouterr().out


def test_the_bibliography_has_one_s_own_table_of_facts(
    own_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (own_folder / "facts.yaml").write_text(
        "sources:\n  rest-book: {name: The book of rest, year: 2019, standing: textbook}\n"
        "facts:\n  longest-rest: {about: a rest, population: adult, value: 7, unit: min, "
        "sources: [rest-book]}\n",
        "utf-8",
    )
    assert main(["skills", "--sources"]) == 0
    told = capsys.readouterr().out.splitlines()
    at = told.index("The book of rest (textbook, 2019)")
    assert told[at + 1] == "    longest-rest: 7 min"
