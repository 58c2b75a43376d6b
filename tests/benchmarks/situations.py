"""What is said in a practice, by whom and at what moment, each with what it means for the coach.

Drawn by chance from a seed. Half of it is not meant for the coach at all: other people's talk, a
neighbour's practice, noise.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from coach.core.meaning import Doubt, Reading
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import SessionStarted
from coach.dialogue.moment import context_of
from coach.dialogue.state import Credit, Mode, Proposal, ReadBack, Standing, State
from coach.language.commands import command_in, command_phrases
from coach.language.understand import understand
from coach.procedure.model import Step

from .learner import HIGHEST_PSI, PLACES, skill_named
from .sayings import NO, NO_AND, YES, Ready, worded

SKILLS = ("oral-airway", "nasal-airway", "suction", "oxygen-cylinder", "oxygen-delivery")
DATA = Path(__file__).parents[1] / "data"


@dataclass(frozen=True, slots=True)
class Place:
    """A moment of a practice: a step is due and all before it done.

    `reading` of it was asked for, all before it stand; `read_back`: a number for it was read back
    and waits for its yes.
    """

    skill: str
    step: str
    reading: str | None = None
    read_back: bool = False
    choices: Mapping[str, str] = field(default_factory=dict)

    def state(self) -> State:
        """The conversation at that moment."""
        started = SessionStarted(0.0, self.skill, self.choices, highest_psi=HIGHEST_PSI)
        state, _ = advance(new_state(skill_named(self.skill)), started)
        steps = state.skill.steps
        due = next(step for step in steps if step.id == self.step)
        before = steps[: steps.index(due)]
        earlier = [(step, spec) for step in before for spec in step.readings]
        specs = {spec.name: spec for spec in due.readings}
        if self.reading is not None:
            asked = due.readings.index(specs[self.reading])
            earlier += [(due, spec) for spec in due.readings[:asked]]
        state = replace(
            state,
            mode=Mode.RUNNING,
            credits=tuple(Credit(step.id, 0.0) for step in before),
            readings=tuple(
                Standing(s.id, r.name, r.quantity, (r.low,), r.unit, 0.0) for s, r in earlier
            ),
        )
        if not self.read_back or self.reading is None:
            return state
        spec = specs[self.reading]
        reading = Reading(spec.quantity, (spec.low,), spec.unit, doubt=Doubt.HEDGED)
        return replace(state, pending=ReadBack((Proposal(due.id, spec.name, reading),)))


@dataclass(frozen=True, slots=True)
class Meant:
    """What an utterance means for the coach; nothing where it was not meant for it."""

    values: tuple[float, ...] = ()
    answer: str | None = None
    command: str | None = None
    steps: tuple[str, ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether it was not meant for the coach."""
        return self == Meant()


@dataclass(frozen=True, slots=True)
class Line:
    """Words said at a moment; empty for noise. `from_db` is how much fainter than the learner."""

    kind: str
    text: str
    place: Place
    meant: Meant = Meant()
    from_db: float = 0.0
    by_people: bool = False


NUMBERS, ANSWERS, COMMANDS, PHRASES, OWN_WORDS, TALK, NEIGHBOURS, OTHER_WORDS, NOISES = (
    220, 170, 110, 130, 110, 190, 230, 40, 40,
)  # fmt: skip
"""How many of each kind. A class has more talk than practice; much of it is too faint to be cut."""

TURNED_AWAY_DB = 9.0
"""A learner who bends over the patient is up to so much fainter than usual (common practice, no
source); in one sitting the turns of 55 speakers of AN4 differ by 1.9 dB (standard deviation, after
the segmenter), which the voices do not."""
SITTING_DB = 1.9

BYSTANDER_DB = (3.0, 20.0)
NEIGHBOUR_DB = (9.5, 26.0)
"""A neighbour at 1.5 m to 10 m where the learner is half a metre from the microphone: sound in the
free field falls with the distance (20 log10 of 3 and of 20)."""

PEOPLES_WORDS: Mapping[str, Meant] = {
    "yes": Meant(answer="yes"),
    "no": Meant(answer="no"),
    "stop": Meant(command="stop"),
    "go": Meant(command="resume"),
}
OTHERS = ("bed", "cat", "happy", "house", "dog", "sheila", "tree", "learn", "visual", "up", "down",
          "left")  # fmt: skip
"""Words of Speech Commands that mean nothing to the coach; "right" would mean yes."""


def lines(dice: random.Random) -> Iterator[Line]:
    """Everything that is said, kind by kind."""
    for _ in range(NUMBERS):
        yield _number(dice)
    for _ in range(ANSWERS):
        yield _answer(dice)
    for _ in range(COMMANDS):
        yield _command(dice)
    for _ in range(PHRASES):
        yield _phrase(dice)
    for _ in range(OWN_WORDS):
        yield _own_words(dice)
    for _ in range(TALK):
        text = dice.choice(_small_talk())
        yield Line("talk", text, any_place(dice), from_db=dice.uniform(*BYSTANDER_DB))
    for _ in range(NEIGHBOURS):
        said = dice.choice((_number, _number, _number, _answer, _command, _phrase))(dice)
        away = dice.uniform(*NEIGHBOUR_DB)
        yield Line("neighbour", said.text, any_place(dice), from_db=away, by_people=said.by_people)
    for _ in range(OTHER_WORDS):
        yield Line("other word", dice.choice(OTHERS), any_place(dice), by_people=True)
    for _ in range(NOISES):
        yield Line("noise", "", any_place(dice))


def own_fainter_db(dice: random.Random) -> float:
    """How much fainter than usual one of the learner's own turns is."""
    return dice.gauss(0.0, SITTING_DB) + dice.choice((0.0, 0.0, dice.uniform(0, TURNED_AWAY_DB)))


def any_place(dice: random.Random) -> Place:
    """Some moment: a number asked for or read back as often as a step due."""
    if dice.random() < 0.6:
        place, _ = number_place(dice)
        return replace(place, read_back=dice.random() < 0.5)
    skill = dice.choice(SKILLS)
    return Place(skill, dice.choice(_steps(skill)).id)


def number_place(dice: random.Random) -> tuple[Place, Any]:
    """A moment in which a number was asked for, and what number."""
    quantity = dice.choice(tuple(PLACES))
    skill, choices = dice.choice(PLACES[quantity])
    state = Place(skill, _steps(skill)[0].id, choices=choices).state()
    found = [(s, r) for s in state.skill.steps for r in s.readings if r.quantity is quantity]
    step, spec = dice.choice(found)
    return Place(skill, step.id, spec.name, choices=choices), spec


def _number(dice: random.Random) -> Line:
    place, spec = number_place(dice)
    tongue = Ready()
    value = tongue.value(spec, dice)
    text = tongue.first(value, spec, dice).text
    return Line("number", text, place, Meant((value,)), own_fainter_db(dice))


def _answer(dice: random.Random) -> Line:
    place, spec = number_place(dice)
    place = replace(place, read_back=True)
    fainter = own_fainter_db(dice)
    if dice.random() < 0.3:
        word = dice.choice(("yes", "yes", "no"))
        return Line("answer", word, place, PEOPLES_WORDS[word], fainter, by_people=True)
    if dice.random() < 0.6:
        return Line("answer", dice.choice(YES), place, Meant(answer="yes"), fainter)
    if dice.random() < 0.5:
        return Line("answer", dice.choice(NO), place, Meant(answer="no"), fainter)
    value = Ready().value(spec, dice)
    text = dice.choice(NO_AND).format(worded(value, dice))
    return Line("answer", text, place, Meant((value,), "no"), fainter)


def _command(dice: random.Random) -> Line:
    fainter = own_fainter_db(dice)
    if dice.random() < 0.25:
        word = dice.choice(("stop", "go"))
        return Line("command", word, any_place(dice), PEOPLES_WORDS[word], fainter, by_people=True)
    while (found := command_in(text := dice.choice(command_phrases()))) is None:
        pass
    return Line("command", text, any_place(dice), Meant(command=str(found[0])), fainter)


def _phrase(dice: random.Random) -> Line:
    skill = dice.choice(SKILLS)
    step = dice.choice([step for step in _steps(skill) if step.heard_as.phrases])
    text, place = dice.choice(step.heard_as.phrases), Place(skill, step.id)
    meant = Meant(_numbers_in(text, place), steps=(step.id,))
    return Line("phrase", text, place, meant, own_fainter_db(dice))


def _own_words(dice: random.Random) -> Line:
    skill, row = dice.choice(_paraphrases())
    steps = (row["step"], *_listed(row.get("also")))
    text, place = row["says"], Place(skill, row["step"])
    meant = Meant(_numbers_in(text, place), steps=steps)
    return Line("own words", text, place, meant, own_fainter_db(dice))


def _numbers_in(text: str, place: Place) -> tuple[float, ...]:
    """The numbers that words about a step bring with them: "the gauge is at zero"."""
    readings = understand(text, context_of(place.state())).readings
    return tuple(value for reading in readings for value in reading.values)


def _listed(value: object) -> tuple[str, ...]:
    if value is None:
        return ()
    return tuple(map(str, value)) if isinstance(value, list | tuple) else (str(value),)


@cache
def _steps(skill: str) -> tuple[Step, ...]:
    state, _ = advance(new_state(skill_named(skill)), SessionStarted(0.0, skill))
    return state.skill.steps


@cache
def _small_talk() -> tuple[str, ...]:
    return tuple(yaml.safe_load((DATA / "small_talk.yaml").read_text(encoding="utf-8")))


@cache
def _paraphrases() -> tuple[tuple[str, dict[str, Any]], ...]:
    """Those that need no setting, clock or complication."""
    tree = yaml.safe_load((DATA / "paraphrases.yaml").read_text(encoding="utf-8"))
    return tuple(
        (skill, row)
        for skill, rows in tree.items()
        for row in rows
        if not {"with", "came", "part"} & set(row)
        and row["step"] in {step.id for step in _steps(skill)}
    )
