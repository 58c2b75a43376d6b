"""Sentences a learner says, each with the moment it is said in and what must come of it."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml

from coach.core.meaning import Command, Part
from coach.core.units import Quantity
from coach.language.command_words import (
    COMMAND_TEMPLATES,
    NO_TEMPLATES,
    QUIET_PHRASES,
    YES_TEMPLATES,
)
from coach.language.commands import phrases_of
from coach.language.understand import understand
from coach.procedure.model import ReadingSpec

from ..learner import PLACES
from ..sayings import FRAMES, ONES, TENS, UNITS, draw_value, worded
from .moments import (
    SKILLS,
    Moment,
    actions,
    asked_yes_no,
    awaited,
    due,
    plain_steps,
    running,
    step_action,
)

DATA = Path(__file__).parents[2] / "data"
TEENS = range(13, 20)
LARGEST_FRENCH = 38
"""More than any nasal airway: a larger number is one of millimeters."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """What is said, when, the action it must lead to ("" for none) and others it may lead to."""

    kind: str
    text: str
    moment: Moment
    action: str
    allowed: frozenset[str] = frozenset()


def _sentence(
    kind: str, text: str, moment: Moment, action: str, also: frozenset[str] = frozenset()
) -> Sentence:
    """What a perfect ear would lead to besides is allowed, too: a step with its number."""
    perfect = actions(understand(text, moment.context))
    return Sentence(kind, text, moment, action, (perfect | also) - {action})


def commands(count: int, dice: random.Random) -> Iterator[Sentence]:
    """Commands at any step of any skill, and a yes or no to a read-back, in the program's words."""
    ways: dict[str, Iterable[str]] = {
        f"command {command}": phrases_of(templates)
        for command, templates in COMMAND_TEMPLATES.items()
    }
    ways[f"command {Command.QUIET}"] = QUIET_PHRASES
    ways["answer yes"] = phrases_of(YES_TEMPLATES)
    ways["answer no"] = phrases_of(NO_TEMPLATES)
    salt = str(dice.random())
    queues = {action: _shuffled(told, salt) for action, told in ways.items()}
    first = dice.randrange(len(ways))
    for number in range(first, first + count):
        action = tuple(ways)[number % len(ways)]
        queue = queues[action]
        text = queue[number // len(ways) % len(queue)]
        own = random.Random(f"{salt} {text}")
        if action.startswith("answer"):
            moment = Moment.of(asked_yes_no(own))
        else:
            skill = own.choice(SKILLS)
            moment = due(skill, own.choice(plain_steps(skill)))
        yield _sentence("command", text, moment, action)


def readings(count: int, dice: random.Random) -> Iterator[Sentence]:
    """Numbers that were asked for, said in one of the ways people have."""
    for _ in range(count):
        state, step, spec = awaited(dice.choice(tuple(PLACES)), dice)
        value = draw_value(spec.quantity, spec.low, spec.high, dice)
        text = worded(value, dice, spelled=dice.random() < 0.22)
        if dice.random() < 0.5:
            text = f"{text} {dice.choice(UNITS[spec.unit])}"
        if dice.random() < 0.4:
            text = dice.choice(FRAMES[spec.quantity]).format(text)
        action = f"{spec.quantity} {value:g} {spec.unit}"
        # "The gauge reads ..." is a phrase of the step that asks for its number.
        yield Sentence("reading", text, Moment.of(state), action, frozenset({step_action(step.id)}))


def steps(count: int, dice: random.Random) -> Iterator[Sentence]:
    """Phrases of the skill files, each said when its step is due."""
    every = [
        (skill, step.id, phrase)
        for skill in SKILLS
        for step in running(skill).skill.steps
        for phrase in step.heard_as.phrases
    ]
    for skill, step, phrase in _drawn(every, count, dice):
        yield _sentence("step", phrase, due(skill, step), step_action(step))


def paraphrases(count: int, dice: random.Random) -> Iterator[Sentence]:
    """Sentences of people who had not seen the skills' phrases, each when its step is due."""
    lines = yaml.safe_load((DATA / "paraphrases.yaml").read_text("utf-8"))
    every = [(skill, line) for skill, said in lines.items() for line in said]
    for skill, line in _drawn(every, count, dice):
        yield _paraphrase(skill, line)


def _paraphrase(skill: str, line: dict[str, Any]) -> Sentence:
    parts = {"start": Part.CLOCK_START, "end": Part.CLOCK_END}
    part = parts.get(line.get("part", ""), Part.DONE)
    came = frozenset({line["came"]}) if "came" in line else frozenset[str]()
    state = running(skill, line["step"], line.get("with"), came, part)
    also = frozenset({step_action(line["also"])} if "also" in line else ())
    action = step_action(line["step"], part)
    return _sentence("paraphrase", line["says"], Moment.of(state), action, also)


def kin(count: int, dice: random.Random) -> Iterator[Sentence]:
    """Teens and tens where a gauge may show either, or only the one: 15, 50, 115, 1650."""
    ways = list(_kin_ways(dice))
    while len(ways) < count:
        ways += list(_kin_ways(dice))
    for quantity, value, text in _drawn(ways, count, dice):
        state, spec = _asking(quantity, dice)
        action = f"{quantity} {value} {spec.unit}"
        yield Sentence("kin", text, Moment.of(state), action)


def _kin_ways(dice: random.Random) -> Iterator[tuple[Quantity, int, str]]:
    """Every teen and every ten once in each style."""
    for teen in TEENS:
        for rest, word in ((teen, ONES[teen]), ((teen - 10) * 10, TENS[teen - 10])):
            for quantity in (Quantity.FLOW, Quantity.LENGTH, Quantity.SATURATION):
                yield quantity, rest, word
            if rest <= LARGEST_FRENCH:
                yield Quantity.SIZE, rest, word
            hundred = dice.choice(("one hundred", "one hundred and", "a hundred", "one"))
            yield Quantity.VACUUM, 100 + rest, f"{hundred} {word}"
            yield Quantity.LENGTH, 100 + rest, f"{hundred} {word}"
            head = dice.randint(10, 20)
            yield Quantity.PRESSURE, head * 100 + rest, f"{_head(head)} {word}"
            yield Quantity.PRESSURE, rest * 100 if rest < 20 else rest * 10, _round(rest, word)


def _head(hundreds: int) -> str:
    return TENS[2] if hundreds == 20 else ONES[hundreds]


def _round(rest: int, word: str) -> str:
    """ "fifteen hundred", and for fifty what is within the gauge: "five hundred"."""
    return f"{word} hundred" if rest < 20 else f"{ONES[rest // 10]} hundred"


def _asking(quantity: Quantity, dice: random.Random) -> tuple[Any, ReadingSpec]:
    state, _, spec = awaited(quantity, dice)
    return state, spec


def _drawn(every: Iterable[Any], count: int, dice: random.Random) -> list[Any]:
    """So many of them, none twice as long as there are enough.

    By a checksum of each: a phrase more or less changes one of them, not all.
    """
    ordered = _shuffled(every, str(dice.random()))
    return [ordered[number % len(ordered)] for number in range(count)]


def _shuffled(every: Iterable[Any], salt: str) -> list[Any]:
    return sorted(every, key=lambda one: sha256(f"{salt} {one}".encode()).digest())
