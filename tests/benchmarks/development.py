"""What the ear's limits are chosen on: utterances by speakers, voices and noises not trained on.

Real people are those that `models/training/development.yaml` keeps from training (Speech Commands,
AN4), the crowd's coffee orders, which no training reads, and rows of digits from the training takes
of the Free Spoken Digit Dataset, which later training may read: they count as one kind of their
own. Voices are espeak-ng variants that training does not use. Nothing of the test folders.
"""

from __future__ import annotations

import csv
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import yaml

from coach.core.meaning import YES_NO
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity
from coach.dialogue.engine import new_state
from coach.dialogue.moment import asked_context, context_of, hint_of
from coach.edges.skill_files import load_skill
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.language.commands import command_phrases
from coach.language.context import Context
from coach.procedure.model import ReadingSpec, Skill

from .learner import moment_of
from .sayings import NO_AND, ONES, UNITS, YES, Ready, worded
from .voices import TUNING, Speaker, Studio

ROOT = Path(__file__).parents[2]
RATIOS_DB = (None, 10.0, 5.0, 0.0)
SKILLS = ("oxygen-cylinder", "oxygen-delivery", "suction", "oral-airway", "nasal-airway")
LANGUAGES = ("en-us", "en-us", "en", "en-gb-x-rp", "en-gb-scotland", "en-029", "en-gb-x-gbcwmd")
ROWS_EACH = 20
WORDS = frozenset("yes no stop go on off up down left right".split())

TALK = (
    "did you watch the game last night",
    "we should get some lunch after this",
    "hand me that other bag would you",
    "my brother bought a new truck",
    "the instructor said there is a quiz on friday",
    "who parked behind the station",
    "i think she went home already",
    "turn the heating up it is cold in here",
    "they moved the tables to the other room",
    "what time does the bus leave",
    "he said the whole team was late",
    "put your phone away please",
    "can somebody open a window",
    "that was a long weekend",
    "it rained all the way to the coast",
    "our group is next to the door",
    "the coffee machine is broken again",
    "i have to call my mother tonight",
    "nobody told me about the schedule",
    "she got forty points on the test",
    "his dog is three years old",
    "there are about twenty people in this class",
    "is this seat taken",
    "good morning everybody",
    "look at the picture on page nine",
    "umbrella",
    "wednesday",
    "banana",
    "elephant",
    "computer",
    "tomorrow",
    "kitchen",
    "garden",
    "sandwich",
    "paper",
    "monkey",
    "window",
    "river",
    "yellow",
    "music",
)
"""Said by others in the room, or to others."""

PAIRS = tuple(
    (teen, ten)
    for teen, ten in zip(
        ONES[13:], "thirty forty fifty sixty seventy eighty ninety".split(), strict=True
    )
)


@dataclass(frozen=True, slots=True)
class Moment:
    """Where in a practice an utterance falls."""

    name: str
    context: Context
    hint: Hint


@dataclass(frozen=True, slots=True)
class Take:
    """One utterance: what was said (None: nothing meant for the coach), by whom, and its sound."""

    what: str
    said: str | None
    group: str
    ratio_db: float | None
    moment: str
    sound: Samples


@cache
def moments() -> dict[str, Moment]:
    """Moments by name: nothing asked, yes or no asked, each number asked."""
    found = []
    for name in SKILLS:
        skill = _skill(name)
        context = asked_context(skill, None, None)
        found.append(Moment(f"{name}/idle", context, hint_of(context)))
    dice = random.Random(3)
    for quantity in Quantity:
        try:
            states = [moment_of(quantity, dice) for _ in range(2)]
        except (KeyError, IndexError):
            continue
        for number, (state, _, _) in enumerate(states):
            context = context_of(state)
            found.append(Moment(f"{quantity}/{number}", context, hint_of(context)))
            asked = replace(context, expect=YES_NO, expect_range=None, in_question=quantity)
            found.append(Moment(f"{quantity}/{number}/yes-no", asked, hint_of(asked)))
    return {moment.name: moment for moment in found}


@cache
def _skill(name: str) -> Skill:
    return new_state(load_skill(name)).skill


def _names(ending: str) -> list[str]:
    return [name for name in moments() if name.endswith(ending)]


IDLE, ASKED = "idle", "yes-no"


def held_out() -> dict[str, list[str]]:
    """Speakers and noises that training leaves out."""
    path = ROOT / "models" / "training" / "development.yaml"
    result: dict[str, list[str]] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return result


class Development:
    """All takes, the same for the same recordings and programs."""

    def __init__(self, speech: Path) -> None:
        self._speech = speech
        self._studio = Studio(speech, TUNING)
        apart = held_out()
        self._speakers = frozenset(apart["speakers"])
        folder = speech / "noise" / "train"
        self._noises = [read_recording(folder / name) for name in apart["noises"]]
        self._dice = random.Random(11)

    def takes(self) -> Iterator[Take]:
        """Every utterance in noise, at a moment."""
        for what, said, group, places, clip in self._clips():
            ratios = RATIOS_DB if what in {"word", "foreign"} else self._two()
            for ratio_db in ratios:
                place = self._dice.choice(places)
                sound = self._mixed(clip, ratio_db)
                yield Take(what, said, group, ratio_db, place, sound)
        for number, noise in enumerate(self._noises):
            for at in range(0, len(noise) - 3 * SAMPLE_RATE_HZ, 4 * SAMPLE_RATE_HZ):
                places = self._dice.choice((_names(IDLE), _names(ASKED), _numbers()))
                piece = noise[at : at + self._dice.choice((1, 2, 3)) * SAMPLE_RATE_HZ]
                yield Take("noise", None, f"noise {number}", None, self._dice.choice(places), piece)

    def _two(self) -> tuple[float | None, ...]:
        return self._dice.choice(((None, 10.0), (None, 5.0), (10.0, 5.0), (None, 0.0)))

    def _mixed(self, clip: Samples, ratio_db: float | None) -> Samples:
        lead = SAMPLE_RATE_HZ // 5
        sound = np.pad(clip, lead)
        if ratio_db is None:
            return sound.astype(np.float32)
        noise = self._dice.choice(self._noises)
        start = self._dice.randrange(len(noise))
        part = np.resize(np.roll(noise, -start), len(sound))
        power = max(float(np.mean(part**2)), 1e-9)
        gain = np.sqrt(float(np.mean(clip**2)) / power) * 10 ** (-ratio_db / 20)
        mixture = sound + part * gain
        loudest = max(float(np.abs(mixture).max()), 1e-6)
        result: Samples = (mixture * min(1.0, 0.98 / loudest)).astype(np.float32)
        return result

    def _clips(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        yield from self._words()
        yield from self._an4()
        yield from self._digit_rows()
        yield from self._orders()
        yield from self._synthetic()

    def _rows(self, folder: str) -> list[dict[str, str]]:
        with (self._speech / "train" / folder / "manifest.tsv").open(encoding="utf-8") as file:
            return list(csv.DictReader(file, delimiter="\t"))

    def _clip(self, folder: str, row: dict[str, str]) -> Samples:
        return read_recording(self._speech / "train" / folder / row["file"])

    def _words(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        for row in self._rows("words"):
            if row["speaker"] not in self._speakers:
                continue
            word, clip = row["transcript"], self._clip("words", row)
            if word in ONES:
                yield "number", word, row["speaker"], _names("flow/0") + _names("flow/1"), clip
            elif word in WORDS:
                places = _names(ASKED) if word in {"yes", "no"} else _numbers()
                yield "word", word, row["speaker"], _names(IDLE) + places, clip
            else:
                yield "foreign", None, row["speaker"], list(moments()), clip

    def _an4(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        for folder in ("commands", "numbers"):
            for row in self._rows(folder):
                if row["speaker"] not in self._speakers:
                    continue
                said, clip = row["transcript"], self._clip(folder, row)
                if said in {"yes", "no", "stop", "start", "go", "help", "repeat"}:
                    yield "word", said, row["speaker"], _names(IDLE) + _names(ASKED), clip
                elif folder == "numbers" and not set(said.split()) & {"may", "july", "ninth"}:
                    yield "number", said, row["speaker"], _names("pressure/0"), clip

    def _digit_rows(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        folder = self._speech / "train" / "digits" / "fsdd"
        for speaker in ("nicolas", "theo"):
            for _ in range(ROWS_EACH):
                digits = [self._dice.randrange(10) for _ in range(self._dice.choice((3, 4, 4)))]
                pieces = []
                for digit in digits:
                    found = sorted(folder.glob(f"{digit}_{speaker}_*"))
                    pieces.append(read_recording(self._dice.choice(found)))
                    gap = self._dice.uniform(0.06, 0.2)
                    pieces.append(np.zeros(int(gap * SAMPLE_RATE_HZ), np.float32))
                said = " ".join(ONES[digit] for digit in digits)
                yield (
                    "digits",
                    said,
                    f"fsdd-{speaker}",
                    _names("pressure/0"),
                    np.concatenate(pieces),
                )

    def _orders(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        for row in self._rows("orders")[::2]:
            clip = self._clip("orders", row)[: 6 * SAMPLE_RATE_HZ]
            yield "talk", None, row["speaker"], list(moments()), clip

    # synthetic voices

    def _speaker(self) -> Speaker:
        dice = self._dice
        return Speaker(
            "espeak-ng",
            dice.choice(TUNING.espeak),
            dice.choice(LANGUAGES),
            dice.randint(120, 195),
            dice.randint(25, 75),
            dice.randrange(len(self._studio.rooms)),
            -14.0,
            0,
            20.0,
        )

    def _said(self, text: str) -> tuple[str, Samples]:
        speaker = self._speaker()
        clip = self._studio.rendered(text, speaker)
        level = max(float(np.sqrt(np.mean(clip**2))), 1e-6)
        return f"espeak {speaker.voice}", (clip * (0.06 / level)).astype(np.float32)

    def _synthetic(self) -> Iterator[tuple[str, str | None, str, list[str], Samples]]:
        dice = self._dice
        for text in dice.sample(sorted(command_phrases()), 110):
            yield "command", text, *self._placed(text, _names(IDLE) + list(moments()))
        for text in YES * 4 + ("no", "nope", "that's wrong", "negative", "not yet") * 4:
            yield "answer", text, *self._placed(text, _names(ASKED))
        for name in [n for n in moments() if n in _numbers()]:
            for _ in range(14):
                yield "number", *self._reading(name)
        for _ in range(30):
            name = dice.choice(_names(ASKED))
            text = dice.choice(NO_AND).format(worded(dice.choice((900, 1700, 15, 88, 1250)), dice))
            yield "correction", text, *self._placed(text, [name])
        for text, place in self._confusable():
            yield "confusable", text, *self._placed(text, [place])
        for name in SKILLS:
            context = moments()[f"{name}/{IDLE}"].context
            phrases = sorted({p for step in context.steps for p in step.done.phrases})
            for text in dice.sample(phrases, min(26, len(phrases))):
                yield "step", text, *self._placed(text, [f"{name}/{IDLE}"])
        for text in TALK * 2:
            yield "talk", None, *self._placed(text, list(moments()))

    def _placed(self, text: str, places: list[str]) -> tuple[str, list[str], Samples]:
        group, clip = self._said(text)
        return group, places, clip

    def _reading(self, name: str) -> tuple[str, str, list[str], Samples]:
        context = moments()[name].context
        allowed = context.expect_range
        assert allowed is not None and isinstance(context.expect, Quantity)
        spec = ReadingSpec("", context.expect, allowed.unit, allowed.low, allowed.high, "")
        tongue = Ready()
        text = tongue.first(tongue.value(spec, self._dice), spec, self._dice).text
        return text, *self._placed(text, [name])

    def _confusable(self) -> Iterator[tuple[str, str]]:
        flow, pressure = _names("flow/0")[0], _names("pressure/0")[0]
        for teen, ten in PAIRS:
            for word in (teen, ten):
                yield f"{word} {self._dice.choice(('', 'liters'))}".strip(), flow
                yield f"{word} hundred", pressure
                yield f"{self._dice.choice(('a', 'one'))} hundred {word}", pressure
                yield f"one {word}", pressure
        for text in ("one five", "one nine", "five oh", "nine oh", "two", "ten", "four", "eight"):
            yield text, flow
            yield f"{text} {self._dice.choice(UNITS[next(iter(UNITS))])}", pressure


def _numbers() -> list[str]:
    return [name for name, m in moments().items() if isinstance(m.hint.expect, Quantity)]
