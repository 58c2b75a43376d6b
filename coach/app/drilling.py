"""A drill for an instructor alone: the coach plays a student, and listens for objections."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from coach import __version__
from coach.app.judging import judged_by
from coach.app.not_recorded import saying_so
from coach.app.senses import POLL_S, Senses, heard_enough
from coach.core.meaning import Command
from coach.drill.catching import OBJECTS, Caught, names_in, told, what_was_caught
from coach.drill.mistakes import Act, Mistake
from coach.edges.folders import sessions_folder
from coach.edges.journal_file import JournalFile
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.model import Skill
from coach.procedure.skill_file import SkillFile
from coach.report.summary import CAUTION
from coach.session.loop import Observer
from coach.session.ports import EarClosed, SilencePassed, TextHeard
from coach.session.student_events import (
    ShownMistake,
    StudentActed,
    StudentDrillOver,
    StudentDrillStarted,
    StudentEvent,
    WatcherSpoke,
)

Environ = Mapping[str, str]

PAUSE_S = 4.0
"""Silence after each act in which an objection may come (common practice, no source)."""

BEGIN = "I play a student. Object aloud when something is wrong, then I go on."

Keep = Callable[[StudentEvent], None]
"""Writes an event down, before anything follows from it."""


@dataclass(frozen=True, slots=True)
class Drill:
    """What is played: the acts of a student at a skill with its choices, drawn by `seed`, for the
    learner of that id ("" for nobody who was named)."""

    skill: Skill
    acts: Sequence[Act]
    seed: int
    mistakes: int
    learner: str = ""


def journalled(
    drill: Drill, skill_file: SkillFile, senses: Senses, observer: Observer, environ: Environ
) -> Caught:
    """Play the student, and keep what happens as it happens; what was caught.

    InputError or MissingError if it cannot be recorded, before a word is said.
    """
    judged = judged_by(skill_file, environ)
    now = datetime.now(UTC).astimezone()
    folder = sessions_folder(environ)
    with (
        JournalFile.create(folder, skill_file.id, now, __version__, judged) as journal,
        saying_so(senses, observer),
    ):
        caught = play_student(drill, senses, observer, journal.append)
        journal.finish(datetime.now(UTC).astimezone())
    return caught


def play_student(
    drill: Drill,
    senses: Senses,
    observer: Observer,
    keep: Keep = lambda _: None,
    clock: Callable[[], float] = time.monotonic,
) -> Caught:
    """Play the student act by act; what was caught. "Stop here" or "this is real" ends it."""
    skill, names, begun_s = drill.skill, names_in(drill.skill), clock()

    def at_s() -> float:
        return round(max(0.0, clock() - begun_s), 3)

    choices = dict(skill.choices)
    keep(StudentDrillStarted(0.0, skill.id, drill.seed, drill.mistakes, drill.learner, choices))
    senses.say(f"{skill.title}. {CAUTION}", observer)
    senses.say(BEGIN, observer)
    said: list[tuple[str, ...]] = []
    for act in drill.acts:
        keep(StudentActed(at_s(), act.text, tuple(_shown(one, names) for one in act.shows)))
        senses.say(f"Student: {act.text}", observer)
        heard, over = _objections(
            skill, senses, lambda text, sure: keep(WatcherSpoke(at_s(), text, sure))
        )
        said.append(heard)
        if over:
            break
    caught = what_was_caught(drill.acts[: len(said)], said, names)
    noticed, missed = (tuple(one.says for one in some) for some in (caught.caught, caught.missed))
    keep(StudentDrillOver(at_s(), noticed, missed, caught.without_cause))
    if not (said and said[-1] and _is_real(said[-1][-1])):
        for line in told(caught):
            senses.say(line, observer)
    return caught


def _shown(mistake: Mistake, names: Mapping[str, str]) -> ShownMistake:
    name = names.get(mistake.about, "")
    return ShownMistake(str(mistake.wrong), mistake.about, name, mistake.says, mistake.because)


def _objections(
    skill: Skill, senses: Senses, spoke: Callable[[str, float], None]
) -> tuple[tuple[str, ...], bool]:
    """What is said until it has been silent for a while; whether it is over then."""
    names = [step.name for step in skill.steps]
    phrases = [f"you forgot {name}" for name in names] + [f"{name} first" for name in names]
    senses.ear.listen(Hint(None, (*phrases, *sorted(OBJECTS), "that is wrong", "end here")))
    heard: list[str] = []
    waited_s = 0.0
    while waited_s < PAUSE_S:
        event = senses.ear.next(POLL_S)
        if event is None:
            waited_s += 0.0 if senses.voice.busy() else POLL_S
        elif isinstance(event, EarClosed):
            return tuple(heard), True
        elif isinstance(event, SilencePassed):
            break
        elif isinstance(event, TextHeard) and heard_enough(event):
            senses.voice.cut_off()
            text = event.hypothesis.text
            spoke(text, round(event.hypothesis.confidence, 3))
            heard.append(text)
            waited_s = 0.0
            if _is_real(text) or _ends(text):
                return tuple(heard), True
            if event.typed:
                break
    return tuple(heard), False


def _ends(text: str) -> bool:
    words = text.lower().split()
    return "here" in words and bool({"end", "stop", "finish"} & set(words))


def _is_real(text: str) -> bool:
    return understand(text, Context(steps=())).command is Command.QUIET
