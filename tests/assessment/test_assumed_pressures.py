"""A pressure assumed for a training cylinder: its step earns and loses nothing, and says so.

The pressure itself, 2216 psi, is the fact cylinder-fill-us (openFDA drug listings).
"""

from __future__ import annotations

import csv
import io
import json
from importlib.resources import files
from typing import Any

import jsonschema
import pypdfium2
import pytest
from benchmarks.written_attempts import BEGAN
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice

from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.assessment.debrief import ASSUMED_ALOUD, debrief
from coach.assessment.scoring import score
from coach.dialogue.engine import new_state
from coach.edges.attempt_html import html_report
from coach.edges.attempt_pdf import pdf_report
from coach.edges.attempt_picture import png_timeline
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.records.rows import attempt_rows
from coach.report.attempt import Mark, Result, Verdict, Way, result_bytes
from coach.report.attempt_csv import csv_bytes
from coach.report.attempt_page import page_of
from coach.report.attempt_text import attempt_text
from coach.report.timeline import timeline_of
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened, decode, encode
from coach.session.loop import Ports, Session

BEFORE = (
    "I'm ready",
    "gloves and goggles are on",
    "her saturation is ninety-one percent",
    "I told her what I am going to do",
)
AFTER = (
    "my choice is the non-rebreather",
    "the valves of the mask are there and move",
    "I pushed the tubing onto the regulator",
    "the flow is set to fifteen liters a minute",
    "the bag is full",
    "the mask is on her face",
    "the strap is tight and the clip is pinched",
    "the bag does not go flat",
    "her saturation is ninety-six percent",
    "I took the mask off",
    "I closed the flow",
    "finish",
)


def contents(*gauge: str, way: Way = Way.ASSESSED, training: bool = False) -> JournalContents:
    """The journal of an attempt at oxygen-delivery with these words at the gauge."""
    skill_file = load_skill("oxygen-delivery")
    settings = load_settings({"training-cylinder": "empty" if training else None}, {})
    first = first_event(skill_file, settings, {}, (), way, "c" * 32)
    clock, journal = FakeClock(), FakeJournal()
    confirmed = ["yes"] if way is Way.LED else []
    ear = FakeEar(*BEFORE, *gauge, *AFTER[:4], *confirmed, *AFTER[4:])
    ports = Ports(clock, ear, FakeVoice(), journal, FakeObserver(), clock.skip)
    Session(new_state(skill_file), ports).run(first)
    opened = JournalOpened(skill_file.id, BEGAN, "0", attempt="a" * 32)
    return JournalContents(opened, tuple(journal.events), JournalClosed(BEGAN), False, (), 0)


def judged(*gauge: str, **more: Any) -> Result:
    """The result of such an attempt."""
    return score(contents(*gauge, **more), load_skill("oxygen-delivery"), rule_in_force())


def gauge_of(result: Result) -> tuple[Mark, float, float]:
    """Mark, points and points to be had of the gauge."""
    step = next(step for step in result.steps if step.step == "pressure")
    return step.mark, step.points, step.out_of


@pytest.mark.parametrize(
    "said", [("it's a training cylinder",), ("the gauge reads zero", "yes"), ("it's empty", "yes")]
)
def test_an_assumed_pressure_counts_neither_way(said: tuple[str, ...]) -> None:
    assumed, read = judged(*said), judged("the gauge reads two thousand psi")
    mark, points, out_of = gauge_of(assumed)
    assert (mark, points, out_of) == (Mark.DONE, 0.0, 0.0)
    assert assumed.out_of == read.out_of - gauge_of(read)[2]
    assert assumed.points == read.points - gauge_of(read)[1]
    step = next(step for step in assumed.steps if step.step == "pressure")
    assert "assumed for a training cylinder: the step counts neither way" in step.why
    assert assumed.verdict is Verdict.READY
    assert [number.assumed for number in assumed.numbers if number.name == "pressure"] == [True]


def test_a_gauge_that_was_never_spoken_of_is_missed_with_a_training_cylinder_too() -> None:
    """The setting alone earns nothing, and saves nobody from losing it."""
    missed = judged(training=True)
    assert gauge_of(missed)[0] is Mark.MISSED
    assert gauge_of(missed)[2] > 0
    assert missed.points < missed.out_of


def test_zero_on_a_real_cylinder_is_a_wrong_number_as_ever() -> None:
    wrong = judged("the gauge reads zero", "no")
    assert gauge_of(wrong)[1] < gauge_of(wrong)[2]
    assert not any(number.assumed for number in wrong.numbers)
    assert gauge_of(judged("the gauge reads zero")) == gauge_of(wrong)


def test_every_report_says_assumed() -> None:
    result = judged("it's a training cylinder")
    skill = load_skill("oxygen-delivery").chosen(result.choices)
    assert ASSUMED_ALOUD in debrief(result, skill)
    assert "2216 psi (assumed: a training cylinder)" in attempt_text(result)
    page = html_report(page_of(result), "<svg></svg>")
    assert "2216 psi (assumed)" in page
    assert "assumed for a training cylinder: the step counts neither way" in page
    picture, high = png_timeline(timeline_of(result))
    sheets = pypdfium2.PdfDocument(pdf_report(page_of(result), picture, high, "a4"))
    printed = " ".join(sheet.get_textpage().get_text_bounded() for sheet in sheets)
    assert "2216 psi (assumed)" in " ".join(printed.split())
    data = json.loads(result_bytes(result))
    schema = json.loads((files("coach.report") / "result.schema.json").read_text("utf-8"))
    jsonschema.validate(data, schema)
    assert [n["assumed"] for n in data["numbers"] if n["name"] == "pressure"] == [True]
    rows = list(csv.DictReader(io.StringIO(csv_bytes(result).decode("utf-8-sig"))))
    why = next(row["why"] for row in rows if row["step"] == "pressure")
    assert "assumed for a training cylinder" in why


@pytest.mark.parametrize("said", ["it's a training cylinder", "the gauge reads two thousand psi"])
def test_json_csv_and_the_database_tell_the_same_of_it(said: str) -> None:
    for way in (Way.ASSESSED, Way.LED):
        result = judged(said, "yes", way=way)
        data = json.loads(result_bytes(result))
        rows = attempt_rows(result, result, "c" * 32, True, 1)
        table = list(csv.DictReader(io.StringIO(csv_bytes(result).decode("utf-8-sig"))))
        in_json = {n["step"]: n["name"] for n in data["numbers"] if n.get("assumed", False)}
        assert in_json == {n["step"]: n["name"] for n in rows.others["numbers"] if n["assumed"]}
        in_csv = {row["step"]: row["assumed"] for row in table if row["assumed"]}
        assumed = said == "it's a training cylinder"
        assert in_csv == ({"pressure": "pressure 2216 psi"} if assumed else {})
        assert set(in_json) == set(in_csv)
        assert rows.attempt["oxygen_assumed"] is data.get("oxygen_assumed", False)


def test_led_the_minutes_are_told_to_rest_on_it() -> None:
    result = judged("it's a training cylinder", "yes", way=Way.LED)
    assert result.oxygen_assumed
    page = html_report(page_of(result), "<svg></svg>")
    assert "by a pressure assumed for training" in page


def test_it_is_the_same_from_the_lines_of_the_journal() -> None:
    """The answer stands in the journal: played again, the same bytes."""
    one = contents("the gauge reads zero", "yes")
    again = tuple(decode(encode(event, n))[1] for n, event in enumerate(one.events, start=1))
    assert again == one.events
    skill, rule = load_skill("oxygen-delivery"), rule_in_force()
    assert result_bytes(score(one, skill, rule)) == result_bytes(score(one, skill, rule))
