"""Names in a skill file that must stand for something in it: steps, settings, options, sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coach.core.units import UNITS_OF, Quantity, Unit
from coach.procedure.build_score import score_mistakes
from coach.procedure.build_timing import clock_mistakes
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, did_you_mean, nearest, place
from coach.procedure.yaml_tree import Json, Path


def reference_mistakes(
    root: dict[str, Json], table_sources: Iterable[str] = ()
) -> Iterator[Mistake]:
    """Every name that is given twice or stands for nothing, with its path.

    `table_sources` are the keys of sources that may be named beside the file's own.
    """
    yield from _twice(root, ("steps",), "id", "steps")
    yield from _twice(root, ("complications",), "id", "complications")
    yield from _twice(root, ("never",), "id", "forbidden acts")
    yield from _twice(root, ("repeats",), "id", "repeats")
    for number, repeat in enumerate(listed(root.get("repeats"))):
        yield from _repeat(root, ("repeats", number), mapping(repeat))
    yield from _defaults(root)
    own = mapping(root.get("sources"))
    known = {*own, *table_sources}
    for here, key in _source_keys(root, ()):
        if key not in known:
            near = nearest(key, known)
            yield (
                here,
                f"{place(root, here[:-2])} names the source '{key}', which is not among the "
                "top-level sources: "
                + (f"did you mean '{near}'?" if near else did_you_mean(key, own, "sources")),
            )
    for number, step in enumerate(listed(root.get("steps"))):
        path: Path = ("steps", number)
        own_id = mapping(step).get("id")
        yield from _step(root, path, mapping(step), own_id)
        for position, variant in enumerate(listed(mapping(step).get("variants"))):
            yield from _step(root, (*path, "variants", position), mapping(variant), own_id)
    for number, complication in enumerate(listed(root.get("complications"))):
        yield from _complication(root, ("complications", number), mapping(complication))
    for number, act in enumerate(listed(root.get("never"))):
        yield from _forbidden(root, ("never", number), mapping(act))


def ids(root: dict[str, Json], key: str) -> list[str]:
    """The ids in the list `steps` or `complications`, in order, those that are text."""
    found = (mapping(item).get("id") for item in listed(root.get(key)))
    return [name for name in found if isinstance(name, str)]


def _twice(value: dict[str, Json], path: Path, key: str, what: str) -> Iterator[Mistake]:
    seen: set[str] = set()
    for number, item in enumerate(listed(value.get(str(path[-1])))):
        name = mapping(item).get(key)
        if isinstance(name, str):
            if name in seen:
                message = f"two {what} have the {key} '{name}': give each its own."
                yield (*path, number, key), message
            seen.add(name)


def _defaults(root: dict[str, Json]) -> Iterator[Mistake]:
    for name, setting in mapping(root.get("settings")).items():
        default, options = mapping(setting).get("default"), mapping(mapping(setting).get("options"))
        if isinstance(default, str) and options and default not in options:
            yield (
                ("settings", name, "default"),
                f"the default of setting '{name}' is '{default}', which is not among its options: "
                f"{did_you_mean(default, options, 'options')}",
            )


def sources_named(root: dict[str, Json]) -> tuple[str, ...]:
    """The keys of the sources that stand behind anything in the file, each once."""
    return tuple(dict.fromkeys(key for _, key in _source_keys(root, ())))


def _source_keys(value: Json, path: Path) -> Iterator[tuple[Path, str]]:
    children: Iterable[tuple[str | int, Json]] = (
        mapping(value).items() if isinstance(value, dict) else enumerate(listed(value))
    )
    for key, child in children:
        if key == "sources" and path:
            for number, source in enumerate(listed(child)):
                if isinstance(source, str):
                    yield (*path, key, number), source
        elif path or key != "sources":
            yield from _source_keys(child, (*path, key))


def _step(
    root: dict[str, Json], path: Path, written: dict[str, Json], own_id: Json
) -> Iterator[Mistake]:
    where = place(root, path)
    yield from _choice(root, (*path, "when"), mapping(written.get("when")))
    yield from _after(root, path, written, own_id)
    settings = mapping(root.get("settings"))
    chooses = written.get("chooses")
    if isinstance(chooses, str) and chooses not in settings:
        yield (
            (*path, "chooses"),
            f"{where} chooses '{chooses}', which is no setting: "
            f"{did_you_mean(chooses, settings, 'settings')}",
        )
    complication, known = written.get("complication"), ids(root, "complications")
    if isinstance(complication, str) and complication not in known:
        yield (
            (*path, "complication"),
            f"{where} belongs to the complication '{complication}', which is not in the file: "
            f"{did_you_mean(complication, known, 'complications')}",
        )
    until = mapping(written.get("since")).get("until")
    if isinstance(until, str) and until not in ids(root, "steps"):
        yield (
            (*path, "since", "until"),
            f"'since' of {where} ends with '{until}', which is no step: "
            f"{did_you_mean(until, ids(root, 'steps'), 'steps')}",
        )
    yield from clock_mistakes(root, path, written)
    yield from score_mistakes(root, path, written, own_id)
    for number, wrong in enumerate(listed(written.get("wrong"))):
        yield from _span(root, (*path, "wrong", number), mapping(wrong))
    brings = written.get("brings")
    if isinstance(brings, str) and brings not in known:
        yield (
            (*path, "brings"),
            f"{where} brings the complication '{brings}', which is not in the file: "
            f"{did_you_mean(brings, known, 'complications')}",
        )
    yield from _twice(written, (*path, "readings"), "name", f"readings of {where}")
    for number, reading in enumerate(listed(written.get("readings"))):
        yield from _unit(root, (*path, "readings", number), mapping(reading))
        for other, also in enumerate(listed(mapping(reading).get("also"))):
            here: Path = (*path, "readings", number, "also", other)
            own = {"quantity": mapping(reading).get("quantity"), **mapping(also)}
            yield from _unit(root, here, own)
        yield from _taken_by(root, (*path, "readings", number), mapping(reading))
        yield from _brings_nothing(root, (*path, "readings", number), mapping(reading), written)


def _after(
    root: dict[str, Json], path: Path, written: dict[str, Json], own_id: Json
) -> Iterator[Mistake]:
    known, where, seen = ids(root, "steps"), place(root, path), set()
    for number, prerequisite in enumerate(listed(written.get("after"))):
        first = mapping(prerequisite).get("step")
        here = (*path, "after", number, "step")
        if not isinstance(first, str):
            continue
        if first == own_id:
            yield here, f"{where} comes after itself: name another step or take it out."
        elif first not in known:
            yield (
                here,
                f"{where} comes after '{first}', which is no step: "
                f"{did_you_mean(first, known, 'steps')}",
            )
        elif first in seen:
            yield here, f"{where} comes after '{first}' twice: take one out."
        seen.add(first)


def _choice(root: dict[str, Json], path: Path, choice: dict[str, Json]) -> Iterator[Mistake]:
    settings = mapping(root.get("settings"))
    for name, wanted in choice.items():
        here, where = (*path, name), place(root, path)
        if name not in settings:
            yield (
                here,
                f"{where} names '{name}', which is no setting: "
                f"{did_you_mean(name, settings, 'settings')}",
            )
            continue
        options = mapping(mapping(settings[name]).get("options"))
        for option in wanted if isinstance(wanted, list) else [wanted]:
            if isinstance(option, str) and options and option not in options:
                yield (
                    here,
                    f"{where} names '{option}', which is no option of setting '{name}': "
                    f"{did_you_mean(option, options, 'options')}",
                )


def _unit(root: dict[str, Json], path: Path, reading: dict[str, Json]) -> Iterator[Mistake]:
    quantity, unit = reading.get("quantity"), reading.get("unit")
    if quantity not in list(Quantity) or unit not in list(Unit):
        return
    units = [str(known) for known in UNITS_OF[Quantity(str(quantity))]]
    if unit not in units:
        yield (
            (*path, "unit"),
            f"{place(root, path)} is in {unit}, which is no unit of {quantity}: use "
            f"{' or '.join(units)}.",
        )


def _taken_by(root: dict[str, Json], path: Path, reading: dict[str, Json]) -> Iterator[Mistake]:
    """Only a blood pressure by ear has a lower number, and that needs a range of its own."""
    where, by = place(root, path), reading.get("by")
    if by is not None and reading.get("quantity") != Quantity.BLOOD_PRESSURE:
        yield (
            (*path, "by"),
            f"{where} is taken by {by}, but is no blood pressure: take 'by' out.",
        )
    if reading.get("sums") is True and by != "ear":
        yield (
            (*path, "sums"),
            f"{where} has 'sums', but only a pressure taken 'by: ear' has the two numbers for "
            "them: add that or take it out.",
        )
    for key in ("lower-low", "lower-high"):
        if by == "ear" and key not in reading:
            yield (
                (*path, "by"),
                f"{where} is taken by ear and has no '{key}': add the range of the lower number.",
            )
        elif by != "ear" and key in reading:
            yield (
                (*path, key),
                f"{where} has '{key}', but only a pressure taken 'by: ear' has a lower number: "
                "add that or take it out.",
            )


def _brings_nothing(
    root: dict[str, Json], path: Path, reading: dict[str, Json], step: dict[str, Json]
) -> Iterator[Mistake]:
    """A bad number brings what its step brings: without that it would do nothing."""
    for key in ("bad-below", "bad-above"):
        if key in reading and "brings" not in step:
            yield (
                (*path, key),
                f"{place(root, path)} has '{key}', but its step brings nothing: add 'brings' with "
                "a complication to the step, or take it out.",
            )


def _complication(root: dict[str, Json], path: Path, written: dict[str, Json]) -> Iterator[Mistake]:
    known, where = ids(root, "steps"), place(root, path)
    after = written.get("after")
    named: list[tuple[Path, Json]] = [((*path, "after"), after)]
    named += [
        ((*path, "reopens", number), step)
        for number, step in enumerate(listed(written.get("reopens")))
    ]
    for here, step in named:
        if isinstance(step, str) and step not in known:
            advice = did_you_mean(step, known, "steps")
            yield here, f"{where} names '{step}', which is no step: {advice}"
    yield from _choice(root, (*path, "sets"), mapping(written.get("sets")))


def _forbidden(root: dict[str, Json], path: Path, act: dict[str, Json]) -> Iterator[Mistake]:
    known, where = ids(root, "steps"), place(root, path)
    if isinstance(act.get("id"), str) and act["id"] in known:
        yield (
            (*path, "id"),
            f"{where} has the id of a step: give it another, for the words are told apart by it.",
        )
    yield from _span(root, path, act)
    yield from _choice(root, (*path, "when"), mapping(act.get("when")))


def _span(root: dict[str, Json], path: Path, written: dict[str, Json]) -> Iterator[Mistake]:
    """The steps from and until whose end something counts."""
    known, where = ids(root, "steps"), place(root, path)
    for key in ("from", "until"):
        step = written.get(key)
        if isinstance(step, str) and step not in known:
            advice = did_you_mean(step, known, "steps")
            yield (*path, key), f"{where} counts {key} '{step}', which is no step: {advice}"


def _repeat(root: dict[str, Json], path: Path, repeat: dict[str, Json]) -> Iterator[Mistake]:
    known, where = ids(root, "steps"), place(root, path)
    for number, step in enumerate(listed(repeat.get("steps"))):
        if isinstance(step, str) and step not in known:
            advice = did_you_mean(step, known, "steps")
            here: Path = (*path, "steps", number)
            yield here, f"{where} repeats '{step}', which is no step: {advice}"
    yield from _choice(root, (*path, "when"), mapping(repeat.get("when")))
