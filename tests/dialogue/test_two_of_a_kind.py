"""Two numbers of one kind in a breath: each is held against its own range, whatever was awaited."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core.meaning import Doubt, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue.two_of_a_kind import held_against_its_own
from coach.edges.skill_files import load_skill

MMHG = Unit.MILLIMETRES_OF_MERCURY
SUCTION = load_skill("suction").chosen({}, frozenset())
VACUUM = next(step for step in SUCTION.steps if step.id == "vacuum")
FULL, WORKING = VACUUM.readings


def vacuum(value: float, doubt: Doubt | None = None) -> Reading:
    return Reading(Quantity.VACUUM, (value,), MMHG, unit_said=True, doubt=doubt)


@pytest.mark.parametrize("doubt", [None, Doubt.OUT_OF_RANGE])
def test_a_working_vacuum_is_not_held_against_that_of_the_whole_unit(doubt: Doubt | None) -> None:
    """The unit reaches 300 millimeters of mercury and works at far less (JEMS; facts.yaml)."""
    assert (WORKING.high, FULL.low) == (150, 300)
    assert held_against_its_own(VACUUM, WORKING, vacuum(115, doubt)).doubt is None
    assert held_against_its_own(VACUUM, WORKING, vacuum(400, doubt)).doubt is Doubt.OUT_OF_RANGE
    assert held_against_its_own(VACUUM, FULL, vacuum(400, doubt)).doubt is None
    assert held_against_its_own(VACUUM, FULL, vacuum(115, doubt)).doubt is Doubt.OUT_OF_RANGE


def test_other_doubts_and_lone_readings_stay() -> None:
    hedged = vacuum(115, Doubt.HEDGED)
    assert held_against_its_own(VACUUM, WORKING, hedged) == hedged
    lone = replace(VACUUM, readings=(WORKING,))
    strange = vacuum(400)
    assert held_against_its_own(lone, WORKING, strange) == strange
