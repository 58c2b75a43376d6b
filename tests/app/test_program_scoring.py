"""A local program's own scoring: it counts, it is kept with the attempt, and it is said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice

from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.app.local_rules import settings_by
from coach.assessment.rule import rule_of_text, rule_text
from coach.assessment.scoring import score
from coach.dialogue.engine import new_state
from coach.edges.local_program_file import load_local_program
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import local_program_path
from coach.procedure.skill_content import content_bytes, skill_file_of
from coach.report.attempt import Result, Way, result_bytes
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened
from coach.session.loop import Ports, Session

TURNS = (
    "I'm ready",
    "the scene is safe and my gloves are on",
    700.0,
    "the patient is unresponsive with no gag or cough",
    "finish",
)


def assessed(program: str | None, *turns: str | float) -> tuple[list[str], Result, Result]:
    """What the coach said, the result, and the result from what is kept of the attempt."""
    local = load_local_program(local_program_path(program)) if program else None
    skill_file = load_skill("oral-airway", local)
    settings = settings_by(local, load_settings({}, {}))
    first = first_event(skill_file, settings, {}, (), Way.ASSESSED, "c" * 32)
    clock, journal, voice = FakeClock(), FakeJournal(), FakeVoice()
    ports = Ports(clock, FakeEar(*turns), voice, journal, FakeObserver(), clock.skip)
    Session(new_state(skill_file), ports).run(first)
    rule = rule_in_force(skill_file.in_force)
    opened = JournalOpened(
        skill_file.id,
        "2026-03-04T19:05:00+01:00",
        "0",
        attempt="a" * 32,
        rule=rule_text(rule),
    )
    closed = JournalClosed("2026-03-04T19:25:00+01:00")
    contents = JournalContents(opened, tuple(journal.events), closed, False, (), 0)
    kept = skill_file_of(content_bytes(skill_file))
    again = score(contents, kept, rule_of_text(opened.rule))
    return voice.lines, score(contents, skill_file, rule), again


def test_a_program_s_time_and_passing_count_and_are_said() -> None:
    said, result, again = assessed("riverside", *TURNS)
    assert (
        "By your program ready is from 95 percent and an unsafe act ends the attempt at once."
        in (said)
    )
    assert any("you have ten minutes" in line for line in said)
    assert (result.limit_s, result.passed_from) == (600.0, 0.95)
    assert result.rule == "usual by Riverside evening course, 2026-09-01, version 1"
    own_words = "In your program's own words: the step suction ready. Our units hang on the wall."
    assert result.weaker == (own_words,), "nothing of this skill is less safe by its numbers"
    assert result_bytes(again) == result_bytes(result)


def test_what_passes_more_easily_is_said_with_its_reason_and_stands_in_the_result() -> None:
    said, result, again = assessed("northharbor", *TURNS[:1])
    assert "By your program points count its own way." in said
    weaker = "Weaker than published: the scoring, late 0.75 instead of 0.5."
    assert any(line.startswith(weaker) for line in said)
    assert any("First-term students may take their time." in line for line in said)
    assert result.weaker == (f"{weaker} First-term students may take their time.",)
    assert result_bytes(again) == result_bytes(result)


@pytest.mark.parametrize(("program", "late"), [(None, 0.5), ("northharbor", 0.75)])
def test_the_points_are_the_program_s(program: str | None, late: float) -> None:
    local = load_local_program(local_program_path(program)) if program else None
    rule = rule_in_force(load_skill("oral-airway", local).in_force)
    assert rule.late == late
    assert rule.safety_points == (3 if program else 2)
    assert rule.sure_from == rule_in_force().sure_from


def test_an_unsafe_act_ends_the_attempt_where_the_program_says_so() -> None:
    """The airway goes in before the look into the mouth."""
    turns = ("I'm ready", "the scene is safe, gloves on", "I insert it upside down and rotate it")
    for program, ends in (("riverside", True), (None, False)):
        local = load_local_program(local_program_path(program)) if program else None
        settings = settings_by(local, load_settings({}, {}))
        skill_file = load_skill("oral-airway", local)
        first = first_event(skill_file, settings, {}, (), Way.ASSESSED, "c" * 32)
        assert first.safety_ends is ends
        clock = FakeClock()
        ear = FakeEar(*turns, "the flange is on the lips")
        ports = Ports(clock, ear, FakeVoice(), FakeJournal(), FakeObserver(), clock.skip)
        state = Session(new_state(skill_file), ports).run(first)
        assert ("flange" in state.done) is not ends


def test_what_somebody_sets_goes_before_the_program() -> None:
    local = load_local_program(local_program_path("riverside"))
    own = settings_by(local, load_settings({"time-limit": "240", "safety-failure": "counts"}, {}))
    assert (own.time_limit, own.safety_failure) == (240.0, "counts")
    usual = settings_by(replace(local, scoring=None), load_settings({}, {}))
    assert (usual.time_limit, usual.safety_failure) == (0.0, "counts")
