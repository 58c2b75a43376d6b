"""A scenario: a patient and what happens, for practice without an evaluator who tells findings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.units import Quantity, Unit


@dataclass(frozen=True, slots=True)
class Change:
    """Once step `after` is done, a value goes towards `towards`, half of the way in `half_s`."""

    after: str
    towards: float
    half_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Value:
    """A number that a finding shows: where it starts, and what moves it.

    It is shown as its unit is read, tenths of a degree and whole percents. `within` is how far off
    an estimate may be and still be right; the number is not shown then (0: it is shown).
    """

    quantity: Quantity
    unit: Unit
    start: float
    changes: tuple[Change, ...] = ()
    within: float = 0.0


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the patient or a device shows to who asks (`asked`: lines of keys) or does step
    `shown_by`. In `says`, {value} is the number. `later` says it otherwise once a step is done."""

    id: str
    says: str
    asked: tuple[str, ...] = ()
    shown_by: str = ""
    value: Value | None = None
    later: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that comes with the chance `chance` (0 to 1), once step `after` is done, or
    `at_s` seconds after the beginning. `starts` gives values another start (the gauge reads low);
    `complication` is one of the skill's that comes with it, `reopens` are steps that then have to
    be done once more. It comes up to `times` times, each further time by the same chance, `again_s`
    seconds after all that it brought is done."""

    id: str
    chance: float = 1.0
    says: str = ""
    after: str = ""
    at_s: float = 0.0
    starts: Mapping[str, float] = field(default_factory=dict)
    complication: str = ""
    reopens: tuple[str, ...] = ()
    times: int = 1
    again_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Scenario:
    """A whole scenario; `dispatch` is said at the beginning, `settings` are the skill's options.

    `partner` says whether the coach answers as the other person of steps for two. `written` is the
    checked content of the file.
    """

    id: str
    title: str
    skill: str
    dispatch: str
    findings: tuple[Finding, ...]
    happenings: tuple[Happening, ...] = ()
    settings: Mapping[str, str] = field(default_factory=dict)
    partner: bool = False
    written: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def finding(self, finding_id: str) -> Finding | None:
        """The finding of that id."""
        return next((finding for finding in self.findings if finding.id == finding_id), None)
