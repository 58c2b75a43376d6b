"""As `test_careless_sayings`, of the safety steps of 32 skills, drawn into halves by lot.

Before any of them was looked at 61 of 225 careless ones of `develop` were credited and 66 of 212
of `apart` (31 %); of the plain ones 3 of 82 and 10 of 76 were missed. When the causes found in
`develop` were mended, 19 (8 %) and 50 (24 %) were, and as many plain ones missed as before. More
questions and answers that are heard since credit 21 (9 %) of `develop`.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from step_sayings import halves_of, missed, sayings, wrongly_credited

HALVES = halves_of("careless_further.yaml")

CREDITED = {"develop": 0.1, "apart": 0.24}
"""Largest share of the careless sentences that credit their step, or another safety step."""

MISSED = {"develop": 0.04, "apart": 0.14}
"""Largest share of the plain sentences that do not credit their step."""


@pytest.mark.parametrize("half", HALVES)
def test_what_a_careless_learner_says_credits_nothing(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    wrong, count = wrongly_credited(HALVES[half])
    record_property("credited", f"{len(wrong)} of {count}")
    assert len(wrong) <= CREDITED[half] * count, "\n".join(wrong)


@pytest.mark.parametrize("half", HALVES)
def test_what_a_plain_learner_says_is_credited(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    lost, count = missed(HALVES[half])
    record_property("missed", f"{len(lost)} of {count}")
    assert len(lost) <= MISSED[half] * count, "\n".join(lost)


def test_there_are_enough() -> None:
    for half in HALVES.values():
        assert len(half) >= 25
        assert len(list(sayings(half, "not"))) >= 200
        assert len(list(sayings(half, "credits"))) >= 75
