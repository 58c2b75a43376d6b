"""The numbers of what is worked out, as the program's table of facts has them, for tests."""

from __future__ import annotations

from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.numbers import FACTS_OF, Numbers, numbers_of


def known_numbers() -> Numbers:
    """All of them."""
    names = tuple(dict.fromkeys(name for facts in FACTS_OF.values() for name in facts))
    return numbers_of(names, facts_for(program_facts().parent))
