"""An ear in front of another one: what comes through it is what the session hears."""

from __future__ import annotations

from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import Ear, EarEvent, TextHeard

NOTHING = TextHeard(Hypothesis("", 0.0))
"""What the session hears of words that were not for it."""


class PassingEar:
    """An Ear that lets everything through; ears made of it keep back or add what they must."""

    def __init__(self, ear: Ear) -> None:
        self._ear = ear

    def listen(self, hint: Hint) -> None:
        """Pass the hint on."""
        self._ear.listen(hint)

    def next(self, timeout_s: float) -> EarEvent | None:
        """Whatever comes next."""
        return self._ear.next(timeout_s)

    def close(self) -> None:
        """Close the ear behind."""
        self._ear.close()
