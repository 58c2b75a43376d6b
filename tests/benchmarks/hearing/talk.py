"""Hours of what is not meant for the coach: talk, noise, and a neighbour practising the same skill.

Each minute is a scene: two sentences of the learner (they tell how loud he is, and do not count),
then people talking, orders given in a shop (real people, Picovoice's Speech-to-Intent set, never in
training), noise, or the neighbour's session, over a faint noise throughout.
"""

from __future__ import annotations

import csv
import multiprocessing
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity
from coach.edges.segmenter import Segmenter
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.endpointer import Utterance
from coach.session.own_voice import UNKNOWN
from coach.session.wake import OPEN_S, meant_words

from ..voices import SPEECH_LEVEL
from .booth import at_level
from .clips import cast
from .judged_clips import Listeners
from .moments import (
    SKILLS,
    Heard,
    Moment,
    asked_yes_no,
    awaited,
    due,
    heard,
    plain_steps,
    skill_steps,
)
from .synthesisers import Voice, rendered
from .wanted import DATA, commands, readings, steps

SCENE_S = 60
SCENES = 10
"""Scenes in a piece, which one process works on."""

KINDS = ("conversation", "neighbour", "noise", "orders", "conversation")
LEVELS_DB = {
    "conversation": (-15.0, 0.0),
    "neighbour": (-18.0, -8.0),
    "noise": (-12.0, 3.0),
    "orders": (-10.0, 0.0),
}
"""Levels drawn from, relative to the learner's. A neighbour's station is 2 to 4 m away and his own
microphone 15 to 30 cm from his mouth: 16 to 28 dB by distance alone, less in a live room."""

FAINT_DB = -25.0
PAUSES_S = (0.4, 3.0)
WAKE_WORD = "coach"


@dataclass(frozen=True, slots=True)
class Turn:
    """One turn of speech that was not the learner's, and what an engine would have done.

    `meant`: with `--wake` it would have been heard, too: it began with the word, within six seconds
    of a question of the coach (taken to end with the learner's sentences), or always passes.
    """

    engine: str
    minute: int
    kind: str
    text: str
    acts: tuple[str, ...]
    asks: bool
    meant: bool


@dataclass(frozen=True, slots=True)
class _Scene:
    sound: Samples
    learner_until: int
    moment: Moment


class Street:
    """Makes the scenes; the same for the same minute."""

    def __init__(self, speech: Path, noises: Sequence[Samples]) -> None:
        self._noises = noises
        self._small_talk: list[str] = yaml.safe_load((DATA / "small_talk.yaml").read_text("utf-8"))
        self._general: list[str] = yaml.safe_load((DATA / "general_talk.yaml").read_text("utf-8"))
        orders = speech / "train" / "orders"
        with (orders / "manifest.tsv").open(encoding="utf-8") as table:
            names = [row["file"] for row in csv.DictReader(table, delimiter="\t")]
        self._orders = [orders / name for name in names]

    def scene(self, minute: int) -> _Scene:
        """The sound of one minute, and the moment of the practice it falls in."""
        dice = random.Random(50_000 + minute)
        voices = cast()
        length = SCENE_S * SAMPLE_RATE_HZ
        noise = self._noises[dice.randrange(len(self._noises))]
        sound = np.resize(np.roll(noise, -dice.randrange(len(noise))), length)
        kind = KINDS[minute % len(KINDS)]
        low, high = LEVELS_DB[kind]
        loud_db = dice.uniform(low, high) if kind == "noise" else FAINT_DB
        sound = at_level(sound, SPEECH_LEVEL * 10 ** (loud_db / 20)).copy()
        at = SAMPLE_RATE_HZ
        learner = dice.choice(voices)
        for sentence in (*steps(1, dice), *commands(1, dice)):
            at = _put(sound, rendered(sentence.text, learner), 0.0, at) + SAMPLE_RATE_HZ
        until = at
        if kind != "noise":
            for said in self._said(kind, [v for v in voices if v != learner], dice):
                at += int(dice.uniform(*PAUSES_S) * SAMPLE_RATE_HZ)
                at = _put(sound, said, dice.uniform(low, high), at)
                if at >= length:
                    break
        return _Scene(np.clip(sound, -1.0, 1.0), until, _moment(dice))

    def _said(self, kind: str, voices: Sequence[Voice], dice: random.Random) -> Iterator[Samples]:
        if kind == "orders":
            while True:
                yield read_recording(dice.choice(self._orders))
        two = dice.sample(list(voices), 2)
        skill = dice.choice(SKILLS)
        prompts = [step.say for step in skill_steps(skill)]
        while True:
            if kind == "conversation":
                lines = self._small_talk if dice.random() < 0.5 else self._general
                yield rendered(dice.choice(lines), dice.choice(two))
                continue
            yield rendered(dice.choice(prompts), two[0])
            answer = dice.choice((steps, steps, readings, commands))
            yield rendered(next(iter(answer(1, dice))).text, two[1])


def _put(sound: Samples, said: Samples, level_db: float, at: int) -> int:
    """Add speech at a level relative to the learner's; the sample after its last."""
    part = at_level(said, SPEECH_LEVEL * 10 ** (level_db / 20))[: max(0, len(sound) - at)]
    sound[at : at + len(part)] += part
    return at + len(said)


def _moment(dice: random.Random) -> Moment:
    """Three in ten a number is awaited, one or two in ten a yes or no, else a step is due."""
    chance = dice.random()
    if chance < 0.3:
        return Moment.of(awaited(dice.choice((Quantity.PRESSURE, Quantity.FLOW)), dice)[0])
    if chance < 0.45:
        return Moment.of(asked_yes_no(dice))
    skill = dice.choice(SKILLS)
    return due(skill, dice.choice(plain_steps(skill)))


def _piece(listeners: Listeners, street: Street, first: int) -> list[Turn]:
    """Ten minutes in one stream."""
    segmenter = Segmenter(VoiceActivity())
    voices = dict.fromkeys(listeners.recognisers, UNKNOWN)
    found = []
    for minute in range(first, first + SCENES):
        scene = street.scene(minute)
        begin = segmenter.endpointer.at_sample
        learner_until = begin + scene.learner_until
        segmenter.expect(scene.moment.hint)
        moments = dict.fromkeys(listeners.recognisers, scene.moment)
        for cut in segmenter.feed(scene.sound):
            if not isinstance(cut, Utterance):
                continue
            for name, recogniser in listeners.recognisers.items():
                turn = heard(recogniser, cut, moments[name], voices[name])
                if turn.asks:
                    moments[name] = moments[name].doubted()
                voices[name] = turn.voice
                if not _within(cut, begin + SAMPLE_RATE_HZ, learner_until):
                    late = cut.began_at_sample - learner_until
                    found.append(_turn(name, minute, turn, _meant(turn, scene.moment, late)))
    return found


def _within(cut: Utterance, begin: int, end: int) -> bool:
    """Whether some of it was said between two samples: in loud noise it may begin long before."""
    return cut.began_at_sample < end and cut.ended_at_sample > begin


def _turn(engine: str, minute: int, turn: Heard, meant: bool) -> Turn:
    text, acts = turn.hypothesis.text, tuple(sorted(turn.acts))
    return Turn(engine, minute, KINDS[minute % len(KINDS)], text, acts, turn.asks, meant)


def _meant(turn: Heard, moment: Moment, samples_after_question: int) -> bool:
    asked = moment.hint.expect is not None
    answers = asked and samples_after_question < OPEN_S * SAMPLE_RATE_HZ
    return answers or meant_words(turn.hypothesis, WAKE_WORD) is not None


_HERE: list[tuple[Listeners, Street]] = []


def _open(engines: Sequence[str], speech: Path) -> None:
    listeners = Listeners(engines, speech / "noise" / "test")
    _HERE[:] = [(listeners, Street(speech, listeners.booth.noises))]


def _work(first: int) -> list[Turn]:
    listeners, street = _HERE[0]
    return _piece(listeners, street, first)


def turns(speech: Path, minutes: int, engines: Sequence[str], jobs: int = 1) -> list[Turn]:
    """Everything heard in so many minutes (whole pieces of ten)."""
    firsts = range(0, minutes, SCENES)
    if jobs == 1:
        _open(engines, speech)
        return [turn for first in firsts for turn in _work(first)]
    with multiprocessing.get_context("spawn").Pool(jobs, _open, (engines, speech)) as pool:
        return [turn for found in pool.imap(_work, firsts) for turn in found]
