"""Moments of a practice, and what an utterance comes to in one."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from coach.core.meaning import Meaning, Part, Reading
from coach.core.units import Quantity
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import SessionStarted
from coach.dialogue.moment import context_of, hint_of
from coach.dialogue.progress import suggested
from coach.dialogue.state import Credit, Mode, Proposal, ReadBack, RunningClock, Standing, State
from coach.edges.segmenter import recognise
from coach.hearing.endpointer import Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context
from coach.procedure.model import ReadingSpec, Step
from coach.session import judgement
from coach.session import moment as session_moment
from coach.session.likeliest import likeliest, understood
from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.ports import Recogniser
from coach.session.verdict import Decision

from ..learner import HIGHEST_PSI, moment_of, skill_named

SKILLS = ("oral-airway", "nasal-airway", "suction", "oxygen-cylinder", "oxygen-delivery")


@dataclass(frozen=True, slots=True)
class Moment:
    """What the coach knows of the moment in which it listens."""

    context: Context
    hint: Hint
    standing: session_moment.Moment

    @classmethod
    def of(cls, state: State) -> Moment:
        """The moment of a running session."""
        context = context_of(state)
        return cls(context, hint_of(context), session_moment.moment_of(state))

    def doubted(self) -> Moment:
        """After a question of the coach: a number then needs its yes, as in a session."""
        return replace(self, standing=replace(self.standing, silence_agrees=False))


@dataclass(frozen=True, slots=True)
class Heard:
    """One utterance: its words, what they mean here, and what the session would do about it.

    `acts` are by name, none where the coach asks again (`asks`) or lets it pass. `sure_readings`
    are those of them that two seconds of silence would let stand; `voice` is what is known of the
    learner's level afterwards.
    """

    hypothesis: Hypothesis
    meant: frozenset[str]
    acts: frozenset[str]
    asks: bool
    sure_readings: frozenset[str]
    readings: frozenset[str]
    voice: OwnVoice


def heard(
    recogniser: Recogniser, utterance: Utterance, moment: Moment, voice: OwnVoice = UNKNOWN
) -> Heard:
    """From a closed segment to what the session would do: the program's own way, in one place."""
    hypothesis = likeliest(recognise(recogniser, utterance, moment.hint), moment.context)
    meant = understood(hypothesis, moment.context)
    verdict = judgement.judge(meant, hypothesis, moment.standing, voice)
    does = verdict.decision in {Decision.ACT, Decision.READ_BACK}
    left = verdict.meaning if does else Meaning(meant.text)
    return Heard(
        hypothesis,
        actions(meant),
        actions(left),
        verdict.decision is Decision.ASK_AGAIN,
        frozenset(number(reading) for reading in left.readings if reading.doubt is None),
        frozenset(number(reading) for reading in left.readings),
        judgement.voice_after(voice, hypothesis, verdict),
    )


def actions(meaning: Meaning) -> frozenset[str]:
    """Everything a meaning would make the session do, by name; nothing for mere likelihoods."""
    found = set()
    if meaning.answer:
        found.add(f"answer {meaning.answer}")
    if meaning.command:
        found.add(f"command {meaning.command}")
    for mention in meaning.steps:
        found.add(f"{'not ' if mention.denied else ''}{mention.step} {mention.part}")
    found |= {number(reading) for reading in meaning.readings}
    if meaning.done_said:
        found.add("done")
    return frozenset(found)


def number(reading: Reading) -> str:
    """A reading by name."""
    values = "/".join(f"{value:g}" for value in reading.values)
    return f"{reading.quantity} {values} {reading.unit}"


def step_action(step: str, part: Part = Part.DONE) -> str:
    """The name of crediting a step, or a part of one."""
    return f"{step} {part}"


def running(
    skill: str,
    step: str | None = None,
    choices: Mapping[str, str] | None = None,
    came: frozenset[str] = frozenset(),
    part: Part = Part.DONE,
) -> State:
    """A session in which all before `step` is done and nothing is asked but what it asks."""
    started = SessionStarted(0.0, skill, choices or {}, highest_psi=HIGHEST_PSI)
    state, _ = advance(new_state(skill_named(skill)), started)
    state = replace(state, mode=Mode.RUNNING, came=came)
    steps = state.skill.steps
    due = next((s for s in steps if s.id == step), None)
    before = steps[: steps.index(due)] if due is not None else ()
    state = replace(
        state,
        credits=tuple(Credit(done.id, 0.0) for done in before),
        readings=tuple(
            Standing(s.id, r.name, r.quantity, (r.low,), r.unit, 0.0)
            for s in before
            for r in s.readings
        ),
    )
    if due is not None and suggested(state) != due:
        state = replace(state, focus=due.id)
    if due is not None and part is Part.CLOCK_END:
        state = replace(state, clock=RunningClock(due.id, 0.0))
    return state


def awaited(quantity: Quantity, dice: random.Random) -> tuple[State, Step, ReadingSpec]:
    """A session in which that quantity has just been asked for."""
    return moment_of(quantity, dice)


def asked_yes_no(dice: random.Random) -> State:
    """A session in which a number was read back and awaits its yes or no."""
    state, step, spec = moment_of(dice.choice((Quantity.PRESSURE, Quantity.FLOW)), dice)
    reading = Reading(spec.quantity, (spec.low,), spec.unit)
    return replace(state, pending=ReadBack((Proposal(step.id, spec.name, reading),)))


@cache
def mid_skill(skill: str = "oxygen-cylinder") -> Moment:
    """Nothing has been asked; every step of the skill may be spoken of, and every command."""
    return Moment.of(running(skill))


@cache
def due(skill: str, step: str) -> Moment:
    """All before that step is done, and it is due."""
    return Moment.of(running(skill, step))


def skill_steps(skill: str) -> tuple[Step, ...]:
    """The steps that come without a complication."""
    return running(skill).skill.steps


@cache
def plain_steps(skill: str) -> tuple[str, ...]:
    """Their ids."""
    return tuple(step.id for step in skill_steps(skill))
