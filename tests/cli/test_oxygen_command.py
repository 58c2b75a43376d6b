"""`coach oxygen` from the outside: its answers, its JSON, its refusals."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from coach.cli.main import main

D15 = ["--cylinder", "D", "--flow", "15"]


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    code = main(["oxygen", *arguments])
    captured = capsys.readouterr()
    assert (code, captured.err) == (0, "")
    return captured.out


def answer(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    out = run(capsys, *arguments, "--json")
    assert out.count("\n") == 1
    data: dict[str, Any] = json.loads(out)
    return data


def refusal(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["oxygen", *arguments]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith("coach: ")
    assert captured.err.count("\n") == 1
    return captured.err


def test_the_answer_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    out = run(capsys, *D15, "--pressure", "1700 psi", "--minutes", "15")
    assert out.startswith("Sixteen minutes at fifteen liters a minute, U S size D")
    for part in ("1700 psi", "200 psi, kept back", "240.0 L", "16 min", "at least 1607 psi"):
        assert part in out
    assert "Training aid only, never for patient care" in out


def test_the_answer_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    assert answer(capsys, *D15, "--pressure", "1,700 PSI") == {
        "minutes": 16.0,
        "whole_minutes": 16,
        "litres": 240.0,
        "factor_l_per_psi": 0.16,
        "reserve_psi": 200.0,
        "pressure_psi": 1700.0,
        "flow_l_min": 15.0,
        "cylinder": "D",
        "region": "us",
        "spoken": "Sixteen minutes at fifteen liters a minute, U S size D, factor point one six, "
        "keeping two hundred P S I in reserve.",
    }


@pytest.mark.parametrize(
    ("arguments", "minutes"),
    [
        # The how-to article crediting the American Academy of Orthopaedic Surgeons
        (["--cylinder", "D", "--pressure", "2000psi", "--flow", "0.5"], 576),
        # theexpeditiondoc.com
        (["--cylinder", "F", "--region", "uk", "--pressure", "2000 psi", "--flow", "5"], 244.8),
        # eHow UK: nothing kept
        (["--cylinder", "E", "--pressure", "2200 psi", "--reserve", "0", "--flow", "2"], 308),
        # Pennsylvania EMS table: nothing kept
        (["--factor", "1.56", "--pressure", "500 psi", "--reserve", "0", "--flow", "6 lpm"], 130),
        # Auerbach, Medicine for the Outdoors: whole contents
        (["--contents", "360 L", "--flow", "10"], 36),
        # TSANZ 2014, Australian D, plain division
        (["--contents", "1.5 m3", "--flow", "2 L/min"], 750),
        # constructed
        (["--cylinder", "d", "--pressure", "2000 psi", "--reserve", "500", "--flow", "15"], 16),
        (
            ["--contents", "360 L", "--full", "2000 psi", "--pressure", "1200 psi", "--flow", "9"],
            20,
        ),
        (["--water", "5 L", "--pressure", "150 bar", "--reserve", "10", "--flow", "10"], 70),
        (["--water", "10 L", "--pressure", "20 MPa", "--reserve", "0", "--flow", "10"], 200),
    ],
)
def test_times(capsys: pytest.CaptureFixture[str], arguments: list[str], minutes: float) -> None:
    data = answer(capsys, *arguments)
    assert data["minutes"] == pytest.approx(minutes)
    assert data["whole_minutes"] == int(minutes)


def test_the_same_gauge_in_four_units(capsys: pytest.CaptureFixture[str]) -> None:
    times = [
        answer(capsys, *D15, "--pressure", pressure)["minutes"]
        for pressure in ("1740.452856 psi", "120 bar", "12000 kPa", "12 MPa")
    ]
    assert times == pytest.approx([times[0]] * 4)


def test_a_bare_reserve_is_in_the_unit_of_the_gauge(capsys: pytest.CaptureFixture[str]) -> None:
    data = answer(capsys, *D15, "--pressure", "120 bar", "--reserve", "10")
    assert data["reserve_psi"] == pytest.approx(145.04, abs=0.01)
    assert "keeping ten bar in reserve" in data["spoken"]
    data = answer(capsys, *D15, "--minutes", "10", "--reserve", "300")
    assert data["reserve_psi"] == 300


@pytest.mark.parametrize("pressure", ["150 psi", "200 psi", "0 psi"])
def test_at_or_below_the_reserve(capsys: pytest.CaptureFixture[str], pressure: str) -> None:
    data = answer(capsys, *D15, "--pressure", pressure)
    assert (data["minutes"], data["whole_minutes"], data["litres"]) == (0, 0, 0)
    assert data["spoken"].startswith("Zero minutes: change the cylinder.")


def test_the_least_pressure_alone(capsys: pytest.CaptureFixture[str]) -> None:
    # Virginia sheet, 2010: 10 L/min for 15 min from a D; it prints 1,150, the exact sum is 1,137.5
    data = answer(capsys, "--cylinder", "D", "--flow", "10", "--minutes", "15")
    assert data["minimum_psi"] == 1138
    assert data["minutes"] is data["whole_minutes"] is data["litres"] is data["enough"] is None
    # The same sheet prints 392 for an M of factor 1.56 and 30 min, which falls short
    data = answer(capsys, "--factor", "1.56", "--flow", "10", "--minutes", "30")
    assert data["minimum_psi"] == 393
    # By the 3,000 L that it gives the same M: 300 L at 1.36 L/psi are 220.6 psi, and 200 are kept
    data = answer(capsys, "--cylinder", "M", "--flow", "10", "--minutes", "30")
    assert data["minimum_psi"] == 421


@pytest.mark.parametrize(("pressure", "enough"), [("1138 psi", True), ("1137 psi", False)])
def test_whether_the_gauge_is_enough(
    capsys: pytest.CaptureFixture[str], pressure: str, enough: bool
) -> None:
    data = answer(
        capsys, "--cylinder", "D", "--flow", "10", "--minutes", "15", "--pressure", pressure
    )
    assert data["enough"] is enough
    assert data["needed_litres"] == 150
    assert ("not enough" in data["spoken"]) is not enough


def test_a_need_beyond_a_full_cylinder_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    data = answer(capsys, *D15, "--minutes", "60")
    assert "more than a full cylinder holds" in data["spoken"]
    assert data["minimum_psi"] == 5825
    data = answer(capsys, "--factor", "0.001", "--flow", "99", "--minutes", "99999")
    assert "more than a full cylinder holds" in data["spoken"]


def test_a_very_long_time_is_still_said(capsys: pytest.CaptureFixture[str]) -> None:
    data = answer(capsys, "--contents", "99999 m3", "--flow", "0.001", "--minutes", "99999")
    assert "hours" in data["spoken"]


def test_contents_know_no_gauge(capsys: pytest.CaptureFixture[str]) -> None:
    data = answer(capsys, "--contents", "360", "--flow", "10", "--minutes", "40")
    assert data["factor_l_per_psi"] is data["minimum_psi"] is data["pressure_psi"] is None
    assert data["reserve_psi"] == 0
    assert data["enough"] is False
    assert "no reserve kept" in data["spoken"]
    assert "Reserve" not in run(capsys, "--contents", "360", "--flow", "10")


def test_the_least_pressure_is_said_in_the_units_of_the_gauge(
    capsys: pytest.CaptureFixture[str],
) -> None:
    data = answer(
        capsys,
        *("--cylinder", "CD", "--region", "UK", "--pressure", "200 bar"),
        *("--flow", "15", "--minutes", "20"),
    )
    assert data["minimum_psi"] == 2390
    assert "one hundred sixty-five bar" in data["spoken"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--flow", "15"], "Which cylinder is it?"),
        (["--cylinder", "D", "--factor", "0.16", "--flow", "15"], "--cylinder and --factor"),
        (["--cylinder", "D", "--pressure", "1700 psi"], "What is the flow?"),
        ([*D15], "What does the gauge read?"),
        ([*D15, "--pressure", "1700"], 'Write the unit too: "1700 psi"'),
        ([*D15, "--pressure", "lots"], "is not a pressure"),
        ([*D15, "--pressure", "-5 psi"], "below zero"),
        ([*D15, "--pressure", "2440 psi"], "more than any such cylinder holds"),
        ([*D15, "--pressure", "1700 bar"], "more than any such cylinder holds"),
        ([*D15, "--pressure", "1700 psi", "--reserve", "9000"], "--reserve 9000 psi is more"),
        ([*D15, "--pressure", "1700 psi", "--full", "2000 psi"], "--full goes with --contents"),
        ([*D15, "--minutes", "0"], "--minutes"),
        ([*D15, "--minutes", "-3"], "--minutes"),
        ([*D15, "--minutes", "nan"], "--minutes"),
        (["--cylinder", "D", "--pressure", "1700 psi", "--flow", "0"], "What is the flow?"),
        (["--cylinder", "D", "--pressure", "1700 psi", "--flow", "-1"], "flow"),
        (["--cylinder", "D", "--pressure", "1700 psi", "--flow", "fast"], '"fast" is not a flow'),
        (["--cylinder", "D", "--pressure", "1700 psi", "--flow", "inf"], "is not a flow"),
        (["--cylinder", "Q", "--pressure", "1700 psi", "--flow", "15"], "known are A, B, C, D"),
        (["--cylinder", "F", "--pressure", "1700 psi", "--flow", "15"], "listed for uk"),
        (["--factor", "0.16", "--pressure", "3000 psi", "--flow", "15"], "more than any such"),
        (["--contents", "360 L", "--pressure", "900 psi", "--flow", "9"], "needs --full"),
        (["--contents", "360 L", "--reserve", "200 psi", "--flow", "9"], "cannot be taken"),
        (["--contents", "360 L", "--full", "2000 psi", "--flow", "9"], "gauge read?"),
        (
            ["--contents", "9 L", "--full", "150 bar", "--pressure", "166 bar", "--flow", "9"],
            "more than any such cylinder holds",
        ),
        (["--contents", "9 L", "--full", "9000 psi", "--flow", "9"], "--full 9000 psi"),
        (["--contents", "9 L", "--full", "0 psi", "--flow", "9"], "above zero"),
        (["--water", "5 L", "--flow", "9"], "What does the gauge read?"),
    ],
)
def test_refusals(capsys: pytest.CaptureFixture[str], arguments: list[str], message: str) -> None:
    assert message in refusal(capsys, *arguments)


def test_runs_one_after_another(capsys: pytest.CaptureFixture[str]) -> None:
    # constructed: (2000 - 200) x 0.16 = 288 L; 10 min at 15, 20 at 4 and 10 at 2 use 250 L
    three = ["--run", "15 L/min for 10 min", "--run", "4 for 20", "--run", "2 L for 10 minutes"]
    data = answer(capsys, "--cylinder", "D", "--pressure", "2000 psi", *three)
    assert [each["gauge_after_psi"] for each in data["runs"]] == pytest.approx(
        [1062.5, 562.5, 437.5]
    )
    assert data["litres_left"] == pytest.approx(38)
    assert data["short_in"] is None
    assert data["spoken"].startswith("All three runs, forty minutes: the gauge ends at about")
    out = run(capsys, "--cylinder", "D", "--pressure", "2000 psi", *three)
    for part in ("Run 2", "ends at 562 psi", "1763 psi on the gauge", "Training aid only"):
        assert part in out


def test_the_run_that_falls_short(capsys: pytest.CaptureFixture[str]) -> None:
    # constructed: 240 L; 10 min at 15 use 150, the next 90 L are nine minutes at 10
    out = run(
        capsys,
        *("--cylinder", "D", "--pressure", "1700 psi"),
        *("--run", "15 for 10", "--run", "10 for 30"),
    )
    assert out.startswith("Run two falls short: nineteen minutes in all, then change the cylinder.")
    assert "only 9 min of it: the gauge ends at 200 psi" in out
    # 450 L of 0.16 L a psi are more than it holds
    assert "All of it needs more than a full cylinder holds" in out


def test_one_run_needs_what_a_flow_needs(capsys: pytest.CaptureFixture[str]) -> None:
    # Virginia sheet, 2010, as above: 10 L/min for 15 min from a D
    data = answer(capsys, "--cylinder", "D", "--run", "10 for 15")
    assert data["minimum_psi"] == 1138
    assert data["minutes"] is None
    assert data["spoken"].startswith("The one run needs at least eleven thirty-eight P S I.")


def test_outlets_open_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    data = answer(
        capsys, "--cylinder", "D", "--flow", "15", "--flow", "4", "--pressure", "1700 psi"
    )
    assert data["flow_l_min"] == 19
    assert data["minutes"] == pytest.approx(240 / 19)


def test_a_ventilated_transfer(capsys: pytest.CaptureFixture[str]) -> None:
    # frcemexam.com, Oxygen requirements for patient transfer: 6 L/min at 60 %, driving gas
    # 0.5 L/min, 60 minutes, doubled: 492 L
    data = answer(
        capsys,
        *("--contents", "680 L", "--breath", "500 mL", "--rate", "12", "--oxygen-percent", "60 %"),
        *("--driving-gas", "0.5", "--minutes", "60", "--margin", "2"),
    )
    assert data["flow_l_min"] == pytest.approx(4.1)
    assert data["needed_litres"] == pytest.approx(492)
    assert data["enough"] is True
    assert data["spoken"].startswith(
        "Twelve breaths of five hundred milliliters: six liters a minute. "
        "The device draws about four point one liters a minute."
    )
    assert "Times two for safety: four hundred ninety-two liters." in data["spoken"]


def test_a_device_by_its_minute_volume(capsys: pytest.CaptureFixture[str]) -> None:
    # Manual of a transport ventilator, manualshive.com 839114 page 19: 9540 L at 2640 psi down to
    # 300 psi; 10 L/min at 100 %; about 14 hours
    data = answer(
        capsys,
        *("--contents", "9540 L", "--full", "2640 psi", "--pressure", "2640 psi"),
        *("--reserve", "300", "--minute-volume", "10 L/min", "--rate", "20"),
    )
    assert round(data["minutes"] / 60) == 14
    assert "That is about five hundred milliliters a breath." in data["spoken"]


def test_liquid_oxygen(capsys: pytest.CaptureFixture[str]) -> None:
    # Respiratory-care test question, qoschin.com PVtXI24TmlBY: 80 lb at 3 L/min, 8 hours a day: 19
    # days
    data = answer(capsys, "--liquid", "80 lb", "--flow", "3")
    assert int(data["minutes"] / 60 / 8) == 19
    assert "if nothing boils away" in data["spoken"]
    assert "reserve" not in data["spoken"]
    half = answer(capsys, "--liquid", "80 lb", "--filled", "50 %", "--flow", "3")
    assert half["minutes"] == pytest.approx(data["minutes"] / 2)


@pytest.mark.parametrize(
    ("margin", "minutes"),
    # 240 L at 15 L/min are 16 min; x 0.8: classicanesthesia.com; doubled: frcemexam.com
    [("a fifth", 12.8), ("third", 16 / 1.5), ("half", 8), ("2", 8), ("1", 16)],
)
def test_margins(capsys: pytest.CaptureFixture[str], margin: str, minutes: float) -> None:
    given = [*D15, "--pressure", "1700 psi", "--margin", margin]
    assert answer(capsys, *given)["minutes"] == pytest.approx(minutes)
    assert ("Margin" in run(capsys, *given)) is (margin != "1")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--cylinder", "D", "--run", "15"], "is not a flow for some minutes"),
        (["--cylinder", "D", "--run", "500 for 10"], "--run: The flow, five hundred, is outside"),
        (["--cylinder", "D", "--run", "15 for 5000"], "--run: The minutes, five thousand"),
        (["--cylinder", "D", "--run", "15 for 5", "--minutes", "9"], "leave out --minutes"),
        (["--cylinder", "D", "--run", "15 for 5", "--flow", "9"], "leave out --flow"),
        (["--contents", "360 L", "--run", "15 for 5"], "needs a cylinder with a gauge"),
        ([*D15, "--breath", "500 mL"], "Is it an outlet or a device?"),
        (["--cylinder", "D", "--breath", "500 mL"], "How much is breathed?"),
        (["--cylinder", "D", "--breath", "0.5 mL", "--rate", "12"], "Is that in liters?"),
        (["--cylinder", "D", "--breath", "500", "--rate", "12"], "In which unit is --breath 500?"),
        (
            ["--cylinder", "D", "--breath", "5 mL", "--rate", "12"],
            "--breath, --rate: The minute volume, point zero six, is outside",
        ),
        (["--cylinder", "D", "--breath", "5 L", "--rate", "12"], "--breath, --rate: One breath's"),
        (
            ["--cylinder", "D", "--breath", "500 mL", "--rate", "400"],
            "The adult's rate, four hundred",
        ),
        (["--cylinder", "D", "--minute-volume", "6", "--breath", "500"], "say the same twice"),
        (["--cylinder", "D", "--minute-volume", "90"], "The minute volume, ninety"),
        (["--cylinder", "D", "--minute-volume", "6", "--oxygen-percent", "0.6"], "share of one"),
        (["--cylinder", "D", "--minute-volume", "6", "--oxygen-percent", "15"], "Oxygen percent"),
        (["--cylinder", "D", "--minute-volume", "6", "--driving-gas", "30"], "Driving gas"),
        (["--liquid", "2", "--flow", "2"], "write it with its unit"),
        (["--liquid", "900 L", "--flow", "2"], "Liters of liquid, nine hundred, is outside"),
        (["--liquid", "2 L", "--filled", "150", "--flow", "2"], "Percent full"),
        (["--liquid", "2 L", "--pressure", "900 psi", "--flow", "2"], "by its weight or level"),
        (["--cylinder", "D", "--filled", "50", "--flow", "2"], "--filled goes with --liquid"),
        ([*D15, "--pressure", "1700 psi", "--margin", "0.5"], "--margin: The multiplier"),
        ([*D15, "--pressure", "1700 psi", "--margin", "lots"], "is no margin"),
        ([*D15, "--flow", "500", "--pressure", "1700 psi"], "--flow: The flow, five hundred"),
    ],
)
def test_more_is_asked_about(
    capsys: pytest.CaptureFixture[str], arguments: list[str], message: str
) -> None:
    assert message in refusal(capsys, *arguments)


M10 = ["--cylinder", "M", "--flow", "10", "--pressure", "2000 psi"]


def test_a_local_program_s_cylinder_and_reserve_count_and_are_told(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # 3,450 liters by the label: 1.56 liters per psi as courses print; 300 psi kept: 265.2 minutes.
    by_program = answer(capsys, *M10, "--program", "riverside")
    assert by_program["whole_minutes"] == 265
    assert (by_program["factor_l_per_psi"], by_program["reserve_psi"]) == (1.56, 300)
    assert by_program["program"].startswith("Riverside evening course, of September 1, 2026")
    plain = answer(capsys, *M10)
    assert (plain["factor_l_per_psi"], plain["reserve_psi"]) == (1.36, 200)
    assert "program" not in plain
    out = run(capsys, *M10, "--program", "riverside")
    assert "Rules      Riverside evening course, of September 1, 2026" in out
    assert "It promises more time than what is published: The county owns none" in out
    assert "Rules      Riverside" in run(
        capsys, *M10[:2], *M10[4:], "--run", "10 for 5", "--program", "riverside"
    )


def test_a_size_of_a_local_program_alone(capsys: pytest.CaptureFixture[str]) -> None:
    own = ["--cylinder", "PD", "--region", "uk", "--flow", "10", "--pressure", "200 bar"]
    assert answer(capsys, *own, "--program", "northharbor", "--reserve", "0")["whole_minutes"] == 29
    assert 'no UK cylinder "PD"' in refusal(capsys, *own)


def test_the_reserve_of_the_settings_is_kept(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_RESERVE", "500 psi")
    assert answer(capsys, *M10)["reserve_psi"] == 500
    assert answer(capsys, *M10, "--program", "riverside")["reserve_psi"] == 500
    assert answer(capsys, *M10, "--reserve", "0")["reserve_psi"] == 0


def test_an_unknown_region_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["oxygen", *D15, "--region", "mars"]) == 1
    assert "anz" in capsys.readouterr().err


def test_the_help_shows_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert 'Example: coach oxygen --cylinder D --pressure "1700 psi"' in run(capsys, "--help")


def test_no_audio_library_is_imported() -> None:
    script = (
        "import sys; from coach.cli.main import main; "
        "main(['oxygen', '--cylinder', 'D', '--pressure', '1700 psi', '--flow', '15']); "
        "heavy = {'sounddevice', 'soundfile', 'pyttsx3', 'vosk', 'onnxruntime', 'numpy'}; "
        "sys.exit(len(heavy & set(sys.modules)))"
    )
    finished = subprocess.run([sys.executable, "-c", script], check=False, capture_output=True)
    assert finished.returncode == 0


def test_the_local_program_says_what_is_kept_back(capsys: pytest.CaptureFixture[str]) -> None:
    # 30 bar are 435.11 psi (NIST SP 811, appendix B.8: 14.50377 psi to the bar);
    # (1700 - 435.11) psi x 0.16 L/psi / 15 L/min are 13.49 min; without the program 16.
    gauge = [*D15, "--pressure", "1700 psi", "--program", "northharbor"]
    data = answer(capsys, *gauge)
    assert data["reserve_psi"] == pytest.approx(435.11, abs=0.01)
    assert data["whole_minutes"] == 13
    assert "keeping thirty bar in reserve" in data["spoken"]
    assert data["program"].startswith("North Harbor ambulance school, of March 15, 2026")
    assert "Rules      North Harbor ambulance school" in run(capsys, *gauge)
    own = answer(capsys, *gauge, "--reserve", "200")
    assert (own["reserve_psi"], own["program"]) == (200, data["program"])
    runs = answer(capsys, *("--cylinder", "D", "--run", "15 for 5", "--program", "northharbor"))
    assert (runs["reserve_psi"], runs["program"]) == (data["reserve_psi"], data["program"])


def test_a_reserve_less_safe_than_published_tells_its_reason(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    rules = tmp_path / "short.local.yaml"
    rules.write_text(
        'program: Short course\ndate: "2026-01-02"\napproved-by: nobody\nfacts:\n'
        "  cylinder-reserve: {value: 100, unit: psi, because: so, weakens: No patient is near.}\n",
        encoding="utf-8",
    )
    out = run(capsys, *D15, "--pressure", "1700 psi", "--program", str(rules))
    assert "Less safe than published: No patient is near." in out


def own_rules(folder: Path, facts: str) -> list[str]:
    """The option that puts a program with these facts in force."""
    path = folder / "own.local.yaml"
    head = 'program: Own course\ndate: "2026-01-02"\napproved-by: nobody\n'
    path.write_text(f"{head}facts:\n{facts}", encoding="utf-8")
    return ["--program", str(path)]


LIQUID = ("--liquid", "2 L", "--flow", "2")


def test_what_liquid_oxygen_gives_is_the_program_s(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    # 2 liters by 860 are 1,720 liters of gas, 14 hours and 20 minutes at 2 L/min.
    assert answer(capsys, *LIQUID)["whole_minutes"] == 860
    less = own_rules(tmp_path, "  liquid-oxygen-gas: {value: 800, unit: L/L, because: so}\n")
    data = answer(capsys, *LIQUID, *less)
    assert data["whole_minutes"] == 800
    assert data["program"].startswith("Own course, of January 2, 2026")
    assert "weaker" not in data
    # whatever does not rest on it is not told as the program's
    assert "program" not in answer(capsys, "--contents", "360 L", "--flow", "2", *less)
    more = "  liquid-oxygen-gas:\n    {value: 900, unit: L/L, because: so, weakens: It is cold.}\n"
    out = run(capsys, *LIQUID, *own_rules(tmp_path, more))
    assert "Less safe than published: It is cold." in out
    plain = run(capsys, *D15, "--pressure", "1700 psi", *own_rules(tmp_path, more))
    assert "It is cold." not in plain


def test_what_a_device_may_have_is_the_program_s(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    device = ("--breath", "200 mL", "--rate", "50", "--cylinder", "D", "--pressure", "1700 psi")
    assert answer(capsys, *device)["flow_l_min"] == 10
    fewer = own_rules(tmp_path, "  device-rate: {low: 5, high: 40, unit: /min, because: so}\n")
    assert "The rate, fifty, is outside five to forty" in refusal(capsys, *device, *fewer)


def test_a_margin_names_who_plans_so_and_its_most_is_the_program_s(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    gauge = (*D15, "--pressure", "1700 psi", "--margin")
    assert "(Oxygen requirements for patient transfer" in run(capsys, *gauge, "2")
    assert "the rule of thirds (from memory); Common practice" in run(capsys, *gauge, "third")
    assert "(no published text has it)" in run(capsys, *gauge, "3")
    facts = "  oxygen-margin-most:\n    {value: 2, unit: times, because: so, weakens: so}\n"
    most = own_rules(tmp_path, facts)
    assert "is outside one to two" in refusal(capsys, *gauge, "3", *most)


def test_reserve_and_region_of_the_settings_count(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_RESERVE", "30 bar")
    monkeypatch.setenv("COACH_REGION", "uk")
    monkeypatch.setenv("COACH_PROGRAM", "northharbor")
    data = answer(capsys, "--cylinder", "E", "--flow", "10", "--pressure", "100 bar")
    assert data["region"] == "uk"
    assert data["reserve_psi"] == pytest.approx(435.11, abs=0.01)
    assert "keeping thirty bar in reserve" in data["spoken"]
    us = answer(capsys, "--cylinder", "E", "--region", "us", "--flow", "10", "--minutes", "5")
    assert us["region"] == "us"
    assert main(["oxygen", *D15, "--pressure", "1700 psi", "--program", "nowhere"]) == 1
    assert "nowhere" in capsys.readouterr().err
