"""`coach practice` by keyboard and with scripted learners, as a user or a program runs it."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from coach.cli.main import main
from coach.edges.skill_folders import skill_ids

ROOT = Path(__file__).parents[2]
PROCEDURES = ROOT / "procedures"
Row = dict[str, Any]

ORAL_AIRWAY = """\
let's begin
I've put gloves on and I'm wearing my goggles
he's out cold, no gag and no cough
mouth looks clear, nothing in there
the suction unit is on and within reach
I lined it up from the corner of his mouth to the ear lobe and it's ninety millimeters
yes
crossed my fingers and opened the mouth
slid it in upside down and turned it over as it went back
the flange is sitting on the lips
chest rises with each breath and I can hear air going in
he gagged so I pulled it out
"""

OXYGEN_CYLINDER = """\
ready
gloves on and safety glasses on
the cylinder is lying flat so it can't roll away
hands are clean, no oil or grease, nobody smoking
the label says oxygen
pin holes are at two and five
it's within its test date
no dents, no rust, no damage
there's a single washer and it looks good
gave it a quick crack and shut it
the regulator is seated on the pins and the screw is hand tight
flow control is off
standing off to the side, I slowly opened the valve
listened all around, there are no leaks
gauge says {pressure} p s i and I want {flow} liters per minute
yes
flow is on and I feel gas at the outlet
nobody is wearing a mask or cannula
I turned the flow off
cylinder valve is closed
bled it, the gauge reads zero
took the regulator off
outlet is covered, tagged part used, and stored in the rack
"""

MEANING = {
    "kind", "command", "answer", "steps", "negated", "quantity", "value", "unit", "doubt",
    "confidence", "text", "file", "error",
}  # fmt: skip


@pytest.fixture
def practise(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Any:
    """Practises by keyboard with the lines of a text; the rows that were printed."""

    def run(skill: str, text: str, *options: str) -> list[Row]:
        monkeypatch.setattr(sys, "stdin", io.StringIO(text))
        assert main(["practice", skill, "--typed", "--json", *options]) == 0
        captured = capsys.readouterr()
        assert captured.err == ""
        return [json.loads(line) for line in captured.out.splitlines()]

    return run


def said(rows: list[Row]) -> str:
    return "\n".join(row["text"] for row in rows if row["type"] == "said")


# Whole sessions.


def test_an_oral_airway_in_ones_own_words(practise: Any) -> None:
    end = practise("oral-airway", ORAL_AIRWAY)[-1]
    assert (end["missed"], end["out_of_order"]) == ([], [])
    assert end["oxygen_minutes"] is None
    [length] = end["readings"]
    assert (length["quantity"], length["value"], length["unit"]) == ("length", 90, "mm")
    assert length["in_range"] is True


@pytest.mark.parametrize(
    ("cylinder", "pressure", "flow", "minutes", "factor"),
    [
        # (gauge - 200 psi) x factor / flow, with D 0.16 and E 0.28 liters per psi: 'Oxygen
        # Cylinder Guidance', October 2010, applying Virginia EMS regulation 12VAC5-31-860.
        # The gauge and flow of the first and the last are made here; minutes are rounded down.
        ("D", "seventeen hundred", "fifteen", 16, "point one six"),
        # Jade First Aid (Canada), oxygen planning chart, prints 28.8 minutes.
        ("D", "two thousand", "ten", 28, "point one six"),
        ("E", "two thousand", "ten", 50, "point two eight"),
    ],
)
def test_an_oxygen_cylinder_in_ones_own_words_and_its_minutes(
    cylinder: str, pressure: str, flow: str, minutes: int, factor: str, practise: Any
) -> None:
    text = OXYGEN_CYLINDER.format(pressure=pressure, flow=flow)
    options = ["--cylinder", cylinder, "--reserve", "200 psi"]
    rows = practise("oxygen-cylinder", text, *options)
    end = rows[-1]
    assert (end["missed"], end["out_of_order"]) == ([], [])
    assert end["oxygen_minutes"] == minutes
    assert factor in said(rows)
    assert [reading["quantity"] for reading in end["readings"]] == ["pressure", "flow"]


def test_the_summary_for_people_says_the_same(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = OXYGEN_CYLINDER.format(pressure="seventeen hundred", flow="fifteen")
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    assert main(["practice", "oxygen-cylinder", "--typed"]) == 0
    out = capsys.readouterr().out
    assert "Missed: nothing" in out
    assert "Oxygen: 16 minutes" in out
    assert "never patient care" in out.splitlines()[0]
    # What the learner typed stands on the screen already.
    assert "You:" not in out


@pytest.mark.parametrize("ending", ["", "stop\nyes\n"], ids=["end of input", "stop"])
def test_the_end_of_input_is_like_stop(ending: str, practise: Any) -> None:
    rows = practise("oral-airway", f"my gloves and goggles are on\n{ending}")
    assert rows[-1]["done"] == ["gloves"]
    assert "unresponsive" in rows[-1]["missed"]
    assert not any(row["type"] == "heard" for row in practise("oral-airway", "")), (
        "an ended session must not be offered again"
    )


# The rows for programs.

ODD_SESSION = """\
what do I do
help
my gloves and goggles are on
why
the purple elephant
he is unresponsive with no gag or cough, and the mouth is clear

undo
the airway is in
how long have I got
skip it
go back
stop
no
stop
yes
"""


def test_every_row_is_of_a_known_shape(practise: Any) -> None:
    rows = practise("oral-airway", ODD_SESSION)
    assert {row["type"] for row in rows} == {"said", "listening", "heard", "event", "summary"}
    for row in rows:
        match row["type"]:
            case "said":
                assert set(row) == {"type", "text"} and row["text"].strip()
            case "listening":
                assert set(row) == {"type", "step", "expect"}
            case "heard":
                assert set(row) == MEANING | {"type"}
            case "event":
                assert row["name"]
    assert [row["type"] for row in rows].count("summary") == 1
    assert rows[-1]["type"] == "summary"
    assert set(rows[-1]) >= {"done", "missed", "out_of_order", "readings", "oxygen_minutes"}
    typed = [line for line in ODD_SESSION.splitlines() if line]
    assert len([row for row in rows if row["type"] == "heard"]) == len(typed)


def test_after_every_prompt_it_listens(practise: Any) -> None:
    """Between what is said to one utterance and the next utterance stands a listening row."""
    rows = practise("oral-airway", ODD_SESSION)
    listening = False
    last_said = max(place for place, row in enumerate(rows) if row["type"] == "said")
    for row in rows:
        match row["type"]:
            case "said":
                listening = False
            case "listening":
                listening = True
            case "heard":
                assert listening, f"{row['text']} was heard, but nothing said that it listens"
    assert rows[last_said - 1]["name"] == "ended"
    assert all(row["type"] != "listening" for row in rows[last_said:])


def test_a_reading_is_asked_for_and_read_back(practise: Any) -> None:
    text = OXYGEN_CYLINDER.format(pressure="seventeen hundred", flow="fifteen")
    rows = practise("oxygen-cylinder", text)
    place = next(i for i, row in enumerate(rows) if row.get("quantity") == "pressure")
    assert (rows[place]["value"], rows[place]["unit"]) == (1700, "psi")
    following = [row for row in rows[place + 1 :] if row["type"] in ("said", "listening")][:2]
    assert "seventeen hundred" in following[0]["text"].lower()
    assert following[1] == {"type": "listening", "step": "pressure", "expect": "yes-no"}


@pytest.mark.parametrize("skill", ["oral-airway", "oxygen-cylinder"])
def test_the_same_input_gives_the_same_rows(skill: str, practise: Any) -> None:
    first, second = practise(skill, ODD_SESSION), practise(skill, ODD_SESSION)
    for rows in (first, second):
        del rows[-1]["seconds"]
    assert first == second


def test_a_seed_always_brings_the_same_complication(practise: Any) -> None:
    starts = [
        practise("oxygen-delivery", "", "--seed", seed)[0] for seed in ("3", "3", "4", "-1", "0")
    ]
    assert starts[0] == starts[1]
    assert all(start["name"] == "started" for start in starts)


def test_a_drill_has_a_patient_who_fits_the_settings(practise: Any) -> None:
    """Named or not: without one there would be nobody to ask and nothing that happens."""
    ready = "I'm ready\n"
    assert "Jonas Reed" in said(practise("oral-airway", ready, "--way", "drill"))
    child = practise("oral-airway", ready, "--way", "drill", "--set", "patient=small-child")
    assert "Jonas Reed" not in said(child)


def test_a_chosen_setting_changes_what_is_said(practise: Any) -> None:
    lobe = said(practise("oral-airway", ORAL_AIRWAY))
    teeth = said(practise("oral-airway", ORAL_AIRWAY, "--set", "landmark=incisors-to-jaw"))
    assert "ear lobe" in lobe and "front teeth" not in lobe
    assert "front teeth" in teeth and "ear lobe" not in teeth


# Broken off, and gone on with.


class Session:
    """A typed session in a process of its own."""

    def __init__(self, *options: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "coach", "practice", "oral-airway", "--typed", *options],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip

    def type_until_asked(self, text: str, step: str) -> None:
        """Type lines, and wait until the coach listens for a step."""
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.write(text)
        self.process.stdin.flush()
        for line in self.process.stdout:
            if json.loads(line).get("step") == step and json.loads(line)["type"] == "listening":
                return
        raise AssertionError(f"it never listened for {step}")

    def kill(self) -> None:
        """End it without warning."""
        self.process.kill()
        self.process.communicate()

    def finish(self) -> None:
        """Close its input and wait for the end."""
        _, told = self.process.communicate(timeout=30)
        assert (self.process.returncode, told) == (0, "")


FIRST_TWO = "my gloves and goggles are on\nhe is unresponsive, no gag and no cough\n"
OFFER = "Say go on to continue"


@pytest.fixture
def broken_off() -> None:
    """An oral-airway session that was killed after two steps."""
    session = Session("--json")
    session.type_until_asked(FIRST_TWO, "mouth-clear")
    session.kill()


def journals(tmp_path: Path) -> dict[Path, bytes]:
    return {
        path: path.read_bytes() for path in (tmp_path / "data" / "sessions").glob("*.journal.jsonl")
    }


@pytest.mark.usefixtures("broken_off")
@pytest.mark.parametrize("words", ["go on", "yes", "continue", "Go on, please."])
def test_a_killed_session_is_offered_and_gone_on_with(words: str, practise: Any) -> None:
    rows = practise("oral-airway", f"{words}\nthe mouth is clear\n")
    assert OFFER in rows[0]["text"] and "2 steps" in rows[0]["text"]
    assert rows[1] == {"type": "listening", "step": None, "expect": "yes-no"}
    assert rows[-1]["done"] == ["gloves", "unresponsive", "mouth-clear"]
    assert OFFER not in said(practise("oral-airway", "")), "it has ended"


@pytest.mark.usefixtures("broken_off")
@pytest.mark.parametrize(
    ("words", "done"),
    [
        ("start anew", []),
        ("no", []),
        ("restart", []),
        ("I'm ready", []),
        ("what is left", []),
        ("my gloves and goggles are on", ["gloves"]),
    ],
)
def test_anything_else_starts_anew(words: str, done: list[str], practise: Any) -> None:
    rows = practise("oral-airway", f"{words}\n")
    assert OFFER in rows[0]["text"]
    assert rows[-1]["done"] == done
    assert OFFER not in said(practise("oral-airway", ""))


@pytest.mark.usefixtures("broken_off")
def test_without_an_answer_the_offer_stays(practise: Any) -> None:
    for _ in range(2):
        rows = practise("oral-airway", "")
        assert OFFER in rows[0]["text"]
        assert rows[-1]["done"] == []
    assert practise("oral-airway", "\n\ngo on\n")[-1]["done"] == ["gloves", "unresponsive"]


@pytest.mark.usefixtures("broken_off")
def test_only_the_skill_that_was_broken_off_is_offered(practise: Any) -> None:
    assert OFFER not in said(practise("suction", ""))
    assert OFFER in said(practise("oral-airway", ""))


def test_a_session_that_still_runs_elsewhere_is_not_offered(practise: Any) -> None:
    session = Session("--json")
    session.type_until_asked(FIRST_TWO, "mouth-clear")
    try:
        assert OFFER not in said(practise("oral-airway", ""))
    finally:
        session.finish()


def test_a_session_in_which_nothing_was_done_is_not_offered(practise: Any) -> None:
    session = Session("--json")
    session.type_until_asked("I'm ready\n", "gloves")
    session.kill()
    assert OFFER not in said(practise("oral-airway", ""))


@pytest.mark.usefixtures("broken_off")
@pytest.mark.parametrize("damage", ["a changed letter", "a lost line", "not a journal"])
def test_a_damaged_record_is_told_and_not_destroyed(
    damage: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    [(path, content)] = journals(tmp_path).items()
    lines = content.split(b"\n")
    match damage:
        case "a changed letter":
            content = content.replace(b"gloves", b"globes", 1)
        case "a lost line":
            content = b"\n".join(lines[:2] + lines[3:])
        case _:
            content = b"\xff\0 nothing of the kind\nnor here\n"
    path.write_bytes(content)
    monkeypatch.setattr(sys, "stdin", io.StringIO(FIRST_TWO))
    assert main(["practice", "oral-airway", "--typed"]) == 0
    captured = capsys.readouterr()
    assert OFFER not in captured.out
    assert "2 of " in captured.out
    assert f"{path}:" in captured.err
    assert "its file is left as it is" in captured.err
    assert path.read_bytes() == content


@pytest.mark.usefixtures("broken_off")
def test_a_half_written_last_line_is_set_aside_and_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    [(path, content)] = journals(tmp_path).items()
    path.write_bytes(content + b'{"v":1,"n":9')
    monkeypatch.setattr(sys, "stdin", io.StringIO("go on\n"))
    assert main(["practice", "oral-airway", "--typed"]) == 0
    captured = capsys.readouterr()
    assert "2 of " in captured.out
    assert "set aside" in captured.err
    assert path.read_bytes().startswith(content)
    assert path.with_name(f"{path.name}.torn").read_bytes() == b'{"v":1,"n":9\n'


# Scripted learners.


@pytest.mark.parametrize("skill", skill_ids())
def test_the_first_script_of_every_skill_ends_as_it_says(
    skill: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = PROCEDURES / f"{skill}.dialogues.yaml"
    assert main(["practice", skill, "--learner", str(file), "--first"]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    assert captured.out.startswith("--- ")
    assert "You:   " in captured.out and "Coach: " in captured.out
    # Nothing of a scripted learner belongs in the records.
    assert journals(tmp_path) == {}


LEARNER = """\
- name: as it goes
  turns:
    - learner: my gloves and goggles are on
      coach: does not respond
      step: unresponsive
  ends: {done: [gloves]}
- name: not as it goes
  turns:
    - learner: my gloves and goggles are on
      coach: a brass band
      never: gloves
      step: insert
      means: {kind: command}
  ends:
    done: [flange]
    oxygen_minutes: 12
"""


def test_each_difference_is_told_with_file_script_and_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "learner.yaml").write_text(LEARNER, "utf-8")
    assert main(["practice", "oral-airway", "--learner", "learner.yaml"]) == 1
    told = capsys.readouterr().err.splitlines()
    before = "coach: learner.yaml, not as it goes, line"
    assert all(line.startswith(before) for line in told)
    for text in (
        f"{before} 9: the coach should say 'a brass band', but said 'Got it",
        f"{before} 9: the coach must not say 'gloves'",
        f"{before} 9: the coach should wait for insert, but waits for unresponsive",
        f"{before} 9: kind should be command, but is step",
        f"{before} 14: done of the end lacks [flange] and has [gloves] besides",
        f"{before} 14: oxygen_minutes should be 12, but are nothing",
    ):
        assert any(line.startswith(text) for line in told), text
    assert len(told) == 6


def test_one_script_can_be_played_by_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "learner.yaml").write_text(LEARNER, "utf-8")
    play = ["practice", "oral-airway", "--learner", "learner.yaml", "--json"]
    assert main([*play, "--named", "as it goes"]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [row["type"] for row in rows].count("summary") == 1
    assert rows[-1]["done"] == ["gloves"]
    assert main([*play, "--first"]) == 0
    assert [json.loads(line) for line in capsys.readouterr().out.splitlines()] == rows
    assert main(play) == 1
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [row["type"] for row in rows].count("summary") == 2
