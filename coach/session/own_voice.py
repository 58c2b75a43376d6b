"""How loud the learner is by his own turns, and how much others talk around him. Pure."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import median

from coach.hearing.hypothesis import Hypothesis

REMEMBERED_TURNS = 7
"""The middle one of so many levels is the learner's: one shout or whisper does not move it."""

LEAST_TURNS = 2
"""Before so many turns have counted, nobody is taken for a neighbour; of just so many the fainter
one is the learner's level."""

REMEMBERED_PASSED = 4
"""Who tells a number or a step again within so many turns let pass is the learner, turned away from
the microphone. Nothing else brings a faint voice in: a neighbour who goes on talking must not."""

TOLD_BEFORE, TOLD_BEFORE_AMONG_TALK = 1, 2
"""How often it must have been told: where others practise, a coach and a learner tell each step."""

TURNS_OF_ALL, TALK_TURNS = 8, 4
"""There is talk around when of so many turns at least so many were not acted on (chosen on an hour
of talk other than the benchmark's, where 2 to 5 of 8 do alike)."""

LEAST_SHARE = 0.1
"""Least part of a turn's power that is taken for speech where the noise is as loud."""


@dataclass(frozen=True, slots=True)
class OwnVoice:
    """Levels (dBFS, without the noise) of the learner's last turns that counted, oldest first.

    `let_pass` are the last turns since then that were taken for a neighbour's: what each told, ""
    for nothing that can be told again. `unheeded` tells of the last turns of anybody whether they
    were let pass or asked about.
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
        if level is None or len(self.levels_dbfs) < LEAST_TURNS:
            return None
        own = min(self.levels_dbfs) if len(self.levels_dbfs) < 3 else median(self.levels_dbfs)
        return own - level

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
        """After a turn that was taken for a neighbour's."""
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
