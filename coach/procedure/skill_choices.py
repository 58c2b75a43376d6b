"""A skill file with every choice tried: facts that are missing, ranges, clocks, and cycles."""

from __future__ import annotations

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from math import prod

from coach.core.errors import InputError
from coach.core.units import Quantity, Unit
from coach.procedure.facts import in_words
from coach.procedure.resolve import (
    BRACES,
    Choices,
    Facts,
    every_choice,
    facts_of,
    fill,
    listed,
    mapping,
    number,
    written_fields,
)
from coach.procedure.standing import Standing, choices_for, references_in
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.amounts import parse_pressure
from coach.trade.burns import OLDEST_YEARS

MOST_CHOICES = 300
"""Ways in which the settings of one file may stand together."""

_WHOLE = (
    *("limit-s", "least-s", "calls-every-s", "seconds", "for-s"),
    *("times", "compressions", "breaths"),
)
_COUNTS = ("times", "compressions", "breaths")

Fields = dict[str, tuple[Path, Json]]


def choice_mistakes(root: dict[str, Json], numbers_known: bool = True) -> Iterator[Mistake]:
    """Every mistake that shows with some choice of the settings, once each, with its path.

    Without `numbers_known` some number stands for a fact that is not there, and none is held
    against another.
    """
    facts = {name: options for name, options in facts_of(root.get("settings")).items() if options}
    ways = prod(map(len, facts.values()))
    if ways > MOST_CHOICES:
        yield (
            ("settings",),
            f"the settings can stand together in {ways} ways: keep to {MOST_CHOICES}, with fewer "
            "settings or options.",
        )
        return
    found: dict[Mistake, None] = {}
    for mistake in _with_every_choice(root, facts, numbers_known):
        found.setdefault(mistake)
    yield from found


def _with_every_choice(
    root: dict[str, Json], facts: Facts, numbers_known: bool
) -> Iterator[Mistake]:
    for key in ("table", "cautions", "complications", "never", "repeats"):
        references = references_in(root.get(key))
        for choices in choices_for(root.get(key), facts):
            yield from _missing_facts(root, references, choices)
    steps = listed(root.get("steps"))
    for position, step in enumerate(steps):
        named: dict[Path, tuple[str, ...]] = {}
        for choices in choices_for(step, facts):
            fields = written_fields(step, choices) or {}
            for path, value in fields.values():
                if path not in named:
                    named[path] = references_in(value)
                yield from _missing_facts(root, named[path], choices)
                if numbers_known:
                    yield from _numbers(root, ("steps", position, *path), value, choices, facts)
    for position, repeat in enumerate(listed(root.get("repeats")) if numbers_known else ()):
        for choices in choices_for(repeat, facts):
            yield from _limit(root, ("repeats", position), mapping(repeat), choices, facts)
    yield from _cycles(Standing(steps), facts)


def _numbers(
    root: dict[str, Json], here: Path, value: Json, choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    """What is wrong with the numbers of a step's field with these choices."""
    if here[-1] == "readings":
        yield from _ranges(root, here, value, choices, facts)
    if here[-1] in ("count", "pace"):
        yield from _range(root, here, mapping(value), choices, facts)
    if here[-1] in ("clock", "count", "pace", "since"):
        yield from _limit(root, here, mapping(value), choices, facts)


def _missing_facts(
    root: dict[str, Json], references: tuple[str, ...], choices: Choices
) -> Iterator[Mistake]:
    for reference in references:
        setting, _, name = reference.partition(".")
        options = mapping(mapping(mapping(root.get("settings")).get(setting)).get("options"))
        missing = name and name not in mapping(options.get(choices.get(setting, "")))
        # A fact that no option has is told where it is used.
        if missing and any(name in mapping(known) for known in options.values()):
            yield (
                ("settings", setting, "options", choices[setting]),
                f"option '{choices[setting]}' of setting '{setting}' has no fact '{name}', "
                f"but a text uses {{{reference}}} with it: add the fact.",
            )


def _ranges(
    root: dict[str, Json], path: Path, readings: Json, choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    for position, reading in enumerate(listed(readings)):
        here = (*path, position)
        yield from _range(root, here, mapping(reading), choices, facts)
        yield from _range(root, here, mapping(reading), choices, facts, "lower-")
        yield from _bad(root, here, mapping(reading), choices, facts)
        yield from _burned(root, here, mapping(reading), choices, facts)
        for other, also in enumerate(listed(mapping(reading).get("also"))):
            yield from _range(root, (*here, "also", other), mapping(also), choices, facts)
        yield from _assumed(root, here, mapping(reading), choices, facts)


def _bad(
    root: dict[str, Json], path: Path, reading: dict[str, Json], choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    """Some number that stands has to be bad, and some has not."""
    low, high = (number(reading.get(key), choices, facts) for key in ("low", "high"))
    for key in ("bad-below", "bad-above"):
        written = reading.get(key)
        limit = number(written, choices, facts)
        if limit is None:
            if isinstance(written, str) and _known(written, choices, facts):
                yield (*path, key), _not_a_number(place(root, (*path, key)), written, "a number")
        elif low is not None and high is not None and not low <= limit <= high:
            yield (
                (*path, key),
                f"{place(root, path)} has a {key} of {in_words(limit)}, which is not within "
                f"{in_words(low)} to {in_words(high)}, so no number that stands would tell.",
            )


def _burned(
    root: dict[str, Json], path: Path, reading: dict[str, Json], choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    """A burned area has the age of somebody who may live; nothing else has one."""
    if "burned" not in reading:
        return
    here: Path = (*path, "burned", "age-years")
    if reading.get("quantity") != Quantity.BURNED_AREA:
        yield (
            (*path, "burned"),
            f"{place(root, path)} has 'burned', but is no burned-area: take it out.",
        )
        return
    written = mapping(reading.get("burned")).get("age-years")
    age = number(written, choices, facts)
    if age is None:
        if isinstance(written, str) and _known(written, choices, facts):
            yield here, _not_a_number(place(root, here), written, "a number")
    elif not 0 <= age <= OLDEST_YEARS:
        yield (
            here,
            f"{place(root, here)} is {in_words(age)}, which is no age of a patient: give years "
            f"from 0 to {OLDEST_YEARS:g}.",
        )


def _assumed(
    root: dict[str, Json], path: Path, reading: dict[str, Json], choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    """What is assumed for a training cylinder has to be a pressure, within the reading's range."""
    written = reading.get("assumed")
    if not isinstance(written, str) or not _known(written, choices, facts):
        return
    here: Path = (*path, "assumed")
    where = place(root, here)
    if reading.get("quantity") != Quantity.PRESSURE:
        yield here, f"{where} is for a pressure, and the reading is none: take it out."
        return
    try:
        assumed = parse_pressure(fill(written, choices, facts), "assumed").pressure
    except InputError as error:
        yield here, f"{where}: {error}"
        return
    low, high = (number(reading.get(key), choices, facts) for key in ("low", "high"))
    unit = reading.get("unit")
    if low is None or high is None or unit not in list(Unit):
        return
    value = assumed.in_unit(Unit(str(unit)))
    if not low <= value <= high:
        yield (
            here,
            f"{where} is {in_words(round(value, 1))} {unit}, outside {in_words(low)} to "
            f"{in_words(high)}: assume a pressure that the reading would take.",
        )


def _range(
    root: dict[str, Json],
    here: Path,
    written: dict[str, Json],
    choices: Choices,
    facts: Facts,
    of: str = "",
) -> Iterator[Mistake]:
    low, high = f"{of}low", f"{of}high"
    limits: dict[str, float | int] = {}
    for key in (low, high):
        value = written.get(key)
        found = number(value, choices, facts)
        if found is not None:
            limits[key] = found
        elif isinstance(value, str) and _known(value, choices, facts):
            yield (*here, key), _not_a_number(place(root, (*here, key)), value, "a number")
    if len(limits) == 2 and limits[low] > limits[high]:
        yield (
            (*here, low),
            f"{place(root, here)} has a {low} of {in_words(limits[low])} above its "
            f"{high} of {in_words(limits[high])}: swap or mend them.",
        )


def _limit(
    root: dict[str, Json], path: Path, clock: dict[str, Json], choices: Choices, facts: Facts
) -> Iterator[Mistake]:
    for key in _WHOLE:
        value = clock.get(key)
        if not isinstance(value, str) or not _known(value, choices, facts):
            continue
        found = number(value, choices, facts)
        if found is None or found < 1 or found != int(found):
            here: Path = (*path, key)
            what = "a whole number" if key in _COUNTS else "whole seconds"
            yield here, _not_a_number(place(root, here), value, f"{what}, one or more,")


def _known(value: str, choices: Choices, facts: Facts) -> bool:
    """Whether no reference in the text is told elsewhere as standing for nothing."""
    references = [reference.partition(".") for reference in BRACES.findall(value)]
    return all(
        name in facts.get(setting, {}).get(choices.get(setting, ""), {})
        for setting, _, name in references
    )


def _not_a_number(where: str, value: str, wanted: str) -> str:
    return (
        f'{where} is "{value}", which is not {wanted} with every choice: give a number, or one '
        'fact in braces such as "{patient.limit}".'
    )


def _cycles(standing: Standing, facts: Facts) -> Iterator[Mistake]:
    seen: set[tuple[tuple[int, int], ...]] = set()
    deciding = {name: options for name, options in facts.items() if name in standing.deciding}
    for choices in every_choice(deciding):
        steps = dict(standing.present(choices))
        # By the object: what waits for what is the same wherever the same lists stand.
        order = tuple((position, id(fields.get("after"))) for position, fields in steps.items())
        if order not in seen:
            seen.add(order)
            yield from _cycles_among(steps, standing)


def _cycles_among(steps: dict[int, Fields], standing: Standing) -> Iterator[Mistake]:
    positions: dict[str, int] = {}
    for position in steps:
        name = standing.id_at(position)
        if isinstance(name, str):
            positions.setdefault(name, position)
    edges: dict[str, dict[str, Path]] = {name: {} for name in positions}
    for name, position in positions.items():
        path, after = steps[position].get("after", ((), None))
        for item, prerequisite in enumerate(listed(after)):
            first = mapping(prerequisite).get("step")
            if isinstance(first, str) and first in positions and first != name:
                edges[name][first] = ("steps", position, *path, item)
    while True:
        try:
            TopologicalSorter(edges).prepare()
        except CycleError as error:
            # Each name in the list comes before the next one; the first is the last again.
            ring: list[str] = list(error.args[1])[:0:-1]
            start = min(range(len(ring)), key=lambda place: positions[ring[place]])
            ring = [*ring[start:], *ring[:start]]
            waits = ", ".join(
                f"'{name}' comes after '{first}'" for name, first in pairwise([*ring, ring[0]])
            )
            yield (
                edges[ring[0]].pop(ring[1]),
                f"the steps wait for one another in a circle ({waits}): take one 'after' out.",
            )
        else:
            return
