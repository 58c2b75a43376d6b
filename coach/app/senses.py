"""The coach's ear and voice, as an attempt and its debrief share them."""

from __future__ import annotations

from dataclasses import dataclass

from coach.session.loop import Observer
from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.ports import Ear, TextHeard, Voice

POLL_S = 0.25
"""How long the ear is listened to before it is looked whether the coach has finished speaking."""

LEAST_SURE = 0.35
"""Words heard less surely than this are no question, no answer and no objection where no skill is
being done; what a skill's steps and numbers need is in `coach/session/costs.py`."""


@dataclass(frozen=True, slots=True)
class Senses:
    """The coach's ear and voice, and whether silence is skipped rather than waited for.

    `own_voice` is what is known of the learner's voice.
    """

    ear: Ear
    voice: Voice
    skips: bool
    own_voice: OwnVoice = UNKNOWN

    def say(self, line: str, observer: Observer) -> None:
        """Show a line and speak it."""
        observer.said(line)
        self.voice.say(line)


def heard_enough(heard: TextHeard) -> bool:
    """Whether words were typed, or heard well enough to count."""
    sure = heard.typed or heard.hypothesis.confidence >= LEAST_SURE
    return sure and bool(heard.hypothesis.text.strip())
