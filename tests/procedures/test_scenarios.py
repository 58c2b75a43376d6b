"""Every scenario that comes with the program can be asked, and played to its end with each outcome.

A learner who makes no mistake does whatever is due, what a complication brings and what a happening
opens again too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice

from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.dialogue.engine import new_state
from coach.dialogue.progress import missing_first
from coach.dialogue.state import Mode, State
from coach.drill.student import student_acts
from coach.edges.scenario_files import load_scenario, scenario_paths
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.language.questions import asked_about
from coach.procedure.model import Skill, Step
from coach.procedure.scenario import Scenario
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened
from coach.session.loop import Ports, Session
from coach.session.ports import EarEvent

SCENARIOS = {name: load_scenario(name) for name in scenario_paths()}

NO_PATIENT = {"gloves", "handover-report", "oxygen-cylinder", "sharps"}

AGAIN = "as often as can be: "

OUTCOMES = [
    (name, outcome)
    for name, scenario in SCENARIOS.items()
    for outcome in (
        "nothing",
        *(each.id for each in scenario.happenings),
        *(f"{AGAIN}{each.id}" for each in scenario.happenings if each.times > 1),
        "everything",
    )
]


def happenings(scenario: Scenario, outcome: str) -> tuple[str, ...]:
    known = tuple(each.id for each in scenario.happenings)
    if outcome.startswith(AGAIN):
        often = outcome.removeprefix(AGAIN)
        return tuple(
            each.id for each in scenario.happenings for _ in range(each.times) if each.id == often
        )
    return known if outcome == "everything" else tuple(each for each in known if each == outcome)


TRIES = 3
"""How often a step is said until the learner gives up on it."""


class Learner(FakeEar):
    """Does what is due, whatever has happened: knows the state, and says the words for a step."""

    def __init__(self) -> None:
        super().__init__()
        self.session: Session | None = None
        self.tries: dict[str, int] = {}
        self.script: list[str | float] = ["I'm ready", BEFORE_ALL_S]

    def next(self, timeout_s: float) -> EarEvent | None:
        if not self.script:
            self.script = [BETWEEN_S, *self._what_is_due()]
        event = self.script.pop(0)
        self._events.append(event)
        return super().next(timeout_s)

    def _what_is_due(self) -> Iterator[str | float]:
        assert self.session is not None
        state = self.session.state
        if state.coming_again:
            return iter([WAITING_S])
        for step in state.skill.steps:
            key = f"{step.id} {len(state.credits)}"
            ready = step.id not in state.done and missing_first(state, step) is None
            if ready and self.tries.get(key, 0) < TRIES:
                self.tries[key] = self.tries.get(key, 0) + 1
                return said_for(step)
        return iter(["finish"])


BETWEEN_S = 1.0
"""Silence before each step, so that no two come at the same instant."""

WAITING_S = 60.0
"""Silence in which what comes again does so."""

BEFORE_ALL_S = 100.0
"""Silence at the beginning, in which everything that has its time comes."""


def said_for(step: Step) -> Iterator[str | float]:
    """What is said for a step by who does it rightly, with the time that it takes."""
    timed = step.clock or step.pace or step.count
    if timed is not None:
        yield timed.start.phrases[0]
        if step.count is not None:
            yield float(step.count.seconds) + 1
        elif step.clock is not None:
            yield float(step.clock.least_s + 1 if step.clock.least_s else 2)
        elif step.pace is not None:
            yield float(step.pace.seconds + 1)
        if step.clock is not None:
            yield step.clock.end.phrases[0]
        if not step.readings:
            return
    bare = Skill("one", "", 1, (), (replace(step, after=(), complication=""),))
    yield from (act.text for act in student_acts(bare, 0, 0))


def played(scenario: Scenario, outcome: str) -> tuple[State, list[str], JournalContents, SkillFile]:
    """The state at the end, what the coach said, the journal, and the skill with its scenario."""
    skill_file = replace(load_skill(scenario.skill), scenario=scenario)
    drawn = happenings(scenario, outcome)
    first = first_event(
        skill_file, load_settings({}, {}), scenario.settings, (), Way.ASSESSED, "c" * 32, drawn
    )
    clock, journal, voice, ear = FakeClock(), FakeJournal(), FakeVoice(), Learner()
    ports = Ports(clock, ear, voice, journal, FakeObserver(), clock.skip)
    ear.session = session = Session(new_state(skill_file), ports)
    session.run(first)
    opened = JournalOpened(skill_file.id, "2026-01-01T10:00:00+00:00", "0", attempt="a" * 32)
    closed = JournalClosed("2026-01-01T10:30:00+00:00")
    contents = JournalContents(opened, tuple(journal.events), closed, False, (), 0)
    return session.state, voice.lines, contents, skill_file


@pytest.mark.parametrize("skill", [skill for skill in skill_ids() if skill not in NO_PATIENT])
def test_every_skill_with_a_patient_has_a_scenario(skill: str) -> None:
    assert [name for name, scenario in SCENARIOS.items() if scenario.skill == skill]


@pytest.mark.parametrize("name", SCENARIOS)
def test_every_finding_can_be_asked_for(name: str) -> None:
    scenario = SCENARIOS[name]
    asked = {finding.id: finding.asked for finding in scenario.findings if finding.asked}
    for finding, lines in asked.items():
        words = [" ".join(key.split("/")[0] for key in line.split()) for line in lines]
        assert finding in [asked_about(f"what about the {line}", asked) for line in words]


@pytest.mark.parametrize(("name", "outcome"), OUTCOMES)
def test_it_is_played_to_its_end_with_each_outcome(name: str, outcome: str) -> None:
    scenario = SCENARIOS[name]
    state, said, contents, skill_file = played(scenario, outcome)
    assert state.mode is Mode.ENDED
    assert any(scenario.dispatch in line for line in said), "the dispatch opens it"
    drawn = happenings(scenario, outcome)
    # of everything, one may keep another from coming: who must not have the tablet brings none up
    came = Counter(state.happened)
    assert came <= Counter(drawn) if outcome == "everything" else came == Counter(drawn)
    for each in scenario.happenings:
        if each.says:
            assert any(each.says in line for line in said) is (each.id in came), each.id
    result = score(contents, skill_file, rule_in_force())
    assert result.scenario == scenario.id
    assert not [failure for failure in result.failures if not failure.corrected]
    for repeat in state.skill.repeats:
        round_ = next(each for each in state.rounds if each.repeat == repeat.id)
        assert round_.number == repeat.times, "every round is played"
        assert set(repeat.steps) <= state.done, "the last round to its end"
    brought = {s.id for s in state.skill.steps if s.complication}
    undone = {s.step for s in result.steps if s.at_s is None} & brought
    assert not undone, "what happened could not be dealt with"
