"""A data folder of real journals: the written attempts, each many times, by many learners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from attempt_play import journal_of

from coach.app.judging import rule_in_force
from coach.assessment.rule import rule_text
from coach.dialogue.events import SessionStarted
from coach.edges.journal_file import SUFFIX
from coach.edges.kept_skills import keep_skill
from coach.edges.register_file import RegisterFile
from coach.edges.skill_files import load_skill
from coach.records.register_lines import LearnerAdded
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened, Record, encode

from ..written_attempts import Written, written_attempts
from .invented import FIRST_DAY, LEARNERS, learner_id

WORDS_A_MINUTE = 150
"""Words of quick, plain speech (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A written attempt as it was recorded, its skill's kept name, and the minutes it takes."""

    written: Written
    contents: JournalContents
    skill_sha256: str
    minutes: int


def patterns(skills: Path, most: int | None = None) -> Sequence[Pattern]:
    """Every written attempt once, or the first ones; the skills are kept in the folder."""
    found = []
    for written in written_attempts()[:most]:
        skill_file = load_skill(written.skill)
        name = keep_skill(skills, skill_file)
        found.append(Pattern(written, journal_of(written, skill_file), name, skill_file.minutes))
    return found


@dataclass(frozen=True, slots=True)
class Performed:
    """How long the attempts of journals took to perform, at the least.

    `spoken_s`: all that the learner says, at WORDS_A_MINUTE and without a pause, and the seconds of
    silence that are written between. `minutes`: those that the skills themselves name.
    """

    patterns: int
    spoken_s: float
    minutes: float


def said_in_s(written: Written) -> float:
    """Seconds that an attempt takes if nothing is waited for but what is written."""
    words = sum(len(turn.split()) for turn in written.turns if isinstance(turn, str))
    silences = sum(turn for turn in written.turns if not isinstance(turn, str))
    return 60 * words / WORDS_A_MINUTE + silences


def register_learners(data: Path) -> str:
    """Write a register with all learners; the station that it names."""
    data.mkdir(parents=True)
    register = RegisterFile(data / "register.jsonl")
    at = FIRST_DAY.isoformat()
    register.add(
        lambda _: [LearnerAdded(at, learner_id(n), f"Learner {n:03}") for n in range(LEARNERS)]
    )
    return register.read().station


def write_journals(data: Path, count: int) -> Performed:
    """Write so many journals and their learners."""
    register_learners(data)
    sessions = data / "sessions"
    sessions.mkdir()
    known = patterns(data / "skills", count)
    rule, minutes, spoken_s = rule_text(rule_in_force()), 0, 0.0
    for number in range(count):
        pattern = known[number % len(known)]
        minutes += pattern.minutes
        spoken_s += said_in_s(pattern.written)
        began = FIRST_DAY + timedelta(minutes=7 * number)
        header = JournalOpened(
            pattern.written.skill,
            began.isoformat(timespec="seconds"),
            "0.1.0",
            f"{number + 1:032x}",
            pattern.skill_sha256,
            rule,
        )
        first, *others = pattern.contents.events
        assert isinstance(first, SessionStarted)
        first = replace(first, learner=learner_id(number % LEARNERS))
        over = began + timedelta(minutes=pattern.minutes)
        records: list[Record] = [header, first, *others, JournalClosed(over.isoformat())]
        name = f"{began:%Y-%m-%dT%H-%M-%S}-{pattern.written.skill}-{number}{SUFFIX}"
        lines = (encode(record, place) for place, record in enumerate(records))
        (sessions / name).write_text("".join(f"{line}\n" for line in lines), "ascii")
    return Performed(len(known), spoken_s, minutes)
