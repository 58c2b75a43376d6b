"""A simulated learner: gives one reading, hears it read back, agrees or contradicts.

The session is the real one, on a clock that moves with the sound; the learner is its ear: what he
says is rendered in noise, cut by the real segmenter and heard by the real recogniser.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from typing import Any

import numpy as np

from coach.app.scripted_practice import ForgetfulJournal
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.core.sound import SAMPLE_RATE_HZ
from coach.core.units import Quantity
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import SessionResumed, SessionStarted
from coach.dialogue.progress import next_reading, suggested
from coach.dialogue.state import ConfirmStop, Credit, Mode, Proposal, ReadBack, Standing, State
from coach.edges.carelessness_table import read_carelessness
from coach.edges.clocks import ScriptClock
from coach.edges.segmenter import Segmenter, recognise
from coach.edges.skill_files import load_skill
from coach.edges.typed_ear import SilentVoice
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.endpointer import Cut, SpeechStart, Utterance
from coach.hearing.hypothesis import Hint
from coach.procedure.model import ReadingSpec, Step
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Ports, Session
from coach.session.ports import EarClosed, EarEvent, Recogniser, SpeechBegan, TextHeard

from .sayings import Intent, Plain, Ready, Saying, kin_of
from .voices import PEOPLE, Cast, Speaker, Studio, draw_speaker

MOST_UTTERANCES = 6
SILENCE_S = 2.6
"""Silence of a learner who agrees; a sure number stands after two seconds."""

SILENT_AGREEMENT = 0.4
"""Share of right and sure read-backs that are agreed to by silence."""

HIGHEST_PSI = 2437.6

PLACES: Mapping[Quantity, tuple[tuple[str, Mapping[str, str]], ...]] = {
    Quantity.PRESSURE: (("oxygen-cylinder", {}), ("oxygen-delivery", {})),
    Quantity.FLOW: (
        ("oxygen-cylinder", {}),
        ("oxygen-delivery", {"device": "non-rebreather"}),
        ("oxygen-delivery", {"device": "nasal-cannula"}),
        ("oxygen-delivery", {"device": "simple-mask"}),
    ),
    Quantity.SATURATION: (("oxygen-delivery", {}),),
    Quantity.VACUUM: (("suction", {}),),
    Quantity.LENGTH: (("oral-airway", {}), ("nasal-airway", {})),
    Quantity.SIZE: (("nasal-airway", {}),),
}
"""Skills, with their settings, that ask for each quantity."""


@dataclass(slots=True)
class Spoken:
    """One utterance of the learner and what became of it; `reply` is the coach's line after it."""

    said: str
    intent: str
    heard: str = ""
    confidence: float = 0.0
    answer: str | None = None
    reply: str = ""


@dataclass(slots=True)
class Outcome:
    """How one dialogue went. `value` is the true one.

    `first_*` are of the first read-back, `*_sure` of any that silence would have let stand.
    `turns` are the learner's utterances. `stood` is "right", "wrong" or "never".
    """

    seed: int
    quantity: str
    value: float
    speaker: Speaker
    stood: str = "never"
    how: str = ""
    turns: int = 0
    first_read_back: bool = False
    first_wrong: bool = False
    wrong_sure: bool = False
    kin_sure: bool = False
    contradictions: int = 0
    false_yes: int = 0
    agreements: int = 0
    missed_yes: int = 0
    ended_as: str = ""
    spoken: list[Spoken] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """Everything as JSON values."""
        return asdict(self)


@cache
def skill_named(name: str) -> SkillFile:
    """The skill that comes with the program by that name."""
    return load_skill(name)


def moment_of(quantity: Quantity, dice: random.Random) -> tuple[State, Step, ReadingSpec]:
    """A session in which that quantity has just been asked for, all before it done."""
    name, choices = dice.choice(PLACES[quantity])
    skill_file = skill_named(name)
    started = SessionStarted(0.0, name, choices, highest_psi=HIGHEST_PSI)
    state, _ = advance(new_state(skill_file), started)
    steps = state.skill.steps
    offers = [(s, spec) for s in steps for spec in s.readings if spec.quantity is quantity]
    step, spec = dice.choice(offers)
    before = steps[: steps.index(step)]
    first = step.readings[: step.readings.index(spec)]
    earlier = [(step, r) for r in first] + [(s, r) for s in before for r in s.readings]
    state = replace(
        state,
        mode=Mode.RUNNING,
        credits=tuple(Credit(done.id, 0.0) for done in before),
        readings=tuple(
            Standing(s.id, r.name, r.quantity, (r.low,), r.unit, 0.0) for s, r in earlier
        ),
    )
    due = suggested(state)
    assert due is not None and due.id == step.id and next_reading(state, step) == spec
    return state, step, spec


class Learner:
    """Speaks and listens in one dialogue: the session's ear and its observer."""

    def __init__(self, moment: tuple[State, Step, ReadingSpec], scene: Scene, seed: int) -> None:
        self._dice = random.Random(seed)
        self._scene = scene
        state, self._step, self._spec = moment
        self._before = state.readings
        speaker = scene.speaker(self._dice)
        self._tongue = Plain() if speaker.program == PEOPLE else Ready()
        self._value = self._tongue.value(self._spec, self._dice)
        self.outcome = Outcome(seed, str(self._spec.quantity), self._value, speaker)
        self.clock = ScriptClock()
        ports = Ports(self.clock, self, SilentVoice(), ForgetfulJournal(), self)
        self._session = Session(state, ports, careless=read_carelessness())
        self._hint = Hint()
        self._coming: deque[Cut] = deque()
        self._at_s = 0.0
        self._silent = False
        self._stood: tuple[bool, str] | None = None

    def talk(self) -> Outcome:
        """The whole dialogue."""
        self._session.run(SessionResumed(0.0))
        outcome = self.outcome
        outcome.turns = len(outcome.spoken)
        if self._stood is not None:
            outcome.stood, outcome.how = ("right" if self._stood[0] else "wrong"), self._stood[1]
        return outcome

    # the session's ear

    def listen(self, hint: Hint) -> None:
        """What the coach expects to hear now."""
        self._hint = hint

    def close(self) -> None:
        """Nothing to release."""

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing the coach hears of this learner."""
        while self._coming:
            cut = self._coming.popleft()
            if isinstance(cut, SpeechStart):
                self._pass_until(cut.at_sample)
                return SpeechBegan()
            if isinstance(cut, Utterance):
                self._pass_until(cut.first_sample + len(cut.samples))
                return self._heard(cut)
        if self._over():
            return EarClosed()
        saying = self._next_saying()
        if saying is None:
            self.clock.skip(SILENCE_S)
            return None
        self._say(saying)
        return None

    def _over(self) -> bool:
        outcome, state = self.outcome, self._session.state
        outcome.ended_as = str(state.mode)
        if self._stood is not None or state.mode is Mode.SILENCED:
            return True
        return len(outcome.spoken) >= MOST_UTTERANCES

    def _pass_until(self, sample: int) -> None:
        at_s = self._at_s + sample / SAMPLE_RATE_HZ
        self.clock.skip(max(0.0, at_s - self.clock.now_s()))

    def _heard(self, utterance: Utterance) -> TextHeard:
        hypothesis = recognise(self._scene.recogniser, utterance, self._hint)
        spoken = self.outcome.spoken[-1]
        spoken.heard = f"{spoken.heard} / {hypothesis.text}".removeprefix(" / ")
        spoken.confidence = round(hypothesis.confidence, 3)
        return TextHeard(hypothesis)

    def _say(self, saying: Saying) -> None:
        self.outcome.spoken.append(Spoken(saying.text, str(saying.intent)))
        seed = self._dice.randrange(2**31)
        sound = self._scene.studio.take(saying.text, self.outcome.speaker, seed)
        self._at_s = self.clock.now_s()
        self._coming.extend(self._scene.cuts(sound, self._hint))
        if not self._coming:
            self.clock.skip(len(sound) / SAMPLE_RATE_HZ)

    # what he says

    def _right(self, proposals: tuple[Proposal, ...]) -> bool:
        return all(
            (p.step, p.name, p.reading.values, p.reading.unit)
            == (self._step.id, self._spec.name, (self._value,), self._spec.unit)
            for p in proposals
        )

    def _next_saying(self) -> Saying | None:
        state, dice, spec = self._session.state, self._dice, self._spec
        tongue = self._tongue
        pending = state.pending
        if state.mode is Mode.PAUSED:
            return tongue.go_on(isinstance(pending, ConfirmStop))
        if isinstance(pending, ReadBack):
            if not self._right(pending.proposals):
                return tongue.no(self._value, dice)
            if pending.sure and not self._silent and dice.random() < SILENT_AGREEMENT:
                self._silent = True
                return None
            return tongue.yes(dice)
        if not self.outcome.spoken:
            return tongue.first(self._value, spec, dice)
        spelled = "digit by digit" in state.last_said
        return tongue.again(self._value, spec, dice, spelled)

    # the session's observer

    def said(self, text: str) -> None:
        """The coach speaks: a read-back is judged."""
        if self.outcome.spoken and self._session.state.mode is not Mode.ENDED:
            last = self.outcome.spoken[-1]
            last.reply = last.reply or text

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """The coach has taken the last utterance in."""
        pending = self._session.state.pending
        if not isinstance(pending, ReadBack):
            return
        outcome, right = self.outcome, self._right(pending.proposals)
        if not outcome.first_read_back:
            outcome.first_read_back, outcome.first_wrong = True, not right
        if not right and pending.sure:
            outcome.wrong_sure = True
            values = {value for p in pending.proposals for value in p.reading.values}
            outcome.kin_sure = outcome.kin_sure or bool(values & kin_of(self._value))

    def heard(self, meaning: Meaning) -> None:
        """The coach understood an utterance."""
        outcome = self.outcome
        if not outcome.spoken:
            return
        spoken = outcome.spoken[-1]
        spoken.answer = meaning.answer
        if spoken.intent == Intent.NO:
            outcome.contradictions += 1
            outcome.false_yes += meaning.answer == "yes"
        elif spoken.intent == Intent.YES:
            outcome.agreements += 1
            outcome.missed_yes += meaning.answer != "yes"

    def noted(self, name: str, data: Fields) -> None:
        """A number stands: right, wrong, or only noted as out of range."""
        if name != "reading-stands" or self._stood is not None:
            return
        right = (data["step"], data["reading"], data["value"], data["unit"]) == (
            self._step.id,
            self._spec.name,
            self._value,
            str(self._spec.unit),
        )
        standing = self._session.state.standing(str(data["step"]), str(data["reading"]))
        if right or (standing is not None and standing.accepted):
            self._stood = (right, f"{data['value']:g} by {data['how']}")


class Scene:
    """What all dialogues share: voices, noises, the network that cuts and the one that hears."""

    def __init__(self, studio: Studio, cast: Cast, recogniser: Recogniser) -> None:
        self.studio = studio
        self.recogniser = recogniser
        self._cast = cast
        self._activity = VoiceActivity()

    def speaker(self, dice: random.Random) -> Speaker:
        """A learner's voice and surroundings."""
        return draw_speaker(self._cast, len(self.studio.rooms), len(self.studio.noises), dice)

    def cuts(self, sound: np.ndarray[Any, np.dtype[np.float32]], hint: Hint) -> list[Cut]:
        """The turns of speech in one take; one still open at its end is closed there."""
        self._activity.reset()
        segmenter = Segmenter(self._activity)
        segmenter.expect(hint)
        return [*segmenter.feed(sound), *segmenter.endpointer.finish()]

    def dialogue(self, seed: int) -> Outcome:
        """The dialogue of that seed."""
        dice = random.Random(seed)
        quantity = dice.choice(tuple(PLACES))
        outcome = Learner(moment_of(quantity, dice), self, dice.randrange(2**31)).talk()
        outcome.seed = seed
        return outcome
