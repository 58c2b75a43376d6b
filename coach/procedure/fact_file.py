"""The text of a table of facts into a FactTable, or into everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coach.core.problem import Problem
from coach.procedure.build import whole
from coach.procedure.chart_section import SECTION, chart_fact, chart_mistakes
from coach.procedure.cylinder_section import (
    cylinder_mistakes,
    cylinders_from,
    unknown_sources,
)
from coach.procedure.facts import (
    AMOUNT_KEYS,
    EMPTY,
    EXCEPTION,
    HIGH,
    LOW,
    Amount,
    Differing,
    Fact,
    FactTable,
    Kept,
    ParsedFacts,
    Safer,
    Source,
)
from coach.procedure.filler import texts
from coach.procedure.numbers import together_mistakes
from coach.procedure.resolve import mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path, read_tree

UNDATED = "undated"
"""The year of a source that prints none."""


def parse_facts(
    text: str, file: str, schema: Mapping[str, Any], beside: FactTable = EMPTY
) -> ParsedFacts:
    """Read a table of facts.

    `schema` is the published `facts.schema.json`. `beside` is a table this one adds to: its
    sources may be named here, its facts may not be given again.
    """
    tree, problems = read_tree(text, file)
    if tree is None:
        return ParsedFacts(None, problems)
    found = {*problems, *schema_problems(tree, schema, file)}
    for path, message in _mistakes(mapping(tree.value), beside):
        found.add(Problem(file, tree.line(path), message))
    if found:
        return ParsedFacts(None, tuple(sorted(found)))
    root = mapping(tree.value)
    return ParsedFacts(
        FactTable(
            facts={
                name: _fact(name, mapping(value))
                for name, value in mapping(root.get("facts")).items()
            },
            sources={
                key: _source(key, mapping(value))
                for key, value in mapping(root.get("sources")).items()
            },
            cylinders=cylinders_from(mapping(root.get("cylinders"))),
            chart=chart_fact(mapping(root[SECTION])) if SECTION in root else None,
        ),
        (),
    )


def _mistakes(root: dict[str, Json], beside: FactTable) -> Iterator[Mistake]:
    for key, source in mapping(root.get("sources")).items():
        year = mapping(source).get("year")
        if isinstance(year, str) and year != UNDATED:
            yield (
                ("sources", key, "year"),
                f"the year of source '{key}' is '{year}': give a year, or '{UNDATED}'.",
            )
        if key in beside.sources:
            yield (
                ("sources", key),
                f"the source '{key}' is in the program's table already: take it out, or give this "
                "one another key.",
            )
    for name, written in mapping(root.get("facts")).items():
        path: Path = ("facts", name)
        if name in beside.facts:
            yield (
                path,
                f"the fact '{name}' is in the program's table already: give this one another name.",
            )
        fact = mapping(written)
        yield from _amount_mistakes(root, path, fact)
        yield from _source_mistakes(root, path, fact, beside)
        differs = mapping(fact.get("differs"))
        if differs and "because" not in fact:
            yield (
                path,
                f"{place(root, path)} has values that differ and no 'because': say why the default "
                "is the default.",
            )
        for other, differing in differs.items():
            here: Path = (*path, "differs", other)
            if other in AMOUNT_KEYS:
                yield here, f"{place(root, here)} has a name kept for ranges: give it another."
            yield from _amount_mistakes(root, here, mapping(differing))
            yield from _source_mistakes(root, here, mapping(differing), beside)
        yield from _safer_mistakes(root, path, fact)
        if fact.get("unit") in _SIZES and "only-checked" not in fact:
            yield (
                path,
                f"{place(root, path)} is the size of a device, which nobody is told unasked: add "
                "'only-checked: size'.",
            )
    known = {**beside.sources, **mapping(root.get("sources"))}
    yield from cylinder_mistakes(root, known, beside.cylinders)
    yield from chart_mistakes(root, known, beside.chart)
    yield from together_mistakes(root, beside)


_SIZES = ("size", "Fr")
"""Units that nothing but a device is sized in."""


def _amount_mistakes(root: dict[str, Json], path: Path, part: dict[str, Json]) -> Iterator[Mistake]:
    given = [key for key in AMOUNT_KEYS if key in part]
    if not part:
        return
    where = place(root, path)
    if not given:
        yield path, f"{where} has no value: give 'value', or 'low' and 'high' of a range."
    elif "value" in given and len(given) > 1:
        yield path, f"{where} has both a value and a range: keep one of them."
    low, high = part.get(LOW), part.get(HIGH)
    if _is_number(low) and _is_number(high) and float(str(low)) >= float(str(high)):
        yield (
            (*path, LOW),
            f"{where} has a low of {low}, not below its high of {high}: swap or mend them.",
        )


def _source_mistakes(
    root: dict[str, Json], path: Path, part: dict[str, Json], beside: FactTable
) -> Iterator[Mistake]:
    known = {**beside.sources, **mapping(root.get("sources"))}
    yield from unknown_sources(root, path, part, known)


def _safer_mistakes(root: dict[str, Json], path: Path, fact: dict[str, Json]) -> Iterator[Mistake]:
    safer, differs = fact.get("safer"), mapping(fact.get("differs"))
    if safer is None:
        yield from _direction_missing(root, path, fact)
    if safer not in (Safer.LOWER, Safer.HIGHER):
        yield from _no_exception(root, path, fact)
        return
    end = HIGH if safer == Safer.LOWER else LOW
    default = fact.get("value", fact.get(end))
    if not _is_number(default):
        yield (
            (*path, "safer"),
            f"{place(root, path)} says that {safer} is safer, but has no number to compare: give a "
            "number, or take 'safer' out.",
        )
        return
    mine, better = float(str(default)), False
    for name, differing in differs.items():
        other = mapping(differing).get("value", mapping(differing).get(end))
        if not _is_number(other):
            continue
        theirs = float(str(other))
        if theirs < mine if safer == Safer.LOWER else theirs > mine:
            better = True
            if EXCEPTION not in fact:
                yield (
                    (*path, "differs", name),
                    f"{place(root, path)} says that {safer} is safer, but '{name}' has {other} and "
                    f"the default {default}: make the safer one the default, or say in "
                    f"'{EXCEPTION}' why it is not.",
                )
    if not better:
        yield from _no_exception(root, path, fact)


def _direction_missing(
    root: dict[str, Json], path: Path, fact: dict[str, Json]
) -> Iterator[Mistake]:
    """Where single numbers differ, somebody has to have thought about which of them is safer."""
    for name, differing in mapping(fact.get("differs")).items():
        if _is_number(fact.get("value")) and _is_number(mapping(differing).get("value")):
            yield (
                path,
                f"{place(root, path)} and '{name}' give different numbers: say in 'safer' which "
                "direction errs for the patient: lower, higher or neither.",
            )
            return


def _no_exception(root: dict[str, Json], path: Path, fact: dict[str, Json]) -> Iterator[Mistake]:
    if EXCEPTION in fact:
        yield (
            (*path, EXCEPTION),
            f"{place(root, path)} has '{EXCEPTION}', but no published number is safer: take it "
            "out.",
        )


def _is_number(value: Json) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _amount(written: dict[str, Json]) -> Amount:
    value = written.get("value")
    return Amount(
        value=float(str(value)) if _is_number(value) else None if value is None else str(value),
        low=float(str(written[LOW])) if LOW in written else None,
        high=float(str(written[HIGH])) if HIGH in written else None,
    )


def _fact(name: str, written: dict[str, Json]) -> Fact:
    return Fact(
        name=name,
        about=str(written["about"]),
        population=str(written["population"]),
        unit=str(written["unit"]),
        amount=_amount(written),
        sources=texts(written["sources"]),
        because=str(written.get("because", "")),
        note=str(written.get("note", "")),
        safer=Safer(str(written["safer"])) if "safer" in written else None,
        exception=str(written.get(EXCEPTION, "")),
        kept=Kept(str(written["only-checked"])) if "only-checked" in written else None,
        differs={
            other: Differing(
                _amount(mapping(differing)),
                texts(mapping(differing)["sources"]),
                str(mapping(differing).get("note", "")),
            )
            for other, differing in mapping(written.get("differs")).items()
        },
    )


def _source(key: str, written: dict[str, Json]) -> Source:
    year = written["year"]
    return Source(
        key=key,
        name=str(written["name"]),
        standing=str(written["standing"]),
        year=whole(year) if _is_number(year) else None,
        at=str(written.get("at", "")),
        weak=bool(written.get("weak", False)),
        from_memory=bool(written.get("from-memory", False)),
    )
