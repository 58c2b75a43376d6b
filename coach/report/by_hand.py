"""A mark that a person set beside the coach's: both are kept."""

from __future__ import annotations

from dataclasses import dataclass

from coach.report.attempt import Mark

THE_LEARNER = "the learner"
"""By whom a mark is that a learner gave in the debrief: an own word, which decides nothing."""


@dataclass(frozen=True, slots=True)
class SetByHand:
    """What a person made of a step: who, when (ISO 8601 with its offset), why, and what the coach
    had made of it."""

    step: str
    mark: Mark
    coachs_mark: Mark
    by: str
    when: str
    because: str = ""

    @property
    def own_word(self) -> bool:
        """Whether it is what the learner said of it, and no judgement of anybody else."""
        return self.by == THE_LEARNER

    @property
    def agrees(self) -> bool:
        """Whether it says no more than that the coach was right."""
        return self.mark is self.coachs_mark and not self.because
