"""How sure it is what a whole sentence tells: python -m tests.benchmarks.told_steps

The sentences of all skills' dialogues, each at its moment of an attempt in silence, are spoken by
voices and in noises that training leaves out; so is talk for others. Printed are the weights of
`coach/session/told_chance.py` fitted to whether a sentence told of steps that were not said, and
how often sentences at least so sure did, each judged by what was fitted to other voices. `--takes`
is how many sentences are spoken, `--seed` draws other ones.

Needs espeak-ng, flite and recordings in the folder COACH_SPEECH (unset: ../shared/speech).
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml

from coach.app.beginning import first_event
from coach.core.meaning import Part
from coach.core.sound import Samples
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import Heard
from coach.dialogue.moment import context_of, hint_of
from coach.dialogue.state import Mode
from coach.edges.engines import open_recogniser
from coach.edges.segmenter import Segmenter, recognise
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.endpointer import Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.report.attempt import Way
from coach.session.likeliest import likeliest, told_alike, told_by, understood
from coach.session.ports import Recogniser
from coach.session.sureness import WHOLE_SENTENCE_WORDS

from .development import TALK
from .fitting import Row, logistic_weights
from .hypotheses import HeldOut
from .recognisers import speech_folder

PROCEDURES = Path(__file__).parents[2] / "procedures"
START = np.array((-0.5, 0.0, 0.0, 0.0, 1.0))
NAMES = ("otherwise", "unsure", "fit", "foreign", "one")
PULL, FOLDS, TURN_S = 1.0, 5, 4.0
DIALOGUES = 4
"""So many of a skill are enough for a thousand sentences."""

LEAST = (0.8, 0.85, 0.9, 0.95)


@dataclass(frozen=True, slots=True)
class Said:
    """Words at a moment of an attempt; not `meant`: talk for others."""

    text: str
    context: Context
    meant: bool = True


@dataclass(frozen=True, slots=True)
class Case:
    """A sentence that was heard to tell of steps: what its chance hangs on, and who said it."""

    facts: tuple[float, ...]
    share: float
    right: bool
    voice: str


def sayings(dice: random.Random) -> Iterator[Said]:
    """Sentences of the skills' dialogues, each at its moment of an attempt in silence."""
    paths = sorted(PROCEDURES.glob("*.dialogues.yaml"))
    dice.shuffle(paths)
    for path in paths:
        skill_file = load_skill(path.name.partition(".")[0])
        dialogues = yaml.safe_load(path.read_text(encoding="utf-8"))
        for dialogue in dice.sample(dialogues, min(DIALOGUES, len(dialogues))):
            settings = {name: str(value) for name, value in dialogue.get("settings", {}).items()}
            first = first_event(skill_file, load_settings({}, {}), settings, (), Way.ASSESSED)
            state, _ = advance(new_state(skill_file), first)
            turns = [turn.get("learner") for turn in dialogue.get("turns", ())]
            for number, text in enumerate(("I'm ready", *turns)):
                if not isinstance(text, str) or state.mode is Mode.ENDED:
                    continue
                context = context_of(state)
                if len(text.split()) >= WHOLE_SENTENCE_WORDS:
                    yield Said(text, context)
                event = Heard(TURN_S * (number + 1), understand(text, context))
                try:
                    state, _ = advance(state, event)
                except UnlawfulEventError:
                    continue


def drawn(takes: int, dice: random.Random) -> list[Said]:
    """So many sentences, no words twice, and all talk for others among them."""
    found: dict[str, Said] = {}
    for said in sayings(dice):
        found.setdefault(said.text.lower(), said)
        if len(found) == takes:
            break
    others = [text for text in TALK if len(text.split()) >= WHOLE_SENTENCE_WORDS]
    meant = list(found.values())
    return meant + [Said(text, dice.choice(meant).context, meant=False) for text in others]


class Speaking:
    """Sentences spoken, cut and heard as in a session."""

    def __init__(self, dice: random.Random) -> None:
        self._studio = HeldOut(speech_folder())
        self._recogniser: Recogniser = open_recogniser("own", None)
        self._activity = VoiceActivity()
        self._dice = dice

    def case(self, said: Said) -> Case | None:
        """What a sentence was heard as; None where it told of no step as done, or was cut."""
        speaker = self._studio.speaker(self._dice, by_people=False)
        sound = self._studio.take(said.text, speaker, self._dice.randrange(1 << 30))
        hint = hint_of(said.context)
        turns = self._cut(sound, hint)
        if len(turns) != 1:
            return None
        return case_of(said, recognise(self._recogniser, turns[0], hint), speaker.name)

    def _cut(self, sound: Samples, hint: Hint) -> list[Utterance]:
        self._activity.reset()
        segmenter = Segmenter(self._activity)
        segmenter.expect(hint)
        cuts = [*segmenter.feed(sound), *segmenter.endpointer.finish()]
        return [cut for cut in cuts if isinstance(cut, Utterance)]


def case_of(said: Said, hypothesis: Hypothesis, voice: str) -> Case | None:
    """The case of a sentence; None where nothing is to be judged in it."""
    heard = likeliest(hypothesis, said.context, agreeing=True)
    meaning = understood(heard, said.context)
    if heard.shares is None or not meaning.steps or meaning.readings:
        return None
    if len(heard.text.split()) < WHOLE_SENTENCE_WORDS or any(m.denied for m in meaning.steps):
        return None
    same, otherwise = told_alike(told_by(meaning), heard.shares, said.context)
    if not same:
        return None
    odds = min(otherwise + 1e-3, 1.0 - 1e-3)
    shares = heard.shares
    facts = (
        math.log(odds / (1.0 - odds)), shares.unsure, shares.fit, float(shares.foreign), 1.0,
    )  # fmt: skip
    meant = _steps(said.text, said.context) if said.meant else frozenset()
    right = {(m.step, m.denied, m.part) for m in meaning.steps} <= meant
    return Case(facts, same / (same + otherwise), right, voice)


def _steps(text: str, context: Context) -> frozenset[tuple[str, bool, Part]]:
    return frozenset((m.step, m.denied, m.part) for m in understand(text, context).steps)


def fitted(cases: Sequence[Case]) -> Row:
    """The weights under which the chances of what was told are likeliest."""
    facts = np.array([case.facts for case in cases])
    right = np.array([case.right for case in cases], float)
    return logistic_weights(facts, right, START, PULL)


def told(cases: Sequence[Case]) -> str:
    """The weights, and what sentences at least so sure come to by those of other voices."""
    fold_of = [zlib.crc32(case.voice.encode()) % FOLDS for case in cases]
    chances = np.zeros(len(cases))
    for fold in set(fold_of):
        weights = fitted([c for c, of in zip(cases, fold_of, strict=True) if of != fold])
        for at, (case, of) in enumerate(zip(cases, fold_of, strict=True)):
            if of == fold:
                chances[at] = 1.0 / (1.0 + math.exp(-float(np.dot(weights, case.facts))))
    chances = np.minimum(chances, [case.share for case in cases])
    weights = fitted(cases)
    lines = [", ".join(f"{n} {w:.2f}" for n, w in zip(NAMES, weights, strict=True))]
    lines.append(f"{len(cases)} sentences, {sum(not case.right for case in cases)} not as said")
    for least in LEAST:
        sure = [case for case, chance in zip(cases, chances, strict=True) if chance >= least]
        wrong = sum(not case.right for case in sure)
        lines.append(f"at least {least:g} sure: {len(sure)}, of them {wrong} not as said")
    return "\n".join(lines)


def main(arguments: Sequence[str]) -> None:
    """Print the weights and what they come to."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--takes", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    dice = random.Random(asked.seed)
    speaking = Speaking(dice)
    found = [case for said in drawn(asked.takes, dice) if (case := speaking.case(said))]
    sys.stdout.write(told(found) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
