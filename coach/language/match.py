"""A step's words found in what was said."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.meaning import Part


@dataclass(frozen=True, slots=True)
class Match:
    """A line of some step's words found in a clause, at these places of the utterance.

    `found`: what denies it is a finding ("there is a leak"), not that it was not done; `wrong`: it
    was done wrongly ("the tourniquet is on the knee"), `alone` where the clause does not tell the
    act itself; `sign`: it is something that must not be ("he gags").
    """

    step: str
    part: Part
    choice: str | None
    places: frozenset[int]
    denied: bool
    sure: float
    found: bool = False
    wrong: bool = False
    alone: bool = False
    sign: bool = False

    @property
    def start(self) -> int:
        """Place of its first word."""
        return min(self.places)
