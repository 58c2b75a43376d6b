"""The oxygen cylinders of the program's table of facts, for tests."""

from __future__ import annotations

from coach.core.units import Pressure
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.in_force import RESERVE
from coach.trade.cylinders import Cylinder, Cylinders, Region

KEPT = Pressure(float(str(facts_for(program_facts().parent).facts[RESERVE].amount.value)))
"""What is kept back by default."""


def known_cylinders() -> Cylinders:
    """All of them."""
    return facts_for(program_facts().parent).oxygen_cylinders()


def find_cylinder(letter: str, region: Region = Region.US) -> Cylinder:
    """The one of that letter."""
    return known_cylinders().find(letter, region)
