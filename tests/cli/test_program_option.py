"""A local program in force: named in the first sentence and the report, and its rules count."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from coach.app.beginning import first_event
from coach.app.local_rules import program_in_force, settings_by
from coach.cli.main import main
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import SessionStarted
from coach.edges.local_program_file import load_local_program
from coach.edges.settings import load_settings
from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import local_program_path

RIVERSIDE = (
    "Riverside evening course, of September 1, 2026, approved by the medical director of "
    "Riverside County"
)


@pytest.fixture(autouse=True)
def _alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)


def practised(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *arguments: str
) -> list[dict[str, Any]]:
    monkeypatch.setattr("sys.stdin", io.StringIO("I'm ready\nstop\nyes\n"))
    assert main(["practice", *arguments, "--typed", "--json"]) == 0
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def test_the_first_sentence_names_the_program_and_the_weaker_rule_is_said_aloud(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = practised(monkeypatch, capsys, "suction", "--program", "riverside")
    said = [line["text"] for line in lines if line["type"] == "said"]
    assert said[0] == (
        f"Suction of the mouth, by the rules of {RIVERSIDE}: practice only, never patient care; "
        "your local protocol and medical direction decide."
    )
    assert said[1].endswith(
        "15 seconds instead of 10 seconds. The reason that your program gives: Our manikins drain "
        "slowly, and no patient is involved."
    )
    assert said[2] == "Say I'm ready to begin, or help at any time."
    summary = lines[-1]
    assert summary["program"] == RIVERSIDE
    assert len(summary["weaker"]) == 1
    assert "Our manikins drain slowly" in summary["weaker"][0]


def test_the_report_names_it_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("stop\nyes\n"))
    assert main(["practice", "oral-airway", "--typed", "--program", "riverside"]) == 0
    out = capsys.readouterr().out
    assert f"\nBy the rules of {RIVERSIDE}\n" in out
    assert "Weaker" not in out  # nothing of this skill is


def test_nothing_is_in_force_unless_it_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = practised(monkeypatch, capsys, "suction")
    first = next(line["text"] for line in lines if line["type"] == "said")
    assert "by the rules" not in first
    assert lines[-1]["program"] is None
    assert main(["skills", "--rules"]) == 0
    out = capsys.readouterr().out
    assert "No local program is in force" in out
    # every default that is not the safest published number is told, with the reason
    told = out.partition("DEFAULTS THAT ARE NOT THE SAFEST PUBLISHED NUMBER\n")[2]
    facts = facts_for(program_facts().parent).facts.values()
    for fact in facts:
        assert (f"{fact.name}: " in told) is bool(fact.exception)
        assert fact.exception in told
    assert "epinephrine-hold: 3 s" in told


def test_the_variable_puts_it_in_force_as_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COACH_PROGRAM", "riverside")
    assert practised(monkeypatch, capsys, "suction")[-1]["program"] == RIVERSIDE


def test_a_skill_that_is_turned_off_is_refused_with_the_reason_and_not_listed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["practice", "pulse-oximetry", "--typed", "--program", "riverside"]) == 1
    assert (
        "pulse-oximetry is turned off by Riverside evening course: It is taught in the second term."
        in capsys.readouterr().err
    )
    main(["skills", "--program", "riverside"])
    assert not any(
        line.startswith("pulse-oximetry ") for line in capsys.readouterr().out.splitlines()
    )


def test_what_differs_is_listed_with_its_reason(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["skills", "--rules", "--program", "riverside"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[:2] == [
        "RULES IN FORCE: Riverside evening course",
        "of 2026-09-01, approved by the medical director of Riverside County",
    ]
    for told in (
        "    LESS SAFE, and said aloud: Our manikins drain slowly, and no patient is involved.",
        "    step suction-ready: own how, phrases (Our units hang on the wall.)",
        "    turned off: It is taught in the second term.",
    ):
        assert told in lines
    number = next(line for line in lines if line.startswith("cylinder-reserve: "))
    assert number.startswith("cylinder-reserve: 300 psi instead of 200 psi")


def test_its_numbers_texts_defaults_and_order_count() -> None:
    riverside = load_local_program(local_program_path("riverside"))
    limit = load_skill("suction", riverside).chosen({}).step("withdraw").clock
    assert limit is not None
    assert limit.limit_s == 15
    airway = load_skill("oral-airway", riverside)
    assert airway.default_choices()["landmark"] == "incisors-to-jaw"
    ready = airway.chosen({}).step("suction-ready")
    assert ready.how.startswith("Take the rigid tip off the wall")
    assert "the wall unit is running" in ready.heard_as.phrases
    harbor = load_local_program(local_program_path("northharbor"))
    nasal = [step.id for step in load_skill("nasal-airway", harbor).chosen({}).steps]
    assert nasal.index("ventilation") < nasal.index("flange")
    suction = load_skill("suction", harbor)
    assert "turn-side" not in suction.step_ids
    assert suction.default_choices()["patient"] == "child"


def test_the_pressure_kept_back_is_the_program_s_unless_another_is_given() -> None:
    for given, psi in (({}, 300.0), ({"reserve": "500 psi"}, 500.0)):
        settings = load_settings({"program": "riverside", **given}, {})
        program = program_in_force(settings)
        skill_file = load_skill("oxygen-delivery", program)
        event = first_event(skill_file, settings_by(program, settings), {}, ())
        assert event.reserve_psi == psi
        assert event.program == "Riverside evening course, 2026-09-01"


def test_a_lower_reserve_is_said_where_a_cylinder_s_pressure_is_read(tmp_path: Path) -> None:
    path = tmp_path / "low.local.yaml"
    path.write_text(
        "program: Low\ndate: 2026-01-02\napproved-by: nobody real\nfacts:\n  cylinder-reserve:\n"
        "    {value: 100, unit: psi, because: So., weakens: The cylinders are new.}\n",
        "utf-8",
    )
    program = load_local_program(path)
    told = load_skill("oxygen-delivery", program).in_force
    assert told is not None
    assert told.weaker == (
        (
            "Weaker than published: pressure kept back in the cylinder, 100 P S I instead of "
            "200 P S I.",
            "The cylinders are new.",
        ),
    )
    other = load_skill("oral-airway", program).in_force
    assert other is not None
    assert other.weaker == ()


def test_a_cylinder_that_promises_more_is_said_aloud(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = practised(monkeypatch, capsys, "oxygen-delivery", "--program", "riverside")
    said = [line["text"] for line in lines if line["type"] == "said"]
    assert (
        "Weaker than published: U S cylinder M, factor 1.56 instead of 1.36. The reason that your "
        "program gives: The county owns none of the smaller ones."
    ) in said
    assert main(["skills", "--rules", "--program", "riverside"]) == 0
    told = capsys.readouterr().out
    assert "\nUS cylinder M: 3,450 L at 2,200 psi, factor 1.56 instead of 3,000 L at" in told
    assert "\nUS cylinder D: 350 L at 2,200 psi, factor 0.16\n    because: The lower one" in told


def test_a_cylinder_of_a_program_can_be_practised_with_and_set(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--region", "uk", "--cylinder", "PD"]
    practised(monkeypatch, capsys, "oxygen-delivery", *options, "--program", "northharbor")
    assert main(["practice", "oxygen-delivery", "--typed", *options]) == 1
    assert '--cylinder: There is no UK cylinder "PD"' in capsys.readouterr().err
    Path("config.yaml").touch()
    monkeypatch.setenv("COACH_CONFIG", "config.yaml")
    monkeypatch.setenv("COACH_REGION", "uk")
    assert main(["settings", "set", "cylinder", "PD"]) == 1
    assert '--cylinder: There is no UK cylinder "PD"' in capsys.readouterr().err
    monkeypatch.setenv("COACH_PROGRAM", "northharbor")
    assert main(["settings", "set", "cylinder", "PD"]) == 0
    monkeypatch.delenv("COACH_PROGRAM")
    capsys.readouterr()
    assert main(["settings"]) == 0
    captured = capsys.readouterr()
    assert 'There is no UK cylinder "PD"' in captured.err
    assert "cylinder" in captured.out


def test_a_session_is_not_gone_on_with_by_other_rules() -> None:
    program = load_local_program(local_program_path("riverside"))
    begun = SessionStarted(0.0, "suction", program="Riverside evening course, 2026-09-01")
    advance(new_state(load_skill("suction", program)), begun)
    for skill_file, event in (
        (load_skill("suction"), begun),
        (load_skill("suction", program), SessionStarted(0.0, "suction")),
    ):
        with pytest.raises(UnlawfulEventError, match="other rules"):
            advance(new_state(skill_file), event)


def test_the_guide_and_the_picture_name_the_rules() -> None:
    assert main(["sheet", "suction", "--program", "riverside", "--to", "page.html"]) == 0
    assert f"Rules in force: {RIVERSIDE}" in Path("page.html").read_text("utf-8")
    assert main(["walk", "suction", "--program", "riverside"]) == 0
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", Path("suction.svg").read_text("utf-8"))
    assert f"rules of {RIVERSIDE}" in " ".join(texts)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("rivreside", "There is no local program 'rivreside': did you mean 'riverside'?"),
        ("zzz", "the local programs are northharbor, riverside."),
        ("./none.yaml", "none.yaml does not exist"),
    ],
)
def test_an_unknown_program_is_refused(
    name: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["practice", "suction", "--typed", "--program", name]) == 1
    assert says in capsys.readouterr().err


def test_a_change_that_breaks_a_skill_is_told_at_its_line_of_the_program_s_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.local.yaml"
    path.write_text(
        "program: Bad\ndate: 2026-01-02\napproved-by: nobody real\nskills:\n  oral-airway:\n"
        "    steps:\n      size:\n        because: So.\n        how: Take 3 of them.\n",
        "utf-8",
    )
    assert main(["check", "bad.local.yaml"]) == 1
    assert capsys.readouterr().out.startswith(
        "bad.local.yaml:5: with these changes skill 'oral-airway' is not sound: 'how' of step "
        "'size' has the number 3 from nowhere"
    )
