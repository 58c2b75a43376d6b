"""What a careless learner says must not credit a step; what a plain one says should.

The sentences stand in `tests/data/careless_sayings.yaml`. Each is tried as typed and as a
recogniser writes it. No step that safety hangs on may be credited wrongly; what is missed has a
ceiling, a little over what was measured, and raising it needs its reason in the CHANGELOG.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from careless_lines import missed, sayings, wrongly_credited

DATA = Path(__file__).parent.parent / "data" / "careless_sayings.yaml"
HALVES: dict[str, Any] = yaml.safe_load(DATA.read_text("utf-8"))

MISSED = {"develop": 0.08, "apart": 0.05}
"""Largest share of the plain sentences that do not credit their step."""

CREDITED = {"develop": 0.0, "apart": 0.16}
"""Largest share of the careless sentences that credit their step, or another safety step."""


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


def test_there_are_enough_for_each_skill() -> None:
    for skill_id, kinds in HALVES["develop"].items():
        assert sum(map(len, kinds["not"].values())) >= 15, skill_id
        assert sum(map(len, kinds["credits"].values())) >= 10, skill_id
        steps = {step.id for said in sayings(HALVES["develop"], "not") for step in said.skill.steps}
        assert steps >= set(kinds["not"]), skill_id
