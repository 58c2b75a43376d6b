"""The chart of a table of facts that gives the parts of the body by age: what is wrong with it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import pairwise

from coach.procedure.cylinder_section import unknown_sources
from coach.procedure.facts import ChartFact
from coach.procedure.filler import texts
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json, Path
from coach.trade.burns import BodyChart, ChartPart

SECTION = "body-chart"
"""The key under which a table and a program's file have it."""

PARTS = {part.name.lower().replace("_", "-"): part for part in ChartPart}
"""How the file names the parts."""

_WHOLE_BODY = 100.0
_ROUNDING = 1e-6


def chart_mistakes(
    root: dict[str, Json], sources: Collection[str], beside: ChartFact | None
) -> Iterator[Mistake]:
    """Every mistake in the chart of a table that a schema does not find.

    `sources` are the keys that may be named, `beside` the chart of a table this one adds to.
    """
    if SECTION not in root:
        return
    if beside is not None:
        yield (
            (SECTION,),
            f"'{SECTION}' is in the program's table already: take it out; a local program's file "
            "may change it.",
        )
    written = mapping(root.get(SECTION))
    yield from unknown_sources(root, (SECTION,), written, sources)
    yield from column_mistakes(written, written)


def column_mistakes(given: Mapping[str, Json], whole: Mapping[str, Json]) -> Iterator[Mistake]:
    """Columns of a `whole` chart that are not those of the ages, or are not a whole body.

    `given` is what the file says of it: where it stands there.
    """
    years, parts = listed(whole.get("from-years")), mapping(whole.get("parts"))
    written = [*years, *(each for percent in parts.values() for each in _each(percent))]
    if not years or set(parts) != set(PARTS) or not all(map(_is_number, written)):
        return  # told by the schema
    at: Path = (SECTION, "from-years") if "from-years" in given else (SECTION,)
    ages = [float(str(year)) for year in years]
    if ages[0] != 0 or any(later <= age for age, later in pairwise(ages)):
        yield (
            at,
            f"'from-years' of '{SECTION}' is {_row(ages)}: begin with 0, for birth, and let each "
            "age be above the one before.",
        )
        return
    columns = {part: _columns(percent, len(years)) for part, percent in parts.items()}
    short = [part for part, found in columns.items() if found is None]
    for part in short:
        found = len(listed(parts[part]))
        yield (
            _at_part(given, part),
            f"'{part}' of '{SECTION}' has {found} numbers, but there are {len(years)} ages: give "
            "one for each, or a single number that holds at every age.",
        )
    if short:
        return
    for number, age in enumerate(ages):
        total = sum(found[number] for found in columns.values() if found is not None)
        if abs(total - _WHOLE_BODY) > _ROUNDING:
            yield (
                (SECTION, "parts") if "parts" in given else at,
                f"the parts of '{SECTION}' come to {total:g} percent from {age:g} years on: they "
                "have to come to 100 at every age, so mend what is wrong.",
            )
            return  # a part that holds at every age is told once


def chart_from(written: Mapping[str, Json]) -> BodyChart:
    """The chart of a section that has passed every check."""
    years = tuple(float(str(year)) for year in listed(written.get("from-years")))
    parts = mapping(written.get("parts"))
    return BodyChart(
        years,
        {part: _columns(parts[name], len(years)) or () for name, part in PARTS.items()},
    )


def chart_written(chart: BodyChart) -> dict[str, Json]:
    """A chart as a file would have it; `chart_from` gives it back."""
    return {
        "from-years": list(chart.from_years),
        "parts": {name: list(chart.percent[part]) for name, part in PARTS.items()},
    }


def chart_fact(written: Mapping[str, Json]) -> ChartFact:
    """The chart of a table that has passed every check, with what is to be known about it."""
    return ChartFact(
        chart_from(written),
        str(written["population"]),
        texts(written.get("sources")),
        str(written.get("note", "")),
    )


def chart_lines(chart: BodyChart) -> Iterator[str]:
    """A chart for print, a line for each part."""
    yield f"from years: {_row(chart.from_years)}"
    for name, part in PARTS.items():
        percent = chart.percent[part]
        yield f"{name}: {_row(percent if len(set(percent)) > 1 else percent[:1])} %"


def _columns(written: Json, ages: int) -> tuple[float, ...] | None:
    """The percent of a part at each age; None where there are more or fewer than ages."""
    if not isinstance(written, list):
        return (float(str(written)),) * ages
    found = tuple(float(str(percent)) for percent in written)
    return found if len(found) == ages else None


def _each(percent: Json) -> list[Json]:
    return percent if isinstance(percent, list) else [percent]


def _is_number(value: Json) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _at_part(given: Mapping[str, Json], part: str) -> Path:
    here = (SECTION, "parts", part)
    return here if part in mapping(given.get("parts")) else (SECTION,)


def _row(numbers: Iterable[float]) -> str:
    return ", ".join(f"{number:g}" for number in numbers)
