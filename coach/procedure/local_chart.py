"""The chart of the body by age that a program has otherwise than the table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from coach.procedure.chart_section import (
    SECTION,
    chart_from,
    chart_lines,
    chart_written,
    column_mistakes,
)
from coach.procedure.facts import ChartFact, FactTable
from coach.procedure.resolve import mapping
from coach.procedure.weakening import weakening_mistakes
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json

WEAKER = "other parts of the body by age, where no side is known to be safer"
"""How a chart of a program's own is told, within a sentence."""


@dataclass(frozen=True, slots=True)
class ChartChange:
    """A chart that a program has instead of the table's, with why; `weakens` is said aloud."""

    was: ChartFact
    now: ChartFact
    because: str
    weakens: str

    def told(self) -> Iterator[str]:
        """The change as lines to print: what differs."""
        now, was = (list(chart_lines(each.chart)) for each in (self.now, self.was))
        yield f"{SECTION}:"
        for mine, published in zip(now, was, strict=True):
            if mine != published:
                yield f"    {mine}, instead of {published.partition(': ')[2]}"


def local_chart_mistakes(root: dict[str, Json], table: FactTable) -> Iterator[Mistake]:
    """Every mistake in the chart of a program's file that a schema does not find."""
    written = root.get(SECTION)
    if not isinstance(written, dict) or not written:
        return
    if table.chart is None:
        yield (SECTION,), f"the table of facts has no '{SECTION}' to change: take it out."
        return
    if not written.keys() & {"from-years", "parts"}:
        yield (SECTION,), f"'{SECTION}' changes nothing: give 'parts', and 'from-years' if they do."
        return
    yield from column_mistakes(written, _over(table.chart, written))
    unknown = "no side of it is known to be safer"
    yield from weakening_mistakes((SECTION,), f"'{SECTION}'", written, unknown)


def chart_change(root: dict[str, Json], table: FactTable, source: str) -> ChartChange | None:
    """The change of a program's file that has passed every check; None where there is none.

    `source` is the key of the source that its numbers rest on.
    """
    written = mapping(root.get(SECTION))
    if not written or table.chart is None:
        return None
    chart = chart_from(_over(table.chart, written))
    because = str(written["because"])
    now = replace(table.chart, chart=chart, sources=(source,), note=because)
    return ChartChange(table.chart, now, because, str(written["weakens"]))


def _over(was: ChartFact, written: dict[str, Json]) -> dict[str, Json]:
    """The chart as the program has it; what it does not say is the table's."""
    table = chart_written(was.chart)
    parts = {**mapping(table["parts"]), **mapping(written.get("parts"))}
    return {**table, **written, "parts": parts}
