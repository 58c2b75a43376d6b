"""What a skill file has worked out, and whether the table of facts has the numbers for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from coach.core.problem import Problem
from coach.procedure.build_score import minute_mistakes
from coach.procedure.chart_section import SECTION
from coach.procedure.facts import FactTable
from coach.procedure.model import Scored, TakenBy
from coach.procedure.numbers import FACTS_OF, RANGES, Sum, numbers_of
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import place
from coach.procedure.yaml_tree import Json, Path, Tree


class _Asked(NamedTuple):
    """A sum, where a skill file asks for it, and what stands there."""

    sum: Sum
    path: Path
    written: dict[str, Json]


def facts_worked_with(root: Json) -> tuple[str, ...]:
    """The facts that a skill's content works with, whether its texts name them or not."""
    wanted = dict.fromkeys(asked.sum for asked in _sums_in(mapping(root)))
    return tuple(dict.fromkeys(name for each in wanted for name in FACTS_OF[each]))


def has_burned_area(root: Json) -> bool:
    """Whether a skill's content has a burned area worked out."""
    return any(asked.sum is Sum.BURNS for asked in _sums_in(mapping(root)))


def number_checks(tree: Tree, file: str, table: FactTable) -> Iterator[Problem]:
    """Every mistake about what is worked out in a skill file with its facts in place: a number that
    the table lacks, each told once, and a minute at which no newborn is scored."""
    root = mapping(tree.value)
    told: set[str] = set()
    for asked in _sums_in(root):
        missing = {name: _kind(name) for name in FACTS_OF[asked.sum] if not _stands(table, name)}
        if asked.sum is Sum.BURNS and table.chart is None:
            missing[SECTION] = ""
        for name in (name for name in missing if name not in told):
            yield Problem(
                file,
                tree.line(asked.path),
                f"{place(root, asked.path)} needs {asked.sum}, and the table of facts has no "
                f"'{name}'{missing[name]}: add it to facts.yaml.",
            )
        told |= missing.keys()
        if asked.sum is Sum.BIRTH and not missing:
            minutes = numbers_of(FACTS_OF[Sum.BIRTH], table).birth.minutes
            for path, message in minute_mistakes(root, asked.path, asked.written, minutes):
                yield Problem(file, tree.line(path), message)


def _kind(name: str) -> str:
    return f" with {'low and high' if name in RANGES else 'one number as value'}"


def _stands(table: FactTable, name: str) -> bool:
    if name not in table.facts:
        return False
    amount = table.facts[name].amount
    if name in RANGES:
        return amount.low is not None and amount.high is not None
    return isinstance(amount.value, float)


def _sums_in(root: dict[str, Json]) -> Iterator[_Asked]:
    for at, written in enumerate(listed(root.get("steps"))):
        step, path = mapping(written), ("steps", at)
        yield from _sums_of(step, path)
        for number, variant in enumerate(listed(step.get("variants"))):
            yield from _sums_of(mapping(variant), (*path, "variants", number))


def _sums_of(part: dict[str, Json], path: Path) -> Iterator[_Asked]:
    score, count = mapping(part.get("score")), mapping(part.get("count"))
    if score:
        birth = score.get("of") == Scored.BIRTH
        yield _Asked(Sum.BIRTH if birth else Sum.CONSCIOUSNESS, (*path, "score"), score)
    if part.get("thermometer") is True:
        yield _Asked(Sum.TEMPERATURE, (*path, "thermometer"), part)
    if count:
        yield _Asked(Sum.RATES, (*path, "count"), count)
    for number, reading in enumerate(map(mapping, listed(part.get("readings")))):
        here: Path = (*path, "readings", number)
        if reading.get("burned"):
            yield _Asked(Sum.BURNS, here, reading)
        if reading.get("by") == TakenBy.EAR:
            yield _Asked(Sum.PRESSURES, here, reading)
