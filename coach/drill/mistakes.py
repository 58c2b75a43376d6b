"""What a student does and what is wrong with it; no chance is in it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Wrong(StrEnum):
    """What a mistake is."""

    LEFT_OUT = "left out"
    TOO_EARLY = "too early"
    NUMBER = "wrong number"
    FORBIDDEN = "must not happen"


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake: `about` is the id of the step or act, `says` what it was, `because` why it is
    wrong."""

    wrong: Wrong
    about: str
    says: str
    because: str


@dataclass(frozen=True, slots=True)
class Act:
    """One thing the student says; `shows` are the mistakes that can be noticed from here on."""

    text: str
    shows: tuple[Mistake, ...] = ()
