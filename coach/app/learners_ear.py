"""What the last hearing check tells a practice of the learner and the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.edges.hearing_record import last_check
from coach.hearing.hypothesis import Hypothesis
from coach.session.own_voice import ENOUGH_TURNS, UNKNOWN, OwnVoice, speech_dbfs


@dataclass(frozen=True, slots=True)
class LearnersEar:
    """How loud the learner and the room were with this microphone, in dBFS; None for unknown.

    The margins of the ten phrases are not used: of ten words one more or less refused may be
    chance, and the limits of the judgement come from thousands of turns.
    """

    level_dbfs: float | None = None
    noise_dbfs: float | None = None

    @property
    def own_voice(self) -> OwnVoice:
        """The learner's voice before the first turn; turns that count move it from then on."""
        known = Hypothesis("", 0.0, level_dbfs=self.level_dbfs, noise_dbfs=self.noise_dbfs)
        level = speech_dbfs(known)
        return UNKNOWN if level is None else OwnVoice((level,) * ENOUGH_TURNS)


def learners_ear(environ: Mapping[str, str], microphone: str) -> LearnersEar:
    """What is known with this microphone; nothing where the last check was with another."""
    record = last_check(environ)
    if record is None or record.microphone != microphone:
        return LearnersEar()
    return LearnersEar(record.level_dbfs, record.noise_dbfs)
