"""Plays a written attempt by text, through the session as it runs, and scores its journal."""

from __future__ import annotations

from benchmarks.written_attempts import BEGAN, Written
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice

from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.assessment.rule import Rule
from coach.assessment.scoring import score
from coach.dialogue.engine import new_state
from coach.edges.carelessness_table import read_carelessness
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Result, Way
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened
from coach.session.loop import Ports, Session


def played(written: Written, rule: Rule | None = None) -> Result:
    """The result of an attempt typed word for word."""
    skill_file = load_skill(written.skill)
    contents = journal_of(written, skill_file)
    return score(contents, skill_file, rule or rule_in_force())


def journal_of(written: Written, skill_file: SkillFile) -> JournalContents:
    """The journal that the attempt leaves."""
    settings = load_settings(
        {"time-limit": written.time_limit or None, "safety-failure": written.safety_failure}, {}
    )
    first = first_event(
        skill_file,
        settings,
        written.settings,
        tuple(written.complications),
        Way(written.way),
        "c" * 32,
    )
    clock, journal = FakeClock(), FakeJournal()
    ports = Ports(clock, FakeEar(*written.turns), FakeVoice(), journal, FakeObserver(), clock.skip)
    Session(new_state(skill_file), ports, careless=read_carelessness()).run(first)
    opened = JournalOpened(skill_file.id, BEGAN, "0", attempt="a" * 32)
    return JournalContents(opened, tuple(journal.events), JournalClosed(BEGAN), False, (), 0)
