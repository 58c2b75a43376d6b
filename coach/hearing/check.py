"""How well a learner is heard with this microphone, in numbers, and what to change. Pure.

Levels are in dBFS: decibels relative to a square wave of full scale, so that a sine of full scale
has -3.01 (as dBov in ITU-T G.100.1).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Block = NDArray[np.float32]
"""Mono samples in -1..1."""

WINDOW = 512
"""Samples whose power is looked at together: 32 ms at 16 kHz."""

GAP_DB = 25.0
"""Windows this much below the loudest one of an utterance are gaps between words and do not count
in its level (common practice, no source)."""

SILENCE_DBFS = -100.0
"""Less than a 16-bit converter's own rounding makes (20 log10 of 1/32768 over the root of 12 is
-101): the stream holds nothing."""

CLIPPED_AT = 0.99
CLIPPED_RUN = 3
"""So many samples in a row at full scale are a top cut off; one or two may be a chance."""


@dataclass(frozen=True, slots=True)
class Levels:
    """What reached the microphone.

    `level_dbfs` is the mean power of the speech without its gaps, `noise_dbfs` the median power of
    what was heard between, `signal_to_noise_db` the speech (with the noise taken off it) over the
    noise; None where there was none to measure. `clipped_share` is the share (0 to 1) of the
    speech's samples that lie in tops cut off at full scale.
    """

    level_dbfs: float | None
    noise_dbfs: float | None
    signal_to_noise_db: float | None
    clipped_share: float


@dataclass(frozen=True, slots=True)
class Phrase:
    """One thing the learner was asked to say, and what came of it.

    `heard` is None when nothing came. `margin` is how much surer the recogniser was than it must be
    for these words to act (both are 0 to 1), negative when it was too unsure.
    """

    say: str
    heard: str | None = None
    understood: bool = False
    is_number: bool = False
    confidence: float = 0.0
    margin: float = 0.0
    level_dbfs: float | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """A whole hearing check."""

    phrases: tuple[Phrase, ...]
    levels: Levels

    @property
    def understood(self) -> int:
        """How many of the phrases were understood."""
        return sum(phrase.understood for phrase in self.phrases)


@dataclass(frozen=True, slots=True)
class Advice:
    """What to change, and the number and the limit it was judged by."""

    change: str
    because: str


def measure(speech: Sequence[Block], quiet: Sequence[Block]) -> Levels:
    """The levels of utterances (`speech`, each cut to its words) and of the sound between them."""
    noise = _power_between(quiet)
    loud = [power for utterance in speech for power in _of_words(utterance)]
    level = float(np.mean(loud)) if loud else None
    ratio = None
    if level is not None and noise is not None:
        least = _power_of(SILENCE_DBFS)
        ratio = _decibels(max(level - noise, least)) - _decibels(max(noise, least))
    samples = sum(len(utterance) for utterance in speech)
    clipped = sum(clipped_samples(utterance) for utterance in speech)
    return Levels(
        level_dbfs=None if level is None else _decibels(level),
        noise_dbfs=None if noise is None else _decibels(noise),
        signal_to_noise_db=ratio,
        clipped_share=clipped / samples if samples else 0.0,
    )


def paired(fits: Sequence[Sequence[bool]]) -> tuple[int | None, ...]:
    """For each phrase the utterance that is taken for it, None where none is left for it.

    `fits[phrase][utterance]` says whether it was understood as that phrase. Order is kept, as many
    as possible fit, and what fits nowhere goes to the phrases that are left in its place.
    """
    matrix = np.array(fits, dtype=bool).reshape(len(fits), -1)
    phrases, utterances = matrix.shape
    best = np.zeros((phrases + 1, utterances + 1), dtype=int)
    for p in reversed(range(phrases)):
        for u in reversed(range(utterances)):
            both = best[p + 1, u + 1] + matrix[p, u]
            best[p, u] = max(both, best[p + 1, u], best[p, u + 1])
    pairs: list[int | None] = []
    u = 0
    for p in range(phrases):
        # What is passed over here was no phrase: more of the later ones fit without it.
        while u < utterances and best[p, u + 1] == best[p, u] and not _goes(best, matrix, p, u):
            u += 1
        if u < utterances and _goes(best, matrix, p, u):
            pairs.append(u)
            u += 1
        else:
            pairs.append(None)
    return tuple(pairs)


def _goes(best: NDArray[np.int_], matrix: NDArray[np.bool_], phrase: int, utterance: int) -> bool:
    """Whether taking this utterance for this phrase loses no fit later on."""
    after = best[phrase + 1, utterance + 1] + matrix[phrase, utterance]
    return bool(after == best[phrase, utterance])


def clipped_samples(samples: Block) -> int:
    """How many samples lie in tops cut off at full scale."""
    full = np.concatenate([[False], np.abs(samples) >= CLIPPED_AT, [False]])
    edges = np.flatnonzero(full[1:] != full[:-1])
    lengths = edges[1::2] - edges[::2]
    return int(lengths[lengths >= CLIPPED_RUN].sum())


def _of_words(utterance: Block) -> NDArray[np.float64]:
    """The power of each window of an utterance that is no gap."""
    powers = _powers(utterance)
    return powers[powers >= powers.max() * 10 ** (-GAP_DB / 10)] if len(powers) else powers


def _power_between(quiet: Iterable[Block]) -> float | None:
    """The median: a door that slams in between is not the noise of the room."""
    powers = [power for block in quiet for power in _powers(block)]
    return float(np.median(powers)) if powers else None


def _powers(samples: Block) -> NDArray[np.float64]:
    windows = len(samples) // WINDOW
    whole = samples[: windows * WINDOW].astype(np.float64).reshape(windows, WINDOW)
    return np.asarray(np.mean(np.square(whole), axis=1), dtype=np.float64)


def _decibels(power: float) -> float:
    return 10.0 * math.log10(max(power, _power_of(SILENCE_DBFS - 20.0)))


def _power_of(decibels: float) -> float:
    return float(10.0 ** (decibels / 10.0))


# Every limit was measured with this program's own detector of speech and recogniser on 63
# development utterances (yes, no and stop of 42 people, the other phrases synthetic), at a level of
# -26 dBFS (the nominal one of ITU-T P.800) where nothing else is said.

MOST_CLIPPED = 0.01
"""Understood: all at 0.2 % of samples cut off, 98 % at 1.4 %, 97 % at 5 %, 87 % at 30 dB too much
gain, 59 % at 40 dB."""

FAINT_DBFS = -42.0
"""Understood: all at -40 dBFS, 94 % at -50, 78 % at -55, 44 % at -60: turns begin to be missed."""

LEAST_RATIO_DB = 10.0
"""Understood in the noise of streets, rooms and engines: all at 20 dB, 98 % at 15 and 10, 97 % at
5. Voices that the recogniser was not trained on fare worse, hence not 5."""

TALK_RATIO_DB = 25.0
"""Understood among four talkers: 92 % at 25 dB, 73 % at 20, 48 % at 15; beside one who never
pauses, 5 % at 15: their talk is taken for the learner's."""

LOUD_ROOM_DBFS = -45.0
"""Where speech of about -26 dBFS is less than 20 dB over it, the room is at fault, else the
distance (common practice, no source)."""

THIN_SHARE = 0.2
"""A margin under this share of the most that there can be is soon lost (common practice, no
source)."""


def advice(check: Check) -> tuple[Advice, ...]:
    """What to change, weightiest first; nothing where all is well."""
    if not any(phrase.level_dbfs is not None for phrase in check.phrases):
        return (_unheard(check.levels),)
    found = (*_of_levels(check.levels), *_of_ratio(check.levels))
    return (*found, *_of_phrases(check, well_heard=not found))


def _unheard(levels: Levels) -> Advice:
    if levels.noise_dbfs is None or levels.noise_dbfs <= SILENCE_DBFS:
        return Advice(
            "Switch the microphone on and see that it is not muted, or choose another one.",
            "It gives nothing, not even the noise that every microphone has.",
        )
    return Advice(
        "Come closer and speak up, or choose another microphone.",
        f"No speech was found in its sound, only noise of {levels.noise_dbfs:.0f} dBFS.",
    )


def _of_levels(levels: Levels) -> Iterator[Advice]:
    if levels.clipped_share > MOST_CLIPPED:
        yield Advice(
            "Turn the microphone's gain down, or hold it a hand farther away.",
            f"{levels.clipped_share:.1%} of your speech is cut off at full scale; over "
            f"{MOST_CLIPPED:.0%} words begin to be lost.",
        )
    if levels.level_dbfs is not None and levels.level_dbfs < FAINT_DBFS:
        yield Advice(
            "Turn the microphone's gain up, or come closer: half the distance gives 6 dB.",
            f"Your speech has {levels.level_dbfs:.0f} dBFS; under {FAINT_DBFS:.0f} whole words "
            "begin to be missed.",
        )


def _of_ratio(levels: Levels) -> Iterator[Advice]:
    ratio, noise = levels.signal_to_noise_db, levels.noise_dbfs
    if ratio is None or noise is None or ratio >= TALK_RATIO_DB:
        return
    if ratio >= LEAST_RATIO_DB:
        yield Advice(
            "Where others talk near you, wear a headset or come closer; else leave it as it is.",
            f"Your speech is {ratio:.0f} dB over the room: enough over a steady noise, but over "
            f"other people's talk it takes {TALK_RATIO_DB:.0f} dB.",
        )
    elif noise >= LOUD_ROOM_DBFS:
        yield Advice(
            "Go to a quieter place, or wear a headset.",
            f"The room has {noise:.0f} dBFS and your speech is only {ratio:.0f} dB over it; it "
            f"takes {LEAST_RATIO_DB:.0f} dB.",
        )
    else:
        yield Advice(
            "Come closer to the microphone: half the distance gives 6 dB.",
            f"Your speech is only {ratio:.0f} dB over a quiet room; it takes "
            f"{LEAST_RATIO_DB:.0f} dB.",
        )


def _of_phrases(check: Check, well_heard: bool) -> Iterator[Advice]:
    missed = [phrase for phrase in check.phrases if not phrase.understood]
    numbers = [phrase.say for phrase in missed if phrase.is_number]
    if numbers:
        yield Advice(
            'Say numbers digit by digit, such as "one five".',
            f"{_listed(numbers)} {_was(numbers)} not understood, and single digits are the surest.",
        )
    words = [phrase.say for phrase in missed if not phrase.is_number]
    if words and well_heard:
        yield Advice(
            "Try another microphone or a headset, or another recogniser (coach models).",
            f"{_listed(words)} {_was(words)} not understood although the levels are good.",
        )
    thin = [p.say for p in check.phrases if p.understood and _is_thin(p)]
    if thin:
        yield Advice(
            "Say these a little slower and whole, or use the keys for them.",
            f"{_listed(thin)} {_was(thin)} understood, but hardly surely enough.",
        )


def _is_thin(phrase: Phrase) -> bool:
    needed = phrase.confidence - phrase.margin
    return phrase.margin < THIN_SHARE * (1.0 - needed)


def _listed(words: Sequence[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)


def _was(words: Sequence[str]) -> str:
    return "was" if len(words) == 1 else "were"
