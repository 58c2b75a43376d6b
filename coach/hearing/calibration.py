"""What was fitted to one network on development recordings: weights and how sure to be. Pure."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.errors import InputError

FACTS = (
    "fit",
    "known_word",
    "moment_word",
    "moment_pair",
    "lead_word",
    "unit",
    "number_awaited",
    "number_asked",
    "number_elsewhere",
    "letter",
    "broken_number",
    "foreign_word",
    "foreign_nats",
    "whole_phrase",
    "whole_answer",
    "whole_number",
    "whole_number_words",
    "figures",
    "out_of_range",
    "nothing",
    "nothing_unsure",
    "nothing_letters",
)
"""What is counted of a text that may have been said; `coach.hearing.weighing` says how."""

KINDS = ("number", "answer", "phrase", "words", "foreign")
"""Kinds of texts that are more or less to be trusted."""

TRAITS = ("odds", "unsure", "letters", "fit", "one")
"""What the chance that a text is right is worked out from."""


@dataclass(frozen=True)
class Calibration:
    """Weights of FACTS in nats, and for each of KINDS the weights of TRAITS.

    `model` is the SHA-256 of the network that they belong to.
    """

    model: str
    weights: Mapping[str, float]
    confidence: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    def chance(self, kind: str, traits: tuple[float, ...]) -> float:
        """The chance, 0 to 1, that a text of that kind is what was said."""
        total = sum(w * t for w, t in zip(self.confidence[kind], traits, strict=True))
        return logistic(total)


def logistic(value: float) -> float:
    """1 / (1 + exp(-value)) for any value."""
    return 1.0 / (1.0 + math.exp(-max(-60.0, min(60.0, value))))


def parse_calibration(tree: object, name: str) -> Calibration:
    """A calibration from parsed YAML; InputError names the file `name` and what is wrong in it."""
    if not isinstance(tree, dict) or not isinstance(tree.get("model"), str):
        raise InputError(f"{name} is no calibration: it needs the model's SHA-256 and weights.")
    weights = _numbers(tree.get("weights"), FACTS, f"{name}: weights")
    kinds = tree.get("confidence")
    if not isinstance(kinds, dict) or set(kinds) != set(KINDS):
        raise InputError(f"{name}: confidence must have {', '.join(KINDS)}.")
    confidence = {
        kind: tuple(_numbers(kinds[kind], TRAITS, f"{name}: confidence: {kind}").values())
        for kind in KINDS
    }
    return Calibration(tree["model"], weights, confidence)


def _numbers(tree: object, names: tuple[str, ...], where: str) -> dict[str, float]:
    if not isinstance(tree, dict) or set(tree) != set(names):
        raise InputError(f"{where} must have a number each for {', '.join(names)}.")
    for key, number in tree.items():
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise InputError(f"{where}: {key} is {number!r}, not a number.")
        if not math.isfinite(number):
            raise InputError(f"{where}: {key} is {number!r}: it must be finite.")
    return {key: float(tree[key]) for key in names}
