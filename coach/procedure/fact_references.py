"""Facts put into a skill file where it names them: `{fact.name}`, `{no-fact.5}`.

`{fact.name}` is the default, `{fact.name.low}` and `.high` the ends of a range, `{fact.name.other}`
what another text gives; `.in-mm` behind any of them turns the unit. `{no-fact.5}` says plainly
that a number comes from no text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.core.units import PSI_PER_BAR, Unit
from coach.procedure.facts import FactTable, Kept, in_words
from coach.procedure.resolve import BRACES, mapping
from coach.procedure.skill_texts import every_text
from coach.procedure.wording import Mistake, nearest, place
from coach.procedure.yaml_tree import Json, Path

FACT, NO_FACT = "fact", "no-fact"
"""What stands before the point of a reference; no setting may be named so."""

_IN_UNIT = ".in-"
_TIMES = {
    ("cm", "mm"): 10.0,
    ("in", "mm"): 25.4,
    ("in", "cm"): 2.54,
    ("min", "s"): 60.0,
    ("h", "min"): 60.0,
    ("bar", "psi"): PSI_PER_BAR,
}
"""What a number is multiplied by to be told in another unit (NIST SP 811, appendix B.8)."""

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
_SECONDS = ("limit-s", "least-s", "calls-every-s", "seconds", "for-s", "breath-s")
_LIMITS = ("low", "high", "lower-low", "lower-high", "bad-below", "bad-above", *_SECONDS)
_THINGS = ("compressions", "breaths", "blows", "thrusts", "times", "people", "turns")
"""Units of facts that are counted one by one, as a reading in 'counted' is."""
_UNKNOWN = 1
"""Stands for a fact that is not in the table, so that nothing else is told of it."""

_WHERE_KEPT = {
    Kept.DOSE: (("low", "high"), "the coach never tells one"),
    Kept.SIZE: (("low", "high", "outside"), "the coach tells none before the learner has"),
}


def with_facts(value: Json, table: FactTable) -> Json:
    """The value with every fact it names in its place; a text that is one number becomes it."""
    if isinstance(value, dict):
        return {
            key: child if key == "sources" else with_facts(child, table)
            for key, child in value.items()
        }
    if isinstance(value, list):
        return [with_facts(child, table) for child in value]
    if not isinstance(value, str) or "{" not in value:
        return value
    whole = BRACES.fullmatch(value.strip())
    if whole and is_reference(whole[1]):
        return stands_for(whole[1], table)

    def filled(found: re.Match[str]) -> str:
        if not is_reference(found[1]):
            return found[0]
        if found[1].startswith(f"{NO_FACT}."):
            return found[1].partition(".")[2]
        return in_words(stands_for(found[1], table))

    return BRACES.sub(filled, value)


def is_reference(reference: str) -> bool:
    """Whether the inside of braces names a fact or says that there is none."""
    return reference.partition(".")[0] in (FACT, NO_FACT)


def stands_for(reference: str, table: FactTable) -> str | float:
    """The number or the words behind a reference; 1 if there is nothing."""
    kind, _, rest = reference.partition(".")
    if kind == NO_FACT:
        return float(rest) if _NUMBER.fullmatch(rest) else rest or _UNKNOWN
    found = _looked_up(rest, table)
    return _UNKNOWN if found is None else found


def _looked_up(rest: str, table: FactTable) -> str | float | None:
    """What stands behind "name.part.in-unit"; None for nothing."""
    name, part, unit = split_reference(rest)
    fact = table.facts.get(name)
    found = fact.part(part) if fact else None
    if fact is None or found is None or not unit:
        return found
    times = _TIMES.get((fact.unit, unit))
    return round(found * times, 6) if times and isinstance(found, float) else None


def told_in(value: float, unit: str, wanted: str) -> float | None:
    """A number in another unit of the same quantity; None where there is no way to it."""
    if (unit, wanted) in _TIMES:
        return value * _TIMES[unit, wanted]
    return value / _TIMES[wanted, unit] if (wanted, unit) in _TIMES else None


def split_reference(rest: str) -> tuple[str, str, str]:
    """The name of a fact, the part of it, and the unit asked for ("" for its own)."""
    rest, _, unit = rest.partition(_IN_UNIT)
    name, _, part = rest.partition(".")
    return name, part, unit


def facts_named(root: Json) -> tuple[str, ...]:
    """The names of the facts that a skill file names, each once."""
    references = (
        reference for _, text in every_text(root, ()) for reference in BRACES.findall(text)
    )
    named = (
        reference.split(".")[1] for reference in references if reference.startswith(f"{FACT}.")
    )
    return tuple(dict.fromkeys(named))


def all_stand(root: Json, table: FactTable) -> bool:
    """Whether every reference stands for something."""
    references = (
        reference
        for path, text in every_text(root, ())
        if "sources" not in path
        for reference in BRACES.findall(text)
    )
    return all(
        _looked_up(reference.partition(".")[2], table) is not None
        for reference in references
        if reference.startswith(f"{FACT}.")
    )


def fact_mistakes(root: dict[str, Json], table: FactTable) -> Iterator[Mistake]:
    """Every reference that stands for nothing, in a wrong unit, or where it may not be told."""
    for name in mapping(root.get("settings")):
        if name in (FACT, NO_FACT):
            yield (
                ("settings", name),
                f"'{name}' is kept for the table of facts: give the setting another name.",
            )
    for path, text in every_text(root, ()):
        if "sources" in path:
            continue
        for reference in BRACES.findall(text):
            if is_reference(reference):
                yield from _unknown(root, path, reference, table)
            yield from _told(root, path, reference, table)
            if path[-1] in _LIMITS:
                yield from _other_unit(root, path, reference, table)


def _unknown(
    root: dict[str, Json], path: Path, reference: str, table: FactTable
) -> Iterator[Mistake]:
    where = place(root, path)
    kind, _, rest = reference.partition(".")
    if kind == NO_FACT:
        if not rest.strip():
            yield path, f"{where} has {{{reference}}} without a number: write {{no-fact.5}}."
        return
    name, part, unit = split_reference(rest)
    fact = table.facts.get(name)
    if fact is None:
        yield (
            path,
            f"{where} has {{{reference}}}, but the table of facts has no '{name}': "
            f"{_advice(name, table)}",
        )
    elif fact.part(part) is None:
        known = [f"{{{FACT}.{'.'.join(filter(None, (name, end)))}}}" for end in fact.parts()]
        yield (
            path,
            f"{where} has {{{reference}}}, which the fact does not have: write "
            f"{' or '.join(known)}.",
        )
    elif _looked_up(rest, table) is None:
        units = [into for of, into in _TIMES if of == fact.unit]
        into = f"; in {' or '.join(units)} it can" if units else ""
        yield (
            path,
            f"{where} has {{{reference}}}, but {fact.unit} cannot be told in {unit}{into}: take "
            "the unit out or name another.",
        )


def _advice(name: str, table: FactTable) -> str:
    near = nearest(name, table.facts)
    return f"did you mean '{near}'?" if near else "add it there with its source."


def _behind(root: dict[str, Json], reference: str) -> Iterator[tuple[str, str]]:
    """The names of the facts behind a reference, also those a setting's options pass on, each
    with the unit it is turned into ("" for its own)."""
    kind, _, rest = reference.partition(".")
    if kind == FACT:
        name, _, unit = split_reference(rest)
        yield name, unit
    options = mapping(mapping(mapping(root.get("settings")).get(kind)).get("options"))
    for option in options.values():
        passed = mapping(option).get(rest or "says")
        for inner in BRACES.findall(passed) if isinstance(passed, str) else ():
            if inner.startswith(f"{FACT}."):
                name, _, unit = split_reference(inner.partition(".")[2])
                yield name, unit


def _told(root: dict[str, Json], path: Path, reference: str, table: FactTable) -> Iterator[Mistake]:
    option_fact = path[0] == "settings" and path[2:3] == ("options",) and path[-1] != "says"
    if not is_reference(reference) and "." not in reference:
        return  # what an option says is told already where it is written
    for name, _ in _behind(root, reference):
        fact = table.facts.get(name)
        if fact is None or fact.kept is None or option_fact:
            continue
        allowed, custom = _WHERE_KEPT[fact.kept]
        if path[-1] not in allowed:
            yield (
                path,
                f"{place(root, path)} tells {{{reference}}}, which is a {fact.kept}: {custom}, so "
                f"use it only as {' or '.join(repr(key) for key in allowed)} of a reading.",
            )
            return


def _other_unit(
    root: dict[str, Json], path: Path, reference: str, table: FactTable
) -> Iterator[Mistake]:
    if path[-1] in _SECONDS:
        unit: str | None = "s"
    elif path[-1] in ("low", "high") and path[-2] in ("count", "pace"):
        unit = "/min"
    elif path[-1] == "minute":
        unit = "min"
    else:
        unit = _unit_at(root, path[:-1])
    for name, turned in _behind(root, reference):
        fact = table.facts.get(name)
        if fact is None or unit is None or (turned or fact.unit) == unit:
            continue
        if unit == Unit.COUNTED and fact.unit in _THINGS:
            continue
        turn = f", or write {{{reference}{_IN_UNIT}{unit}}}" if (fact.unit, unit) in _TIMES else ""
        yield (
            path,
            f"{place(root, path)} is in {unit}, but the fact '{name}' is in {turned or fact.unit}: "
            f"use a fact in {unit}{turn}.",
        )
        return


def _unit_at(root: Json, path: Path) -> str | None:
    value = root
    for key in path:
        if isinstance(value, list) and isinstance(key, int):
            value = value[key]
        else:
            value = mapping(value).get(str(key))
    unit = mapping(value).get("unit")
    return unit if isinstance(unit, str) and unit in list(Unit) else None
