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

from rapidfuzz import fuzz

from coach.core.errors import CoachError
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import SAMPLE_RATE_HZ, Recogniser, Samples

UNSURE = 0.5
"""A first hypothesis at least this sure is left alone."""

LEAST_WORDS = 4
LEAST_S = 2.0
"""Shortest sound asked about: 1.2 s of speech with the 0.3 s before and the 0.5 s after it. What is
looked into while the coach speaks is shorter (1.5 s, `coach/edges/listening.py`)."""

LEAST_LIKENESS = 0.5
"""Share of letters (the similarity of Indel, spaces left out) that both ears must have in common:
the larger ear writes fluent sentences for sounds that are none. On development sentences that it
heard well enough to count, 19 in 20 are over it (see models/README.md)."""

SURE = 0.9
"""How sure its words are where both ears have so much in common; see models/README.md for how many
steps credited so were right."""

SLOWEST_S = 2.0
MOST_SLOW = 3
"""A second ear that took longer than this so often in a row is left out: who speaks to the coach
meanwhile is heard late. On an idle machine it takes 0.2 s."""

Open = Callable[[], Recogniser]


class SecondPass:
    """A recogniser with a larger one behind it, which is loaded in the background when needed.

    Until it is loaded the first ear is alone. With `waits` it is loaded at once when it is needed:
    for recordings and scripts, which lose nothing by it.
    """

    def __init__(self, first: Recogniser, open_second: Open, waits: bool = False) -> None:
        self.name = first.name
        self._first = first
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
        if len(samples) < LEAST_S * SAMPLE_RATE_HZ or not needed(heard):
            return heard
        second = self._larger()
        other = "" if second is None else self._heard_by(second, samples, hint)
        if not alike(heard.text, other):
            return heard
        return replace(heard, second_ear=(other, SURE))

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


def needed(heard: Hypothesis) -> bool:
    """Whether a hypothesis is a sentence that the first ear is unsure of."""
    return heard.confidence < UNSURE and len(heard.text.split()) >= LEAST_WORDS


def alike(one: str, other: str) -> bool:
    """Whether two ears may well have heard the same sentence."""
    share = fuzz.ratio(one.replace(" ", ""), other.replace(" ", "")) / 100.0
    return bool(other) and share >= LEAST_LIKENESS
