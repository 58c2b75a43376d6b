"""The coach's ear and voice, as an attempt and its debrief share them."""

from __future__ import annotations

from dataclasses import dataclass

from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.ports import Ear, Voice


@dataclass(frozen=True, slots=True)
class Senses:
    """The coach's ear and voice, and whether silence is skipped rather than waited for.

    `own_voice` is what is known of the learner's voice.
    """

    ear: Ear
    voice: Voice
    skips: bool
    own_voice: OwnVoice = UNKNOWN
