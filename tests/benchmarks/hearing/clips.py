"""All clips of the benchmark of hearing, the same every time."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import yaml

from coach.core.units import Quantity, Unit

from ..sayings import ONES
from ..voices import MEASURING
from .accents import AT_HOME, REGIONS, SPEAKERS, SWAPS
from .booth import Clip, Recorded
from .moments import Moment, asked_yes_no, awaited, mid_skill
from .synthesisers import Voice, missing_programs
from .wanted import Sentence, commands, kin, paraphrases, readings, steps

WORDS: Mapping[str, str] = {
    "yes": "answer yes",
    "no": "answer no",
    "stop": "command stop",
    "go": "command resume",
    "on": "word on",
    "off": "word off",
}
"""What each word must lead to with nothing asked. "On" and "off" by themselves are no commands of
this coach: they are right where that word was heard and nothing was done."""

OTHERS = ("unknown", "silence")
KINDS: Mapping[str, Callable[[int, random.Random], Iterator[Sentence]]] = {
    "command": commands,
    "reading": readings,
    "step": steps,
    "paraphrase": paraphrases,
}
LEVELS_DB = (None, 10.0, 5.0)
DEVELOPMENT = Path(__file__).parents[3] / "models" / "training" / "development.yaml"
GAPS_S = (0.06, 0.2)


@dataclass(frozen=True, slots=True)
class Sizes:
    """How many clips of each kind."""

    sentences: int = 150
    kin: int = 480
    accents: int = 36
    digits: int = 50
    words: int = 1000


FULL = Sizes()
SHORT = Sizes(sentences=24, kin=40, accents=6, digits=12, words=15)


def cast(every: bool = True) -> tuple[Voice, ...]:
    """The voices never trained on that can be had; only espeak-ng's and flite's unless `every`."""
    found = [Voice("espeak-ng", name) for name in dict.fromkeys(MEASURING.espeak)]
    found += [Voice("flite", name) for name in MEASURING.flite] * 3
    if every:
        found += [Voice("festival", "ked_diphone")] * 3
        found += [Voice("festival", "cmu_us_slt_arctic_hts")] * 2
        found += [Voice("piper", "joe")] * 4
    return tuple(voice for voice in found if voice.program not in missing_programs())


def spoken(
    row: str,
    sentences: Sequence[Sentence],
    levels_db: Sequence[float | None],
    seed: int,
    every: bool = True,
) -> list[Clip]:
    """Each sentence by one of the voices, at each noise; the same for the same words."""
    voices = cast(every)
    clips = []
    for sentence in sentences:
        dice = random.Random(f"{seed} {sentence.text}")
        one = dice.choice(voices)
        language = dice.choice(AT_HOME) if one.program == "espeak-ng" else one.language
        speed, pitch = dice.randint(120, 200), dice.randint(30, 70)
        voice = Voice(one.program, one.name, language, speed, pitch)
        noise = dice.randrange(2**31)
        clips += [Clip(row, voice.label, sentence, voice, level, noise) for level in levels_db]
    return clips


def synthetic(kind: str, count: int, levels_db: Sequence[float | None]) -> list[Clip]:
    """One kind of sentence of a learner, at each noise."""
    seed = 100 + list(KINDS).index(kind)
    return spoken(kind, list(KINDS[kind](count, random.Random(seed))), levels_db, seed)


def confusable(count: int) -> list[Clip]:
    """Teens and tens at 10 dB."""
    return spoken("kin", list(kin(count, random.Random(200))), (10.0,), 200)


def accented(count: int) -> list[Clip]:
    """The same sentences at home, in regions and with other first languages, half at 10 dB."""
    dice = random.Random(300)
    third = max(1, count // 3)
    sentences = [s for k in ("command", "reading", "step") for s in KINDS[k](third, dice)]
    dice.shuffle(sentences)
    espeak = [Voice("espeak-ng", name) for name in dict.fromkeys(MEASURING.espeak)]
    speakers = [(f"home: {name}", name, "") for name in AT_HOME]
    speakers += [(f"region: {name}", name, "") for name in REGIONS]
    speakers += [(f"learner: {name}", "en-us", name) for name in SWAPS]
    clips = []
    for group, language, accent in speakers:
        for number, sentence in enumerate(sentences):
            one = espeak[number % len(espeak)]
            if language == "en-us" and number % 3 == 0 and "piper" not in missing_programs():
                one = Voice("piper", "joe")
            voice = Voice(one.program, one.name, language, 150, 50, accent)
            noise_db = 10.0 if number % 2 else None
            clips.append(Clip("accent", group, sentence, voice, noise_db, 30_000 + number))
    return clips


def words(speech: Path, most: int, levels_db: Sequence[float | None] = (None,)) -> list[Clip]:
    """The six words of real people, nothing asked, every command and step possible."""
    return [
        clip
        for word, action in WORDS.items()
        for clip in _single(speech, "words", word, action, most, levels_db)
    ]


def words_in_noise(speech: Path, most: int, levels_db: Sequence[float | None]) -> list[Clip]:
    """The same at several noises, for the picture only."""
    return [
        replace(clip, row="word in noise", seed=60_000 + clip.seed)
        for clip in words(speech, most, levels_db)
    ]


def others(speech: Path, most: int) -> list[Clip]:
    """Other words and background noise of the same set, and 10 s of each test noise.

    With nothing asked for "others"; the same with a yes or no and with a pressure awaited are rows
    of their own: there "right" is a yes and "eight" a number, as they should be.
    """
    dice = random.Random(6)
    asked = {
        "others": mid_skill(),
        "others, yes or no asked": Moment.of(asked_yes_no(dice)),
        "others, number asked": Moment.of(awaited(Quantity.PRESSURE, dice)[0]),
    }
    return [
        replace(clip, row=row, sentence=Sentence(row, "", moment, ""))
        for row, moment in asked.items()
        for clip in _nothing_said(speech, most)
    ]


def _nothing_said(speech: Path, most: int) -> Iterator[Clip]:
    for kind in OTHERS:
        yield from _single(speech, "others", kind, "", most, (None,))
    for number, path in enumerate(sorted((speech / "noise" / "test").glob("*.flac"))[:most]):
        nothing = Sentence("others", "", mid_skill(), "")
        yield Clip("others", "noise", nothing, Recorded((path,)), None, number)


def _single(
    speech: Path, row: str, kind: str, action: str, most: int, levels_db: Sequence[float | None]
) -> list[Clip]:
    said = "" if kind in OTHERS else kind
    sentence = Sentence(row, said, mid_skill(), action)
    paths = sorted((speech / "words" / kind).glob("*.wav"))[:most]
    return [
        Clip(row, kind, sentence, Recorded((path,)), noise_db, number)
        for noise_db in levels_db
        for number, path in enumerate(paths)
    ]


def digits(speech: Path, count: int, levels_db: Sequence[float | None] = (None,)) -> list[Clip]:
    """Four digits of one speaker in a row, gaps of 60 to 200 ms, where a pressure was asked for.

    Any four for "digits": the words must be exact. Those a full cylinder may show for
    "digit readings": the value must be.
    """
    folder = speech / "digits"
    rng = np.random.default_rng(5)
    state, _, spec = awaited(Quantity.PRESSURE, random.Random(1))
    moment = Moment.of(state)
    clips = []
    for speaker in sorted({path.stem.split("_")[1] for path in folder.glob("*.wav")}):
        for number in range(2 * count):
            row = "digits" if number < count else "digit readings"
            value = int(rng.integers(0, 10_000) if row == "digits" else rng.integers(1000, 2216))
            said, takes = f"{value:04d}", rng.integers(10, size=4)
            gaps = tuple(float(gap) for gap in rng.uniform(*GAPS_S, 3))
            paths = tuple(
                folder / f"{d}_{speaker}_{t}.wav" for d, t in zip(said, takes, strict=True)
            )
            text = " ".join(ONES[int(digit)] for digit in said)
            action = f"digits {said}" if row == "digits" else f"{spec.quantity} {value} {Unit.PSI}"
            sentence = Sentence(row, text, moment, action)
            source = Recorded(paths, (*gaps, 0.0))
            for noise_db in levels_db:
                clips.append(Clip(row, speaker, sentence, source, noise_db, 40_000 + number))
    return clips


def never_trained_on() -> frozenset[str]:
    """Speakers of the digits whose other takes are not in training, either."""
    told = yaml.safe_load(DEVELOPMENT.read_text("utf-8"))["held_out_digits"]
    held_out = {name.removeprefix("fsdd-") for name in told}
    return frozenset(held_out & set(SPEAKERS))
