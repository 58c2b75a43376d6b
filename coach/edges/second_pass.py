"""A second, larger ear behind the first one, asked only for sentences the first is unsure of.

The first ear hears commands and numbers and is never waited with. Of the sentences that it only
half understood the second ear's words are added to the hypothesis; what they may count for is
decided in `coach/session/both_ears.py`.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from rapidfuzz import fuzz

from coach.core.errors import CoachError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import spelling
from coach.session.ports import Recogniser

UNSURE = 0.5
"""A first hypothesis at least this sure, of known words alone, is left alone."""

LEAST_WORDS = 4
LEAST_S = 2.0
"""Shortest sound asked about: 1.2 s of speech with the 0.3 s before and the 0.5 s after it. What is
looked into while the coach speaks is shorter (1.5 s, `coach/edges/listening.py`)."""

LEAST_LIKENESS = 0.6
"""Share of letters (the similarity of Indel, spaces left out) that the larger ear's words must have
in common with how the first ear spelt the sound: the larger ear writes fluent sentences for sounds
that are none. All 102 steps that it gave rightly to development sentences are over it, 8 fewer over
0.7."""

SURE = 0.9
"""How sure its words are where both ears have so much in common: of the steps credited so 102 of
103 were right on development sentences, 110 of 117 on those for measuring (the rest were denials
misheard, or about nothing)."""

SLOWEST_S = 2.0
MOST_SLOW = 3
"""A second ear that took longer than this so often in a row is left out: who speaks to the coach
meanwhile is heard late. On an idle machine it takes 0.2 s."""

Open = Callable[[], Recogniser]


class FirstEar(Recogniser, Protocol):
    """A recogniser that can also tell how a sound is spelt, whatever that may mean."""

    def spelt(self, samples: Samples) -> str:
        """Letters and spaces as they sounded; empty for silence."""


class SecondPass:
    """A recogniser with a larger one behind it, which is loaded in the background when needed.

    Until it is loaded the first ear is alone. With `waits` it is loaded at once when it is needed:
    for recordings and scripts, which lose nothing by it. `known` are the words of the first ear: a
    sentence with another word in it was only half understood, however sure.
    """

    def __init__(
        self, first: FirstEar, known: frozenset[str], open_second: Open, waits: bool = False
    ) -> None:
        self.name = first.name
        self._first = first
        self._known = known
        self._open = open_second
        self._waits = waits
        self._loading: threading.Thread | None = None
        self._second: Recogniser | None = None
        self._slow = 0
        self.trouble: str | None = None
        """Why there is no second ear though it was needed; None where all is well."""

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The first ear's words, with the second ear's beside them where they were needed."""
        heard = self._first.hear(samples, hint)
        if len(samples) < LEAST_S * SAMPLE_RATE_HZ or not self._half_understood(heard, hint):
            return heard
        spelt = self._first.spelt(samples)
        second = self._larger() if len(spelt.split()) >= LEAST_WORDS else None
        other = "" if second is None else self._heard_by(second, samples, hint)
        if not alike(spelt, other):
            return heard
        return replace(heard, second_ear=(other, SURE))

    def _half_understood(self, heard: Hypothesis, hint: Hint) -> bool:
        """Whether it may be a sentence that the first ear refused, doubts or lacks words for."""
        words = heard.text.split()
        if 0 < len(words) < LEAST_WORDS:
            return False
        if heard.confidence < UNSURE:
            return True
        awaited = {word for said in (*hint.phrases, *hint.words) for word in spelling(said).split()}
        return not (self._known | awaited).issuperset(words)

    def _heard_by(self, second: Recogniser, samples: Samples, hint: Hint) -> str:
        """What the larger ear hears; it is given up when it fails or is too slow for talk."""
        begin_s = time.monotonic()
        try:
            text = second.hear(samples, hint).text
        except Exception as why:  # of a foreign library; the first ear goes on alone
            self._second = None
            self.trouble = f"The second ear failed and was left out from then on ({why})."
            return ""
        self._slow = self._slow + 1 if time.monotonic() - begin_s > SLOWEST_S else 0
        if self._slow >= MOST_SLOW and not self._waits:
            self._second = None
            self.trouble = (
                "The second ear was too slow on this machine and was left out from then on: close "
                "other programs, or switch it off with the setting second-ear."
            )
        return text

    def _larger(self) -> Recogniser | None:
        if self._loading is None:
            self._loading = threading.Thread(target=self._load, name="second ear", daemon=True)
            self._loading.start()
            if self._waits:
                self._loading.join()
        return self._second

    def _load(self) -> None:
        try:
            self._second = self._open()
        except CoachError as why:
            self.trouble = str(why)
        except Exception as why:  # a thread that dies unseen would tell nobody
            self.trouble = f"The second ear could not be loaded ({why})."


def alike(one: str, other: str) -> bool:
    """Whether two ears may well have heard the same sentence."""
    share = fuzz.ratio(one.replace(" ", ""), other.replace(" ", "")) / 100.0
    return bool(other) and share >= LEAST_LIKENESS
