"""An attempt at a skill, scored: the marks with what speaks for them, as data and as JSON.

The same attempt always gives the same bytes (`result_bytes`), whenever and wherever it is scored.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from coach.core.plain import Fields, Plain, one_or_all

FORMAT = 1
"""Raised when the JSON of a result changes so that yesterday's readers would misread it."""

ADDED_LATER = frozenset({"assumed", "doubted", "oxygen_assumed", "possible"})
"""Fields that stand only where they hold something: what was scored before they were known keeps
its bytes."""


class Way(StrEnum):
    """How a skill is practised.

    LED: the coach names every step. RECALL: it is silent until asked, or after a pause gives the
    smallest hint. ASSESSED: it is silent. DRILL: it plays patient, partner and clock.
    """

    LED = "led"
    RECALL = "recall"
    ASSESSED = "assessed"
    DRILL = "drill"


class Mark(StrEnum):
    """What a step came to. UNCLEAR: something was heard, but not surely; it is neither pass nor
    fail until a person has set it."""

    DONE = "done"
    LATE = "late"
    OUT_OF_ORDER = "out-of-order"
    MISSED = "missed"
    UNCLEAR = "unclear"


ORDER_UNSURE = "Perhaps done before"
"""How the reason begins of a step that is unclear because what was said before it was not made
out: it is settled like a safety step."""


class Verdict(StrEnum):
    """What a whole attempt came to."""

    READY = "ready"
    NOT_YET = "not-yet"
    UNCLEAR = "unclear"


class Tells(StrEnum):
    """What a piece of evidence tells of its step."""

    DONE = "done"
    PERHAPS = "perhaps"
    DENIED = "denied"
    FOUND = "found"
    NUMBER = "number"
    BEGUN = "begun"
    ENDED = "ended"
    HINT = "hint"
    PROMPT = "prompt"


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was heard (or said by the coach) of a step, when (seconds from the start of the
    attempt), and how sure that is, 0 to 1. `doubted` are the words for which it only perhaps tells
    of the step: they may tell that it was done carelessly."""

    at_s: float
    tells: Tells
    text: str
    sure: float
    doubted: str = ""


@dataclass(frozen=True, slots=True)
class StepResult:
    """A step's mark: `points` of `out_of`, `why` in a sentence for people, the evidence for it.

    `at_s` is when it was done, None if it was not. `safety`: a wrong order, or leaving it out,
    could hurt someone. `hints` is how often the coach helped with it.
    """

    step: str
    name: str
    mark: Mark
    points: float
    out_of: float
    at_s: float | None
    why: str
    safety: bool
    hints: int
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True)
class NumberResult:
    """A number said against what was expected: `low` to `high` in `unit`, both lawful.

    `corrected`: another number had been said for it before. `assumed`: it was taken for a
    training cylinder without pressure, and counts neither way.
    """

    step: str
    name: str
    values: tuple[float, ...]
    unit: str
    low: float
    high: float
    in_range: bool
    corrected: bool
    at_s: float
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class SafetyFailure:
    """Something that could have hurt a patient: a forbidden act, a safety order turned round, a
    safety step left out or left with a wrong number. `about` is the id of the act or step.
    `corrected`: put right in time, so that it does not end the attempt where the rule forgives
    that."""

    about: str
    what: str
    because: str
    at_s: float
    corrected: bool


@dataclass(frozen=True, slots=True)
class Timed:
    """Seconds a timed step took, held against its limit or least (0 for none)."""

    step: str
    seconds: float
    limit_s: int
    least_s: int


@dataclass(frozen=True, slots=True)
class Spoken:
    """A stretch of the learner's or the coach's talk in the attempt, for its picture."""

    at_s: float
    by_coach: bool
    text: str


@dataclass(frozen=True, slots=True)
class Result:
    """A scored attempt.

    `attempt` is its lasting id, `learner` the learner's id ("" for nobody's), `started` the wall
    clock (ISO 8601 with its offset), `seconds` its length, `limit_s` the time limit (0: none).
    `skill_sha256` names the very skill text it was judged by, `rule` the rule and its version.
    `passed_from` is the share of points (0 to 1) from which it counts as ready.
    `judged_by` is "coach", or who set marks by hand. `oxygen_assumed`: the minutes of oxygen rest
    on an assumed pressure. `possible`: what would be a safety failure if what was not made out was
    not what belongs there; a person has to settle it.
    """

    attempt: str
    learner: str
    skill: str
    title: str
    skill_sha256: str
    choices: Mapping[str, str]
    way: Way
    scenario: str
    program: str
    started: str
    seconds: float
    limit_s: float
    rule: str
    verdict: Verdict
    why: str
    points: float
    out_of: float
    passed_from: float
    hints: int
    steps: tuple[StepResult, ...]
    numbers: tuple[NumberResult, ...]
    failures: tuple[SafetyFailure, ...]
    timed: tuple[Timed, ...]
    oxygen_minutes: int | None
    spoken: tuple[Spoken, ...]
    cautions: tuple[str, ...]
    weaker: tuple[str, ...] = ()
    judged_by: str = "coach"
    oxygen_assumed: bool = False
    possible: tuple[SafetyFailure, ...] = ()

    @property
    def share(self) -> float:
        """Points of all that could be had, 0 to 1."""
        return self.points / self.out_of if self.out_of else 0.0

    @property
    def acts(self) -> tuple[str, ...]:
        """The ids of the acts that must not happen and did: those failures that are of no step."""
        steps = {step.step for step in self.steps}
        about = (failure.about for failure in self.failures)
        return tuple(dict.fromkeys(one for one in about if one not in steps))

    def marked(self, mark: Mark) -> tuple[StepResult, ...]:
        """The steps with that mark, in the suggested order."""
        return tuple(step for step in self.steps if step.mark is mark)

    def as_json(self) -> Fields:
        """Every field by its name; `format` first, `share` among them."""
        fields: dict[str, Plain] = {"format": FORMAT, "share": round(self.share, 4)}
        return {**fields, **_fields(self)}


def result_bytes(result: Result) -> bytes:
    """The result as JSON in one fixed spelling: sorted names, UTF-8, a line break at the end."""
    text = json.dumps(result.as_json(), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return f"{text}\n".encode()


_AS_IT_IS = (str, bool, int, type(None))


def _plain(value: Any) -> Plain:
    kind = type(value)
    if kind in _AS_IT_IS:
        return value  # type: ignore[no-any-return]  # of a plain type, as `kind` says
    if kind is float:
        return round(value, 3)  # type: ignore[no-any-return]  # a float, as `kind` says
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, NumberResult):
        return {**_fields(value), "values": one_or_all(value.values)}
    return _fields(value)


def _fields(value: Any) -> dict[str, Plain]:
    told = ((name, getattr(value, name)) for name in value.__slots__)
    return {name: _plain(held) for name, held in told if held or name not in ADDED_LATER}
