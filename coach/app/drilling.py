"""A drill for an instructor alone: the coach plays a student, and listens for objections."""

from __future__ import annotations

from collections.abc import Sequence

from coach.app.senses import Senses
from coach.core.meaning import Command
from coach.drill.catching import OBJECTS, Caught, told, what_was_caught
from coach.drill.student import Act
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.model import Skill
from coach.report.summary import CAUTION
from coach.session.loop import Observer
from coach.session.ports import EarClosed, SilencePassed, TextHeard

PAUSE_S = 4.0
"""Silence after each act in which an objection may come (common practice, no source)."""

LEAST_SURE = 0.35
POLL_S = 0.25

BEGIN = "I play a student. Object aloud when something is wrong, then I go on."


def play_student(skill: Skill, acts: Sequence[Act], senses: Senses, observer: Observer) -> Caught:
    """Play the student act by act; what was caught. "Stop here" or "this is real" ends it."""
    _say(f"{skill.title}. {CAUTION}", senses, observer)
    _say(BEGIN, senses, observer)
    said: list[tuple[str, ...]] = []
    for act in acts:
        _say(f"Student: {act.text}", senses, observer)
        heard, over = _objections(skill, senses)
        said.append(heard)
        if over:
            break
    played = acts[: len(said)]
    caught = what_was_caught(played, said, skill)
    if not (said and said[-1] and _is_real(said[-1][-1])):
        for line in told(caught):
            _say(line, senses, observer)
    return caught


def _objections(skill: Skill, senses: Senses) -> tuple[tuple[str, ...], bool]:
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
        elif isinstance(event, TextHeard) and event.hypothesis.text.strip():
            if not event.typed and event.hypothesis.confidence < LEAST_SURE:
                continue
            senses.voice.cut_off()
            text = event.hypothesis.text
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


def _say(line: str, senses: Senses, observer: Observer) -> None:
    observer.said(line)
    senses.voice.say(line)
