"""What a careless learner says must not credit a step; what a plain one says should.

The sentences stand in `tests/data/careless_sayings.yaml`, for the nine skills that came last in
`tests/data/untrained_sayings.yaml`. Each is tried as typed and as a recogniser writes it. No step
that safety hangs on may be credited wrongly; what is missed has a ceiling, a little over what was
measured, and raising it needs its reason in the CHANGELOG.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from step_sayings import halves_of, missed, sayings, wrongly_credited

from coach.edges.skill_folders import skill_ids

FILES: dict[str, dict[str, Any]] = {
    name: halves_of(f"{name}_sayings.yaml") for name in ("careless", "untrained")
}
HALVES = [(name, half) for name, halves in FILES.items() for half in halves]

MISSED = {
    ("careless", "develop"): 0.08,
    ("careless", "apart"): 0.05,
    ("untrained", "develop"): 0.08,
    ("untrained", "apart"): 0.36,
}
"""Largest share of the plain sentences that do not credit their step."""

CREDITED = {
    ("careless", "develop"): 0.0,
    ("careless", "apart"): 0.16,
    ("untrained", "develop"): 0.0,
    ("untrained", "apart"): 0.04,
}
"""Largest share of the careless sentences that credit their step, or another safety step."""

FEWEST = {"careless": (15, 10), "untrained": (13, 20)}
"""How many each skill has at least that must not credit, and that must."""


@pytest.mark.parametrize(("name", "half"), HALVES)
def test_what_a_careless_learner_says_credits_nothing(
    name: str, half: str, record_property: Callable[[str, object], None]
) -> None:
    wrong, count = wrongly_credited(FILES[name][half])
    record_property("credited", f"{len(wrong)} of {count}")
    assert len(wrong) <= CREDITED[name, half] * count, "\n".join(wrong)


@pytest.mark.parametrize(("name", "half"), HALVES)
def test_what_a_plain_learner_says_is_credited(
    name: str, half: str, record_property: Callable[[str, object], None]
) -> None:
    lost, count = missed(FILES[name][half])
    record_property("missed", f"{len(lost)} of {count}")
    assert len(lost) <= MISSED[name, half] * count, "\n".join(lost)


@pytest.mark.parametrize("name", FILES)
def test_there_are_enough_for_each_skill(name: str) -> None:
    fewest_not, fewest = FEWEST[name]
    develop = FILES[name]["develop"]
    steps: dict[str, set[str]] = {}
    for said in sayings(develop, "not"):
        steps.setdefault(said.skill.id, set()).update(step.id for step in said.skill.steps)
    for skill_id, kinds in develop.items():
        assert sum(map(len, kinds["not"].values())) >= fewest_not, skill_id
        assert sum(map(len, kinds["credits"].values())) >= fewest, skill_id
        assert steps[skill_id] >= set(kinds["not"]), skill_id


def test_every_skill_has_such_sentences() -> None:
    written = set().union(*(halves["develop"] for halves in FILES.values()))
    assert set(skill_ids()) <= written
