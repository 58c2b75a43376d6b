"""A pace without a skill: beats until they are over or a word ends them."""

from __future__ import annotations

from enum import StrEnum

from coach.core.meaning import Command
from coach.core.units import Quantity
from coach.dialogue.lines import CALL_FOR_HELP
from coach.dialogue.moment import fixed_phrases
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.costs import LIMITS
from coach.session.ports import Clock, Ear, EarClosed, KeyHit, SilencePassed, TextHeard, Voice
from coach.trade.pacing import Beat

POLL_SECONDS = 0.05

COUNTING = Context(expect=Quantity.COUNT)
"""The moment of a pace: the learner may count aloud."""

ENDING = frozenset({Command.STOP, Command.PAUSE, Command.QUIET})


class PaceEnd(StrEnum):
    """How a pace ended."""

    OVER = "over"
    STOPPED = "stopped"
    REAL = "real"


def ends_pace(heard: Hypothesis, typed: bool = False) -> Command | None:
    """The word that ends a pace, if it is one; numbers and other talk are none.

    A stop has to be as sure as any command, for much is said while somebody counts.
    """
    command = understand(heard.text, COUNTING).command
    least = LIMITS.quiet if command is Command.QUIET else LIMITS.command
    return command if command in ENDING and (typed or heard.confidence >= least) else None


def run_pace(
    beats: tuple[Beat, ...], seconds: float, ear: Ear, voice: Voice, clock: Clock, words: bool
) -> PaceEnd:
    """Sound the beats until they are over, a word or a key ends them, or nothing more can come.

    "This is real" ends all sound for good, but for the reminder to call for help.
    """
    ear.listen(Hint(Quantity.COUNT, fixed_phrases()))
    voice.pace(beats, words)
    ends_s = clock.now_s() + seconds
    while clock.now_s() < ends_s or voice.busy():
        match ear.next(POLL_SECONDS):
            case TextHeard(hypothesis=heard, typed=typed) if command := ends_pace(heard, typed):
                voice.cut_off()
                if command is Command.QUIET:
                    voice.say(CALL_FOR_HELP)
                    return PaceEnd.REAL
                return PaceEnd.STOPPED
            case KeyHit():
                voice.cut_off()
                return PaceEnd.STOPPED
            case SilencePassed(seconds=passed):
                ends_s -= passed
            case EarClosed():
                return PaceEnd.OVER
            case _:
                pass
    return PaceEnd.OVER
