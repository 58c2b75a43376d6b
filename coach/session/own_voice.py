"""How loud the learner is by his own turns, and how much others talk around him. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import median

from coach.hearing.hypothesis import Hypothesis

REMEMBERED_TURNS = 7
"""The middle one of so many levels is the learner's: one shout or whisper does not move it."""

FIRST_TURN_DB = 4.0
"""How much less loud than his only turn so far the learner may be (his turns differ by as much;
common practice, no source). Before one has counted, nobody is taken for a neighbour."""

REMEMBERED_PASSED = 4
"""Who tells a number or a step again within so many turns let pass is the learner, turned away from
the microphone or badly heard. Nothing else brings a faint voice in: a neighbour who goes on talking
must not."""

TOLD_BEFORE, TOLD_BEFORE_AMONG_TALK = 1, 2
"""How often it must have been told: where others practise, a coach and a learner tell each step."""

TURNS_OF_ALL, TALK_TURNS = 8, 4
"""There is talk around when of so many turns at least so many were not acted on (chosen on an hour
of talk other than the benchmark's, where 2 to 5 of 8 do alike)."""

ENOUGH_TURNS = 3
"""Of fewer turns the faintest one is the learner's level, of so many the middle one."""

LEAST_SHARE = 0.1
"""Least part of a turn's power that is taken for speech where the noise is as loud."""


@dataclass(frozen=True, slots=True)
class OwnVoice:
    """Levels (dBFS, without the noise) of the learner's last turns that counted, oldest first.

    `let_pass` are the last turns since then that were taken for a neighbour's or told a step too
    unsurely: what each told, "" for nothing that can be told again. `unheeded` tells of the last
    turns of anybody whether they were let pass or asked about.
    """

    levels_dbfs: tuple[float, ...] = ()
    let_pass: tuple[str, ...] = ()
    unheeded: tuple[bool, ...] = ()

    @property
    def among_talk(self) -> bool:
        """Whether others talk around the learner."""
        return sum(self.unheeded) >= TALK_TURNS

    def behind_db(self, heard: Hypothesis) -> float | None:
        """How many decibels fainter a turn is than the learner; None while that is not known."""
        level = speech_dbfs(heard)
        if level is None or not self.levels_dbfs:
            return None
        if len(self.levels_dbfs) == 1:
            return self.levels_dbfs[0] - FIRST_TURN_DB - level
        few = len(self.levels_dbfs) < ENOUGH_TURNS
        return (min(self.levels_dbfs) if few else median(self.levels_dbfs)) - level

    def told_already(self, told: str) -> bool:
        """Whether the last turns let pass told the same, often enough to be the learner's."""
        often = TOLD_BEFORE_AMONG_TALK if self.among_talk else TOLD_BEFORE
        return bool(told) and self.let_pass.count(told) >= often

    def after_any(self, unheeded: bool) -> OwnVoice:
        """After any turn with words in it."""
        return replace(self, unheeded=(*self.unheeded, unheeded)[-TURNS_OF_ALL:])

    def counted(self, heard: Hypothesis) -> OwnVoice:
        """After a turn that counted."""
        level = speech_dbfs(heard)
        if level is None:
            return self
        return replace(
            self, levels_dbfs=(*self.levels_dbfs, level)[-REMEMBERED_TURNS:], let_pass=()
        )

    def passed_over(self, told: str = "") -> OwnVoice:
        """After a turn that was let pass."""
        return replace(self, let_pass=(*self.let_pass, told)[-REMEMBERED_PASSED:])


UNKNOWN = OwnVoice()
"""Before anything was heard."""


def speech_dbfs(heard: Hypothesis) -> float | None:
    """The level of the speech without the noise under it; None where it was not measured."""
    if heard.level_dbfs is None:
        return None
    power = 10 ** (heard.level_dbfs / 10)
    noise = 0.0 if heard.noise_dbfs is None else 10 ** (heard.noise_dbfs / 10)
    return 10 * math.log10(max(power - noise, power * LEAST_SHARE, 1e-12))
