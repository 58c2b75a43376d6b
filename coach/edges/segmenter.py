"""From sample blocks to turns of speech and their words, whatever the blocks come from."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

import numpy as np

from coach.core.sound import Samples
from coach.core.units import Quantity
from coach.edges.voice_activity import WINDOW_SAMPLES
from coach.hearing.echo import interruption
from coach.hearing.endpointer import Cut, Endpointer, Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.signal import cleaned
from coach.session.ports import Recogniser

TOO_LOUD = (
    "It's too loud for me here: use the pedal or the keys, or bring the microphone closer. "
    "I go on listening, so talk to me again when it is quieter."
)


class Activity(Protocol):
    """Tells speech from other sound, as coach.edges.voice_activity.VoiceActivity."""

    def probability(self, window: Samples) -> float:
        """The probability of speech in the next WINDOW_SAMPLES samples."""

    def reset(self) -> None:
        """Forget what came before."""


class Segmenter:
    """Blocks of any length in, what began and ended out."""

    def __init__(self, activity: Activity, noise_dbfs: float | None = None) -> None:
        """Begin; `noise_dbfs` is what is known of the room."""
        self._activity = activity
        self._rest: Samples = np.zeros(0, dtype=np.float32)
        self.endpointer = Endpointer(noise_dbfs=noise_dbfs)

    def feed(self, block: Samples) -> list[Cut]:
        """What the block began or ended, in order."""
        self._rest = np.concatenate([self._rest, cleaned(block)])
        cuts: list[Cut] = []
        while len(self._rest) >= WINDOW_SAMPLES:
            window, self._rest = self._rest[:WINDOW_SAMPLES], self._rest[WINDOW_SAMPLES:]
            cuts += self.endpointer.feed(window, self._activity.probability(window))
        return cuts

    def expect(self, hint: Hint) -> None:
        """Allow the longer gaps of digits read one by one where a number is expected."""
        self.endpointer.expect_number(isinstance(hint.expect, Quantity))

    def restart(self) -> None:
        """Drop an open turn: the stream was interrupted."""
        self.endpointer.finish()
        self._activity.reset()
        self._rest = self._rest[:0]


def recognise(
    recogniser: Recogniser, utterance: Utterance, hint: Hint, begin: int = 0
) -> Hypothesis:
    """The words of an utterance from sample `begin` on, with its length and level filled in.

    Of talk that never ends where there has been no quiet for long, only a call like "stop" is
    taken: the rest is other people's.
    """
    heard = recogniser.hear(utterance.samples[begin:], hint)
    if utterance.capped and utterance.in_din:
        heard = Hypothesis(interruption(heard.text, ""), heard.confidence)
    return replace(
        heard,
        lasted_s=heard.lasted_s or utterance.lasted_s,
        signal_to_noise_db=utterance.signal_to_noise_db,
        level_dbfs=utterance.level_dbfs,
        noise_dbfs=utterance.noise_dbfs,
    )
