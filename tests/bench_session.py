"""Runs the bench skill with scripted words; for tests of the session and of the conversation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bench_skill import TEXT, bench_skill
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice

from coach.dialogue.ending import summary_of
from coach.dialogue.engine import new_state
from coach.dialogue.events import CONVERSATION, SessionStarted
from coach.dialogue.state import State
from coach.language.carelessness import Weigher
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.report.summary import Summary
from coach.session.loop import Ports, Session
from coach.session.ports import EarEvent


class Run:
    """One session that has been played to its end."""

    def __init__(
        self,
        *words: EarEvent | str | float,
        complications: tuple[str, ...] = (),
        skill_file: SkillFile | None = None,
        started: Mapping[str, Any] | None = None,
        careless: Weigher | None = None,
    ) -> None:
        self.clock = FakeClock()
        self.voice = FakeVoice()
        self.journal = FakeJournal()
        self.observer = FakeObserver()
        self.ear = FakeEar(*words)
        ports = Ports(
            self.clock, self.ear, self.voice, self.journal, self.observer, self.clock.skip
        )
        session = Session(new_state(skill_file or bench_skill()), ports, careless=careless)
        first = SessionStarted(
            *(0.0, "bench"),
            complications=complications,
            highest_psi=2437.6,
            conversation=CONVERSATION,
        )
        self.state: State = session.run(replace(first, **(started or {})))

    @property
    def summary(self) -> Summary:
        """What the session came to."""
        return summary_of(self.state)

    @property
    def done(self) -> tuple[str, ...]:
        """Steps done, in order."""
        return self.summary.done

    def events(self, name: str) -> list[dict[str, Any]]:
        """The data of every event of that name."""
        return [data for kind, data in self.observer.log if kind == name]

    def reply_to(self, number: int) -> str:
        """Everything said from the utterance of that number (from 0) up to the next one."""
        heard = -1
        lines: list[str] = []
        for kind, data in self.observer.log:
            if kind == "heard":
                heard += 1
            elif kind == "said" and heard == number:
                lines.append(data)
        return " ".join(lines)


def run_with_step(step: str, *words: EarEvent | str | float, way: Way = Way.LED) -> Run:
    """A session with the skill that has this step, written under `steps:`, before its own."""
    skill_file = bench_skill(TEXT.replace("steps:\n", step, 1))
    return Run("I'm ready", *words, skill_file=skill_file, started={"way": way.value})
