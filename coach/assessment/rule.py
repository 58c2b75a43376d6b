"""The rule by which attempts are scored: data with a name and a version, kept with each attempt."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from coach.core.errors import InputError

WEIGHS_DOUBT = 2
"""The method from which what was not made out is weighed in rounds and orders."""

NAMES_DOUBT = 3
"""The method from which every safety failure that may hang on it is named."""

NEWEST_METHOD = NAMES_DOUBT
"""The method that every new attempt is scored by."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How much counts for what.

    A step is worth `step_points`, one of safety (another may not be done without it)
    `safety_points`. What was done wrongly keeps a share of its points: late, out of order, with a
    number outside its range, without what has to be said with it, and after hints (`hints` for the
    first, second, third and any further hint). A step heard less surely than `sure_from` (0 to 1)
    is unclear. `ready_from` is the share of all points from which an attempt counts as ready.
    `method` is how what was not made out is weighed: 1 for a step alone, as in attempts that were
    kept before there was another; 2 in rounds, orders and after a bare "done" too; 3 the same, and
    what may have been unsafe is named where neither of two steps was made out.
    """

    name: str
    version: int
    step_points: float
    safety_points: float
    late: float
    out_of_order: float
    wrong_number: float
    unsaid: float
    hints: tuple[float, float, float, float]
    sure_from: float
    ready_from: float
    method: int = 1

    @property
    def named(self) -> str:
        """The name and version that stand in a result."""
        return f"{self.name}, version {self.version}"


def rule_from(data: Mapping[str, Any]) -> Rule:
    """The rule of a mapping that has passed `scoring.schema.json`, `-` or `_` in its names."""
    given = {str(name).replace("-", "_"): value for name, value in data.items()}
    first, second, third, more = map(float, given.pop("hints"))
    name, version = str(given.pop("name")), int(given.pop("version"))
    method = int(given.pop("method", 1))
    numbers = {field: float(value) for field, value in given.items()}
    hints = (first, second, third, more)
    return Rule(name=name, version=version, hints=hints, method=method, **numbers)


def rule_text(rule: Rule) -> str:
    """The rule as one line of JSON, as the journal keeps it."""
    fields = asdict(rule)
    if rule.method == 1:
        del fields["method"]
    return json.dumps(fields, sort_keys=True, separators=(",", ":"))


def rule_of_text(text: str) -> Rule:
    """The rule that `rule_text` gave; InputError for anything else."""
    try:
        return rule_from(json.loads(text))
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise InputError(
            "The rule kept with the attempt cannot be read: it is of another version of the "
            "program, or the journal was changed."
        ) from error
