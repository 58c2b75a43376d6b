"""What is said of the cylinder: one to train with, a real one, or just empty; nothing is guessed.

The sayings are our own.
"""

from __future__ import annotations

import pytest

from coach.core.meaning import CylinderTold, Kind
from coach.core.units import Quantity, Unit
from coach.language.context import Context, Range, StepWords, Words
from coach.language.understand import understand

GAUGE = StepWords(
    "gauge",
    Words(("i read the gauge",), ("gauge read/reads/says",)),
    ranges={Quantity.PRESSURE: Range(0, 2216, Unit.PSI)},
)
ASKED = Context(
    (GAUGE,),
    Quantity.PRESSURE,
    Range(0, 2216, Unit.PSI),
    suggested="gauge",
    cylinder_asked=True,
    cylinder_named=True,
)
LATER = Context((GAUGE,), cylinder_named=True)
NEVER = Context((GAUGE,), Quantity.PRESSURE, Range(0, 2216, Unit.PSI))

TRAINING = [
    "it's a training cylinder",
    "This is a practice tank.",
    "the gauge reads zero and it is a dummy",
    "it's a dummy, fifteen liters a minute",
    "we use a training cylinder without pressure",
    "the cylinder is just for training",
    "my cylinder's only a dummy",
    "it's an empty training cylinder",
    "that's a practice one",
    "no pressure, this is a demo bottle",
]
EMPTY = [
    "the cylinder is empty",
    "it's empty",
    "empty",
    "The tank's empty.",
    "the gauge reads zero",
    "zero",
    "0 psi",
    "there's no pressure in it",
    "it has no pressure",
    "the needle shows nothing",
    "I think it's a training cylinder",
    "maybe it's a dummy",
]
REAL = [
    "it's not a training cylinder",
    "no, it's a real cylinder",
    "this isn't a dummy",
    "that's a real tank",
]
NOTHING = [
    "it's almost empty",
    "the cylinder is nearly empty",
    "it isn't empty",
    "the gauge reads seventeen hundred",
    "is it a training cylinder?",
    "is this a dummy cylinder",
    "the dummy is unresponsive",
    "it's a training manikin",
    "the training mask is on",
    "pretend it's a training cylinder",
    "I put the empty one away",
    "I read the gauge",
    "when the cylinder is empty I change it",
]


@pytest.mark.parametrize("text", TRAINING)
def test_a_training_cylinder_is_one_where_it_is_called_so(text: str) -> None:
    assert understand(text, ASKED).cylinder is CylinderTold.TRAINING


@pytest.mark.parametrize("text", EMPTY)
def test_empty_may_be_either_and_only_counts_where_the_pressure_is_asked_for(text: str) -> None:
    assert understand(text, ASKED).cylinder is CylinderTold.EMPTY
    assert understand(text, LATER).cylinder in (
        None,
        CylinderTold.EMPTY if "zero" in text else None,
    )


@pytest.mark.parametrize("text", REAL)
def test_a_real_one_is_told_from_it(text: str) -> None:
    assert understand(text, ASKED).cylinder is CylinderTold.REAL


@pytest.mark.parametrize("text", NOTHING)
def test_other_talk_says_nothing_of_it(text: str) -> None:
    assert understand(text, ASKED).cylinder is None


@pytest.mark.parametrize("text", [*TRAINING, *EMPTY, *REAL])
def test_a_skill_that_assumes_no_pressure_hears_nothing_of_it(text: str) -> None:
    assert understand(text, NEVER).cylinder is None


def test_before_the_gauge_only_a_cylinder_called_so_counts() -> None:
    """ "It's a dummy" may be said of the manikin there."""
    assert understand("it's a training cylinder", LATER).cylinder is CylinderTold.TRAINING
    assert understand("it's a dummy", LATER).cylinder is None
    assert understand("the cylinder is empty", LATER).cylinder is None


def test_what_is_only_said_of_the_cylinder_has_a_kind_of_its_own() -> None:
    assert understand("it's empty", ASKED).kind is Kind.CYLINDER
    assert understand("zero", ASKED).kind is Kind.READING
