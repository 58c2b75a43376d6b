"""The file of fitted weights: read as it is written, refused with a word where it is wrong."""

from __future__ import annotations

import math
from copy import deepcopy
from typing import Any

import pytest

from coach.core.errors import InputError
from coach.hearing.calibration import FACTS, KINDS, TRAITS, logistic, parse_calibration

TREE: dict[str, Any] = {
    "model": "ab" * 32,
    "weights": {name: float(place) for place, name in enumerate(FACTS)},
    "confidence": {kind: dict.fromkeys(TRAITS, 0.5) for kind in KINDS},
}


def test_what_is_written_is_read() -> None:
    calibration = parse_calibration(TREE, "c.yaml")
    assert calibration.model == "ab" * 32
    assert calibration.weights["known_word"] == 1.0
    chance = calibration.chance("number", (1.0, 0.0, 0.0, 0.0, 1.0))
    assert chance == pytest.approx(1 / (1 + math.exp(-1.0)))


@pytest.mark.parametrize(
    ("where", "put", "words"),
    [
        (("model",), None, "is no calibration"),
        (("weights", "fit"), "much", "fit is 'much', not a number"),
        (("weights", "fit"), math.nan, "must be finite"),
        (("weights", "fit"), True, "not a number"),
        (("weights", "more"), 1.0, "must have a number each"),
        (("confidence", "more"), {}, "confidence must have number, answer"),
        (("confidence", "number"), [], "confidence: number must have"),
    ],
)
def test_what_is_wrong_is_named(where: tuple[str, ...], put: object, words: str) -> None:
    tree = deepcopy(TREE)
    inner = tree
    for key in where[:-1]:
        inner = inner[key]
    inner[where[-1]] = put
    with pytest.raises(InputError, match=rf"c\.yaml.*{words}"):
        parse_calibration(tree, "c.yaml")


def test_the_logistic_bears_any_number() -> None:
    assert logistic(1e9) == pytest.approx(1.0)
    assert logistic(-1e9) == pytest.approx(0.0)
    assert logistic(0.0) == 0.5
