"""The numbers of what is worked out, as the program's table of facts has them, for tests."""

from __future__ import annotations

from coach.app.cylinder_in_use import numbers_known
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.numbers import FACTS_OF, Numbers, numbers_of
from coach.procedure.oxygen_numbers import OxygenNumbers


def known_numbers() -> Numbers:
    """All of them."""
    names = tuple(dict.fromkeys(name for facts in FACTS_OF.values() for name in facts))
    return numbers_of(names, facts_for(program_facts().parent))


def known_oxygen_numbers() -> OxygenNumbers:
    """Those that `coach oxygen` works with besides the cylinders."""
    return numbers_known(None)
