"""Facts that only make sense beside each other: one below the other, or whole."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from coach.procedure.facts import FactTable
from coach.procedure.resolve import mapping
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json


def value_of(facts: Mapping[str, Json], beside: FactTable, name: str) -> float | None:
    """The number of a fact by the `facts` of a file, else by a table beside it; None for none."""
    if name in facts:
        found = mapping(facts[name]).get("value")
        number = isinstance(found, int | float) and not isinstance(found, bool)
        return float(str(found)) if number else None
    known = beside.facts[name].amount.value if name in beside.facts else None
    return known if isinstance(known, float) else None


def order_mistakes(
    root: dict[str, Json], beside: FactTable, pairs: Collection[tuple[str, str]]
) -> Iterator[Mistake]:
    """The pairs of facts whose first is not below its second, told where the file has one."""
    facts = mapping(root.get("facts"))
    for lower, upper in pairs:
        here = [name for name in (lower, upper) if name in facts]
        less, more = (value_of(facts, beside, name) for name in (lower, upper))
        if here and less is not None and more is not None and less >= more:
            yield (
                ("facts", here[0]),
                f"'{lower}' is {less:g}, not below the {more:g} of '{upper}': mend what is wrong.",
            )


def whole_mistakes(root: dict[str, Json], names: Collection[str]) -> Iterator[Mistake]:
    """The facts of these names in a file that are no whole number above zero."""
    facts = mapping(root.get("facts"))
    for name in (name for name in names if name in facts):
        value = value_of(facts, FactTable(), name)
        if value is not None and not (value > 0 and value.is_integer()):
            yield (
                ("facts", name, "value"),
                f"fact '{name}' is {value:g}: give a whole number above zero.",
            )
