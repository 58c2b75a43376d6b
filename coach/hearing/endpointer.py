"""Cuts a stream of samples into utterances by the probability of speech; knows no clock."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE_HZ = 16_000
NUMBER_HANGOVER_S = 0.8
"""Digits read one by one have longer gaps than phrases (measured on spoken digits)."""

Block = NDArray[np.float32]
"""Mono samples in -1..1 at SAMPLE_RATE_HZ."""


@dataclass(frozen=True, slots=True)
class Limits:
    """When speech begins and ends.

    `on` and `off` are probabilities, with the gap between them that keeps a turn from flickering.
    The lengths are seconds of sound: `hangover_s` of no speech closes a turn, `lead_s` is kept
    before its start, `shortest_s` of speech makes a turn, `longest_s` closes it in any case.
    """

    on: float = 0.5
    off: float = 0.35
    hangover_s: float = 0.5
    lead_s: float = 0.3
    shortest_s: float = 0.1
    longest_s: float = 8.0
    capped_turns: int = 2


@dataclass(frozen=True, slots=True)
class SpeechStart:
    """Somebody has spoken for long enough to be heard; the first sample of it."""

    at_sample: int


@dataclass(frozen=True, slots=True)
class Utterance:
    """One turn of speech.

    `samples` begin at `first_sample`, about `lead_s` before `began_at_sample` (where there is that
    much), and reach to the end of the hangover. `ended_at_sample` is the end of the last window of
    speech. `capped` says it was closed for its length. `signal_to_noise_db` compares its power to
    that of the quiet before it; None when nothing came before it. `level_dbfs` is the mean power of
    its windows of speech (the noise under them included), `noise_dbfs` that of the quiet before it;
    decibels relative to a square wave of full scale.
    """

    samples: Block
    first_sample: int
    began_at_sample: int
    ended_at_sample: int
    capped: bool = False
    signal_to_noise_db: float | None = None
    level_dbfs: float | None = None
    noise_dbfs: float | None = None

    @property
    def lasted_s(self) -> float:
        """Seconds from the first to the last window of speech."""
        return (self.ended_at_sample - self.began_at_sample) / SAMPLE_RATE_HZ


@dataclass(frozen=True, slots=True)
class TooLoud:
    """Turn after turn had to be cut for its length: it is too loud to hear where speech ends."""

    at_sample: int


Cut = SpeechStart | Utterance | TooLoud

QUIET_WEIGHT = 0.05
"""Share of each window in the running power of the quiet: about the last 0.6 s of it count."""
LEAST_POWER = 1e-10
"""Floor of the power, so that digital silence has a logarithm."""


@dataclass(slots=True)
class _Turn:
    """The turn of speech that is open."""

    began: int
    ended: int
    announced: bool = False
    speech_samples: int = 0
    speech_energy: float = 0.0


class Endpointer:
    """Eats blocks with their probability of speech, gives what began and what ended.

    Blocks may have any length; the numbers of samples given in are the only time it knows.
    """

    def __init__(self, limits: Limits | None = None) -> None:
        self.limits = limits or Limits()
        self.at_sample = 0
        """Samples eaten since the beginning."""
        self._hangover_s = self.limits.hangover_s
        self._turn: _Turn | None = None
        self._kept: list[Block] = []
        self._kept_samples = 0
        self._quiet_power: float | None = None
        self._capped_in_a_row = 0

    def expect_number(self, expected: bool) -> None:
        """Wait longer before a turn is closed while digits may be read one by one."""
        phrase = self.limits.hangover_s
        self._hangover_s = max(phrase, NUMBER_HANGOVER_S) if expected else phrase

    def feed(self, block: Block, probability: float) -> tuple[Cut, ...]:
        """What this block of mono samples began or ended, in order."""
        at = self.at_sample
        self.at_sample += len(block)
        self._keep(block)
        power = float(np.mean(np.square(block))) if len(block) else 0.0
        if self._turn is None:
            if probability < self.limits.on:
                self._hear_quiet(power)
                self._shorten_lead()
                return ()
            self._turn = _Turn(began=at, ended=at)
        turn = self._turn
        cuts = self._speak(turn, len(block), probability, power)
        if self.at_sample - turn.ended >= _samples(self._hangover_s):
            return cuts + self._close(turn, capped=False)
        if self.at_sample - turn.began >= _samples(self.limits.longest_s):
            return cuts + self._close(turn, capped=True)
        return cuts

    def finish(self) -> tuple[Cut, ...]:
        """Close an open turn: no more samples will come."""
        return () if self._turn is None else self._close(self._turn, capped=False)

    def recent(self, seconds: float) -> Block:
        """The last samples eaten, as far as they are kept, at most this many seconds of them."""
        return _joined(self._kept)[-_samples(seconds) :]

    def _speak(
        self, turn: _Turn, samples: int, probability: float, power: float
    ) -> tuple[Cut, ...]:
        if probability >= (self.limits.off if turn.announced else self.limits.on):
            turn.ended = self.at_sample
            turn.speech_samples += samples
            turn.speech_energy += power * samples
        if turn.announced or turn.speech_samples < _samples(self.limits.shortest_s):
            return ()
        turn.announced = True
        return (SpeechStart(turn.began),)

    def _close(self, turn: _Turn, capped: bool) -> tuple[Cut, ...]:
        level = _dbfs(turn.speech_energy / turn.speech_samples) if turn.speech_samples else None
        noise = None if self._quiet_power is None else _dbfs(self._quiet_power)
        utterance = Utterance(
            samples=_joined(self._kept),
            first_sample=self.at_sample - self._kept_samples,
            began_at_sample=turn.began,
            ended_at_sample=turn.ended,
            capped=capped,
            signal_to_noise_db=None if level is None or noise is None else level - noise,
            level_dbfs=level,
            noise_dbfs=noise,
        )
        self._turn = None
        if capped:
            # The next turn goes on where this one was cut: nothing is heard twice.
            self._kept, self._kept_samples = [], 0
        self._shorten_lead()
        if not turn.announced:
            return ()
        self._capped_in_a_row = self._capped_in_a_row + 1 if capped else 0
        if self._capped_in_a_row == self.limits.capped_turns:
            return (utterance, TooLoud(self.at_sample))
        return (utterance,)

    def _keep(self, block: Block) -> None:
        self._kept.append(np.asarray(block, dtype=np.float32))
        self._kept_samples += len(block)

    def _shorten_lead(self) -> None:
        lead = _samples(self.limits.lead_s)
        while self._kept and self._kept_samples - len(self._kept[0]) >= lead:
            self._kept_samples -= len(self._kept.pop(0))

    def _hear_quiet(self, power: float) -> None:
        if self._quiet_power is None:
            self._quiet_power = power
        else:
            self._quiet_power += QUIET_WEIGHT * (power - self._quiet_power)


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ)


def _dbfs(power: float) -> float:
    return 10.0 * math.log10(max(power, LEAST_POWER))


def _joined(blocks: list[Block]) -> Block:
    return np.concatenate(blocks) if blocks else np.zeros(0, dtype=np.float32)
