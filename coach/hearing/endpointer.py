"""Cuts a stream of samples into utterances by the probability of speech; knows no clock."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ
from coach.hearing.background import Background, dbfs

NUMBER_HANGOVER_S = 0.9
"""Digits read one by one have gaps up to 0.7 s, and weak sounds before and after them are not heard
as speech: of rows of real digits in noise 0.8 s splits 1.3 %, 0.9 s 0.3 %."""

Block = NDArray[np.float32]
"""Mono samples in -1..1 at SAMPLE_RATE_HZ."""


@dataclass(frozen=True, slots=True)
class Limits:
    """When speech begins and ends.

    From the probability `speech` on a block is speech (in an open turn from `in_number` on where a
    number is awaited: one that is split is worse than one that is late); from `sure` on it is in an
    open turn even where it does not stand out of the noise. The lengths are seconds of sound:
    `hangover_s` of no speech closes a turn, `lead_s` is kept before its start (0.3 lost the first
    sound of 2.9 % of real words in noise, 0.5 of 0.5 %; but with 0.5 of quiet before them the
    recogniser gave less for words, and lost some), `shortest_s` of speech makes a turn,
    `longest_s` closes it in any case. After `din_s` without any quiet it is too loud, which is told
    once for each din and not again within `told_again_s`.
    """

    speech: float = 0.5
    in_number: float = 0.35
    sure: float = 0.8
    hangover_s: float = 0.5
    lead_s: float = 0.35
    shortest_s: float = 0.1
    longest_s: float = 8.0
    din_s: float = 16.0
    told_again_s: float = 120.0


@dataclass(frozen=True, slots=True)
class SpeechStart:
    """Somebody has spoken for long enough to be heard; the first sample of it."""

    at_sample: int


@dataclass(frozen=True, slots=True)
class Utterance:
    """One turn of speech.

    `samples` begin at `first_sample`, about `lead_s` before `began_at_sample` (where there is that
    much), and reach to the end of the hangover. `ended_at_sample` is the end of the last window of
    speech. `capped` says it was closed for its length, `in_din` that there has been no quiet for so
    long that it was told: a capped one is then hardly the learner. `level_dbfs` is the mean power
    of its windows of speech (the noise under them included), `noise_dbfs` that of the quiet before
    it, in decibels relative to a square wave of full scale, `signal_to_noise_db` their difference;
    None when nothing came before it.
    """

    samples: Block
    first_sample: int
    began_at_sample: int
    ended_at_sample: int
    capped: bool = False
    in_din: bool = False
    signal_to_noise_db: float | None = None
    level_dbfs: float | None = None
    noise_dbfs: float | None = None

    @property
    def lasted_s(self) -> float:
        """Seconds from the first to the last window of speech."""
        return (self.ended_at_sample - self.began_at_sample) / SAMPLE_RATE_HZ


@dataclass(frozen=True, slots=True)
class TooLoud:
    """There has been no quiet for so long that nobody could tell whose talk it is."""

    at_sample: int


Cut = SpeechStart | Utterance | TooLoud


@dataclass(slots=True)
class _Turn:
    """The turn of speech that is open."""

    began: int
    ended: int
    announced: bool = False
    speech_samples: int = 0
    speech_energy: float = 0.0
    noise_dbfs: float | None = None


class Endpointer:
    """Eats blocks with their probability of speech, gives what began and what ended.

    Blocks may have any length; the numbers of samples given in are the only time it knows. What it
    keeps is bounded, however long a turn goes on. `noise_dbfs` is what is known of the room.
    """

    def __init__(self, limits: Limits | None = None, noise_dbfs: float | None = None) -> None:
        self.limits = limits or Limits()
        self.at_sample = 0
        """Samples eaten since the beginning."""
        self.hangover_s = self.limits.hangover_s
        """Seconds of no speech that close a turn now."""
        self._least = self.limits.speech
        self._turn: _Turn | None = None
        self._kept: list[Block] = []
        self._kept_samples = 0
        self._background = Background(noise_dbfs)
        self._din_told = False
        self._told_at: int | None = None

    def expect_number(self, expected: bool) -> None:
        """Wait longer before a turn is closed while digits may be read one by one."""
        phrase = self.limits.hangover_s
        self.hangover_s = max(phrase, NUMBER_HANGOVER_S) if expected else phrase
        self._least = self.limits.in_number if expected else self.limits.speech

    def feed(self, block: Block, probability: float) -> tuple[Cut, ...]:
        """What this block of mono samples began or ended, in order."""
        at = self.at_sample
        self.at_sample += len(block)
        self._keep(block)
        power = float(np.mean(np.square(block))) if len(block) else 0.0
        self._background.hear(power, len(block), probability)
        told = self._tell_din()
        if self._turn is None:
            if not self._begins(probability, power):
                self._shorten_lead()
                return told
            self._turn = _Turn(began=at, ended=at)
        turn = self._turn
        cuts = told + self._speak(turn, len(block), probability, power)
        if self.at_sample - turn.ended >= _samples(self.hangover_s):
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

    def _begins(self, probability: float, power: float) -> bool:
        """In a steady noise the detector is trusted, in a din only what is louder."""
        out = not self._background.is_din or self._background.is_over(power)
        return probability >= self.limits.speech and out

    def _goes_on(self, probability: float, power: float) -> bool:
        """The detector's probability falls late in noise: what is no louder than it is its tail."""
        sure = probability >= self.limits.sure and not self._background.is_din
        return sure or (probability >= self._least and self._background.is_over(power))

    def _speak(
        self, turn: _Turn, samples: int, probability: float, power: float
    ) -> tuple[Cut, ...]:
        speaks = self._goes_on if turn.announced else self._begins
        if speaks(probability, power):
            turn.ended = self.at_sample
            turn.speech_samples += samples
            turn.speech_energy += power * samples
        if turn.announced or turn.speech_samples < _samples(self.limits.shortest_s):
            return ()
        turn.announced = True
        turn.noise_dbfs = self._background.level_dbfs
        return (SpeechStart(turn.began),)

    @property
    def _in_din(self) -> bool:
        return self._background.without_quiet >= _samples(self.limits.din_s)

    def _tell_din(self) -> tuple[Cut, ...]:
        if not self._in_din:
            self._din_told = False
            return ()
        again = _samples(self.limits.told_again_s)
        lately = self._told_at is not None and self.at_sample - self._told_at < again
        if self._din_told or lately:
            return ()
        self._din_told, self._told_at = True, self.at_sample
        return (TooLoud(self.at_sample),)

    def _close(self, turn: _Turn, capped: bool) -> tuple[Cut, ...]:
        level = dbfs(turn.speech_energy / turn.speech_samples) if turn.speech_samples else None
        noise = turn.noise_dbfs
        utterance = Utterance(
            samples=_joined(self._kept),
            first_sample=self.at_sample - self._kept_samples,
            began_at_sample=turn.began,
            ended_at_sample=turn.ended,
            capped=capped,
            in_din=self._in_din,
            signal_to_noise_db=None if level is None or noise is None else level - noise,
            level_dbfs=level,
            noise_dbfs=noise,
        )
        self._turn = None
        if capped:
            # The next turn goes on where this one was cut: nothing is heard twice.
            self._kept, self._kept_samples = [], 0
        self._shorten_lead()
        return (utterance,) if turn.announced else ()

    def _keep(self, block: Block) -> None:
        self._kept.append(np.asarray(block, dtype=np.float32))
        self._kept_samples += len(block)

    def _shorten_lead(self) -> None:
        lead = _samples(self.limits.lead_s)
        while self._kept and self._kept_samples - len(self._kept[0]) >= lead:
            self._kept_samples -= len(self._kept.pop(0))


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ)


def _joined(blocks: list[Block]) -> Block:
    return np.concatenate(blocks) if blocks else np.zeros(0, dtype=np.float32)
