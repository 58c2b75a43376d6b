"""The written dialogues, spoken: python -m tests.benchmarks.spoken_dialogues

The straight run of every skill (`--every`: each of its dialogues) is spoken by a synthetic voice
that the network never heard, in the noise of a room `--ratio` dB below it, cut and recognised as in
a session, and answered by the coach. The learner is truthful: asked whether a step is done he says
yes if he has said so, asked for a number yes if it is his, and what is not taken up he says again,
up to three times. Held against the same dialogue typed: the steps and numbers that count in both,
those that were lost, and those that never counted but in sound, which may not happen: the exit
code is 1 then. `--skill` names one, `--seed` draws other voices, `--list` names what differs,
`--json FILE` keeps the figures.

Needs espeak-ng and flite, and for the noise of rooms the recordings in the folder COACH_SPEECH
(unset: ../shared/speech beside the checkout).
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from coach.app.script import Unwatched, wordless_event
from coach.app.scripted_practice import ForgetfulJournal, request_of
from coach.core.meaning import YES_NO, Expectation
from coach.core.plain import Fields
from coach.dialogue.engine import new_state
from coach.dialogue.events import SessionStarted
from coach.dialogue.state import ConfirmStep, Pending, ReadBack, State
from coach.edges.carelessness_table import read_carelessness
from coach.edges.clocks import ScriptClock
from coach.edges.engines import open_recogniser
from coach.edges.segmenter import recognise
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_folders import is_skill_file
from coach.edges.typed_ear import SilentVoice, typed
from coach.hearing.endpointer import Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.procedure.dialogue_file import Dialogue, Turn
from coach.procedure.skill_file import SkillFile
from coach.session.loop import LET_PASS, Ports, Session
from coach.session.ports import EarClosed, EarEvent, TextHeard

from .learner import Scene
from .recognisers import speech_folder
from .voices import MEASURING, PEOPLE, Speaker, Studio

PROCEDURES = Path(__file__).parents[2] / "procedures"
MOST_TIMES = 3
"""How often a learner says what was not taken up, before going on."""

PLAINLY = "That's done."
"""What a learner says at last of a step that the coach still waits for."""

HEAD = ("| skill | steps | numbers | utterances a turn | only in sound |", "|---|---|---|---|---|")

Speak = Callable[[str, Hint, int], Hypothesis | None]
"""Says words, so many utterances were before them, and hears them again; None for nothing."""

Number = tuple[str, str, tuple[float, ...], str]
"""A number that stands: its step, its name, its values and its unit."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The steps and numbers that count at a moment."""

    steps: frozenset[str] = frozenset()
    numbers: frozenset[Number] = frozenset()

    @classmethod
    def of(cls, state: State) -> Standing:
        """Those of a state."""
        return cls(
            frozenset(credit.step for credit in state.credits),
            frozenset((r.step, r.name, r.values, str(r.unit)) for r in state.readings),
        )


@dataclass(frozen=True, slots=True)
class TypedTurn:
    """A turn of the typed dialogue: whether it answered yes or no, what counted before and after
    it, and whether the coach asked for a yes or no then."""

    turn: Turn
    answers: bool
    before: Standing
    after: Standing
    asked: bool


@dataclass(slots=True)
class Exchange:
    """Words of the learner, what they were heard as, and what the coach said then."""

    words: str
    heard: str
    reply: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """How a spoken dialogue ended beside the typed one; `talk` is what was said."""

    skill: str
    dialogue: str
    voice: str
    steps: int
    numbers: int
    turns: int
    utterances: int
    lost: tuple[str, ...]
    only_spoken: tuple[str, ...]
    talk: tuple[Exchange, ...]


class Learner(Unwatched, ABC):
    """The ear of a session and its observer: both kinds of learner have the session before them."""

    def __init__(self) -> None:
        self.clock = ScriptClock()
        self.hint = Hint()
        self._session: Session | None = None

    def practise(self, skill_file: SkillFile, first: SessionStarted) -> State:
        """The whole session, with this learner."""
        ports = Ports(self.clock, self, SilentVoice(), ForgetfulJournal(), self, self.clock.skip)
        self._session = Session(new_state(skill_file), ports, careless=read_carelessness())
        return self._session.run(first)

    @property
    def state(self) -> State:
        """The session as it stands."""
        assert self._session is not None
        return self._session.state

    def listen(self, hint: Hint) -> None:
        """What the coach expects to hear now."""
        self.hint = hint

    @abstractmethod
    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing the learner does."""

    def close(self) -> None:
        """Nothing to release."""


class TypingLearner(Learner):
    """Types the turns of a dialogue and keeps what came of each."""

    def __init__(self, turns: Sequence[Turn]) -> None:
        super().__init__()
        self._turns = list(turns)
        self._open: tuple[Turn, bool, Standing] | None = None
        self.typed: list[TypedTurn] = []

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next turn."""
        self.keep()
        if not self._turns:
            return EarClosed()
        turn = self._turns.pop(0)
        self._open = (turn, self._asked, Standing.of(self.state))
        return wordless_event(turn) or typed(turn.learner or "")

    @property
    def _asked(self) -> bool:
        return self.hint.expect == YES_NO

    def keep(self) -> None:
        """Keep what came of the turn that is over."""
        if self._open is not None:
            self.typed.append(TypedTurn(*self._open, Standing.of(self.state), self._asked))
            self._open = None


class SpeakingLearner(Learner):
    """Speaks the turns of a dialogue that was typed before, truthfully and as often as needed."""

    def __init__(self, dialogue: Sequence[TypedTurn], speak: Speak) -> None:
        super().__init__()
        self._coming = list(dialogue)
        self._past: list[TypedTurn] = []
        self._times: Counter[int] = Counter()
        self._awaited: str | None = None
        self._plainly: set[str | None] = set()
        self._own = {value for *_, values, _ in dialogue[-1].after.numbers for value in values}
        self._speak = speak
        self.talk: list[Exchange] = []

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """The coach waits for a step."""
        self._awaited = step

    def next(self, timeout_s: float) -> EarEvent | None:
        """An answer that the typed dialogue did not need, something once more, or the next turn."""
        answer = self._answer_besides()
        if answer is not None:
            return self._say(answer)
        again = self._once_more()
        if again is not None:
            return self._say(again)
        while self._coming:
            now = self._coming.pop(0)
            self._past.append(now)
            self._times[now.turn.line] += 1
            wordless = wordless_event(now.turn)
            if wordless is not None:
                return wordless
            if not now.answers or self.hint.expect == YES_NO:
                return self._say(now.turn.learner or "")
        return EarClosed()

    def _once_more(self) -> str | None:
        """What was said and not taken up: for the step the coach waits for, else what was last."""
        lost = [told for told in self._past if told.turn.learner and self._lost(told)]
        waited_for = [
            told for told in lost if self._awaited in told.after.steps - told.before.steps
        ]
        for told in (*waited_for, *lost[-1:]):
            if told in (*waited_for, self._past[-1]) and self._times[told.turn.line] < MOST_TIMES:
                self._times[told.turn.line] += 1
                return told.turn.learner
        if waited_for and self._awaited not in self._plainly:
            self._plainly.add(self._awaited)
            return PLAINLY
        return None

    def _lost(self, turn: TypedTurn) -> bool:
        """Whether something that counts in the typed dialogue since this turn does not count, or
        the coach asked about it then and does not now."""
        there = Standing.of(self.state)
        steps = turn.after.steps - turn.before.steps
        numbers = turn.after.numbers - turn.before.numbers
        if turn is self._past[-1] and turn.asked and self.hint.expect != YES_NO:
            return True
        return not (steps <= there.steps and numbers <= there.numbers)

    def _answer_besides(self) -> str | None:
        """The answer to a question that the typed dialogue did not put here."""
        if not self._past or self.hint.expect != YES_NO:
            return None
        if self._past[-1].asked and self._coming and self._coming[0].answers:
            return None
        return "yes" if self._true(self.state.pending) else "no"

    def _true(self, pending: Pending | None) -> bool:
        if isinstance(pending, ConfirmStep):
            return pending.step in self._past[-1].after.steps
        if isinstance(pending, ReadBack):
            return all(set(each.reading.values) <= self._own for each in pending.proposals)
        return False

    def said(self, text: str) -> None:
        """The coach answers."""
        if self.talk:
            self.talk[-1].reply = f"{self.talk[-1].reply} {text}".strip()

    def noted(self, name: str, data: Fields) -> None:
        """What is let pass gets no answer: why, goes with the words."""
        if name == LET_PASS and self.talk:
            self.talk[-1].reply += f"(none, {data['reason']})"

    def _say(self, words: str) -> EarEvent | None:
        """The words as they are heard; None where no speech was made out."""
        hypothesis = self._speak(words, self.hint, len(self.talk))
        self.talk.append(Exchange(words, hypothesis.text if hypothesis else ""))
        return TextHeard(hypothesis) if hypothesis else None


def in_noise(scene: Scene, voice: Speaker) -> Speak:
    """Words spoken by a voice in its room, and heard there."""

    def speak(words: str, hint: Hint, number: int) -> Hypothesis | None:
        sound = scene.studio.take(words, voice, number)
        turns = [cut for cut in scene.cuts(sound, hint) if isinstance(cut, Utterance)]
        # Of a take that was cut in two the first turn is answered; the learner says it again.
        return recognise(scene.recogniser, turns[0], hint) if turns else None

    return speak


def spoken(skill_file: SkillFile, dialogue: Dialogue, speak: Speak, voice: str) -> Told:
    """A dialogue typed, then spoken, and how the two differ; `voice` is for the table."""
    first = request_of(skill_file, dialogue).first
    typing = TypingLearner(dialogue.turns)
    wanted = Standing.of(typing.practise(skill_file, first))
    typing.keep()
    speaking = SpeakingLearner(typing.typed, speak)
    found = Standing.of(speaking.practise(skill_file, first))
    ever = Standing(
        frozenset[str]().union(*(turn.after.steps for turn in typing.typed)),
        frozenset[Number]().union(*(turn.after.numbers for turn in typing.typed)),
    )
    return Told(
        skill_file.id,
        dialogue.name,
        voice,
        len(wanted.steps),
        len(wanted.numbers),
        sum(turn.learner is not None for turn in dialogue.turns),
        len(speaking.talk),
        tuple(_names(wanted, found)),
        tuple(_names(found, ever)),
        tuple(speaking.talk),
    )


def _names(these: Standing, others: Standing) -> Iterator[str]:
    yield from sorted(these.steps - others.steps)
    for step, name, values, unit in sorted(these.numbers - others.numbers):
        yield f"{step} {name} {'/'.join(f'{value:g}' for value in values)} {unit}"


def main(arguments: Sequence[str]) -> int:
    """Print the table; 1 if something counted in sound that does not count when it is typed."""
    parser = argparse.ArgumentParser(description="The written dialogues of the skills, spoken.")
    parser.add_argument("--skill", action="append", help="only this skill; may be given again")
    parser.add_argument("--every", action="store_true", help="each dialogue, not only the first")
    parser.add_argument("--ratio", type=float, default=15.0, help="speech over noise, dB")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--list", action="store_true", help="name what differs")
    parser.add_argument("--json", metavar="FILE", help="keep the figures")
    asked = parser.parse_args(arguments)
    scene = Scene(Studio(speech_folder(), MEASURING), MEASURING, open_recogniser("own", None))
    dice = random.Random(asked.seed)
    told: list[Told] = []
    for line in HEAD:
        _tell(line)
    for skill in asked.skill or skills():
        skill_file = load_skill(skill)
        dialogues = load_dialogues(PROCEDURES / f"{skill}.dialogues.yaml", skill_file)
        mine = []
        for dialogue in dialogues if asked.every else dialogues[:1]:
            voice = _voice(scene, dice, asked.ratio)
            mine.append(spoken(skill_file, dialogue, in_noise(scene, voice), voice.name))
        told += mine
        _tell(_row(skill, mine))
        for one in mine if asked.list else ():
            for line in _differences(one):
                _tell(line)
    _tell(_row("all", told))
    if asked.json:
        rows = [asdict(one) for one in told]
        Path(asked.json).write_text(json.dumps(rows, indent=1), encoding="utf-8")
    return 1 if any(one.only_spoken for one in told) else 0


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _differences(told: Told) -> Iterator[str]:
    if told.lost or told.only_spoken:
        yield f"{told.dialogue} ({told.voice}): lost {', '.join(told.lost) or 'nothing'}"
    if told.only_spoken:
        yield f"    counts only in sound: {', '.join(told.only_spoken)}"
    for each in told.talk if told.lost or told.only_spoken else ():
        yield f"    {each.words} -> {each.heard}\n        coach: {each.reply}"


def skills() -> list[str]:
    """The names of the program's skills."""
    return sorted(file.stem for file in PROCEDURES.glob("*.yaml") if is_skill_file(file))


def _voice(scene: Scene, dice: random.Random, ratio_db: float) -> Speaker:
    while True:
        speaker = scene.speaker(dice)
        if speaker.program != PEOPLE:
            return replace(speaker, ratio_db=ratio_db)


def _row(name: str, told: Sequence[Told]) -> str:
    steps, numbers = sum(one.steps for one in told), sum(one.numbers for one in told)
    lost_numbers = sum(" " in lost for one in told for lost in one.lost)
    lost_steps = sum(len(one.lost) for one in told) - lost_numbers
    turns, utterances = sum(one.turns for one in told), sum(one.utterances for one in told)
    return (
        f"| {name} | {steps - lost_steps} of {steps} | {numbers - lost_numbers} of {numbers} "
        f"| {utterances / max(turns, 1):.2f} | {sum(len(one.only_spoken) for one in told)} |"
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
