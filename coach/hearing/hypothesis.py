"""What a recogniser is told of the moment, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.meaning import Expectation


@dataclass(frozen=True, slots=True)
class Hint:
    """What is likely to be said now: the awaited answer, and phrases of the open steps.

    `plausible` is the range of an awaited number, both ends included. `words` are single words that
    are listened for in whatever sentence, beside those of the phrases.
    """

    expect: Expectation | None = None
    phrases: tuple[str, ...] = ()
    plausible: tuple[float, float] | None = None
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """What was heard: lower case, no punctuation, numbers in words; empty for silence or noise.

    `confidence` is 0 to 1. `second` is what else it may have been, to be taken where
    `text` means nothing. `lasted_s` is the length of the speech, `signal_to_noise_db` its level
    above what came before it. `level_dbfs` is the mean power of the speech (the noise under it
    included), `noise_dbfs` that of the quiet before it, both relative to a square wave of full
    scale as in `coach.hearing.check`. None where it was not measured: typed words, a test.
    `second_ear` is what a larger recogniser heard in the same sound, and how sure that is.
    """

    text: str
    confidence: float
    second: str | None = None
    lasted_s: float = 0.0
    signal_to_noise_db: float | None = None
    level_dbfs: float | None = None
    noise_dbfs: float | None = None
    others: tuple[tuple[str, float], ...] = ()
    second_ear: tuple[str, float] | None = None
