"""What happens while the coach plays a student who makes mistakes, as its journal keeps it.

`at_s` are seconds since the drill began.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class ShownMistake:
    """A mistake that could be noticed: what is `wrong`, the step or act it is `about` by id and
    `name`, what it `says` and `because` of what it is wrong."""

    wrong: str
    about: str
    name: str
    says: str
    because: str


@dataclass(frozen=True, slots=True)
class StudentDrillStarted:
    """A drill began: with this `seed`, for so many `mistakes`; `learner` is the id of who watches,
    "" for nobody who was named."""

    at_s: float
    skill: str
    seed: int
    mistakes: int
    learner: str = ""
    choices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class StudentActed:
    """The student said what he does; `shows` can be noticed from here on."""

    at_s: float
    text: str
    shows: tuple[ShownMistake, ...] = ()


@dataclass(frozen=True, slots=True)
class WatcherSpoke:
    """Who watches said something after the act, heard as surely as `sure` (0 to 1)."""

    at_s: float
    text: str
    sure: float


@dataclass(frozen=True, slots=True)
class StudentDrillOver:
    """What was told in the end: what was caught and missed, and objections without a cause."""

    at_s: float
    caught: tuple[str, ...]
    missed: tuple[str, ...]
    without_cause: int


StudentEvent = StudentDrillStarted | StudentActed | WatcherSpoke | StudentDrillOver
