"""The oxygen cylinders of a table of facts: what is wrong with them, and what they are."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from coach.core.units import UNITS_OF, Pressure, Quantity, Unit, Volume
from coach.procedure.facts import EXCEPTION
from coach.procedure.filler import texts
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, did_you_mean, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.cylinders import Cylinder, OtherText, Region, derived_factor
from coach.trade.runs import HIGHEST_GAUGE_PSI

LEAST_FILL_PSI = 1000.0
"""No size is filled to less (common practice, no source; the lowest that is printed are 1,740 psi,
120 bar, in Asia): less is a slip of the unit."""

MOST_OVER, MOST_UNDER = 0.01, 0.05
"""Shares by which a printed factor may lie over and under contents by pressure: printed ones are
rounded, 0.16 for 350 liters at 2,200 psi (0.6 % over), 3 for 6,900 (4 % under)."""

Listed = Mapping[Region, Mapping[str, Cylinder]]


def cylinder_mistakes(
    root: dict[str, Json], sources: Collection[str], beside: Listed
) -> Iterator[Mistake]:
    """Every mistake in the `cylinders` of a table that a schema does not find.

    `sources` are the keys that may be named, `beside` the cylinders of a table this one adds to.
    """
    for name, sizes in mapping(root.get("cylinders")).items():
        for letter, written in mapping(sizes).items():
            path: Path = ("cylinders", name, letter)
            size = mapping(written)
            known = beside.get(Region(name), {}) if name in list(Region) else {}
            if letter in known:
                yield (
                    path,
                    f"the {known[letter].name} is in the program's table already: take it out; a "
                    "local program's file may change it.",
                )
            yield from unknown_sources(root, path, size, sources)
            for other, differing in mapping(size.get("differs")).items():
                part = mapping(differing)
                yield from unknown_sources(root, (*path, "differs", other), part, sources)
            yield from _size_mistakes(root, path, size)


def unknown_sources(
    root: Json, path: Path, part: dict[str, Json], known: Collection[str]
) -> Iterator[Mistake]:
    """The sources that a part of a table names and nobody has."""
    for number, key in enumerate(listed(part.get("sources"))):
        if isinstance(key, str) and key not in known:
            yield (
                (*path, "sources", number),
                f"{place(root, path)} names the source '{key}', which is not among the sources: "
                f"{did_you_mean(key, known, 'sources')}",
            )


def _size_mistakes(root: Json, path: Path, size: dict[str, Json]) -> Iterator[Mistake]:
    unit, full = size.get("unit"), number(size.get("full"))
    contents = number(size.get("contents"))
    if unit not in UNITS_OF[Quantity.PRESSURE] or full is None or contents is None:
        return  # told by the schema
    where, unit = place(root, path), Unit(str(unit))
    yield from fill_mistakes(root, path, size, unit)
    yield from factor_mistakes(root, path, size, Volume(contents), Pressure.of(full, unit))
    differs = mapping(size.get("differs"))
    if differs and "because" not in size:
        yield (
            path,
            f"{where} has values that differ and no 'because': say why the default is the default.",
        )
    for other, written in differs.items():
        part, here = mapping(written), (*path, "differs", other)
        if part and not part.keys() & {"contents", "full", "factor"}:
            yield here, f"{place(root, here)} has no value: give contents, full or factor."
        yield from fill_mistakes(root, here, part, unit)
        holds, filled = number(part.get("contents")), number(part.get("full")) or full
        if holds is not None:
            gauge = Pressure.of(filled, unit)
            yield from factor_mistakes(root, here, part, Volume(holds), gauge)
    yield from _promise_mistakes(root, path, size, cylinder_from(Region.US, "", size))


def fill_mistakes(root: Json, path: Path, part: dict[str, Json], unit: Unit) -> Iterator[Mistake]:
    """A full gauge that no cylinder has."""
    full = number(part.get("full"))
    if full is None:
        return
    psi = Pressure.of(full, unit).psi
    if not LEAST_FILL_PSI <= psi <= HIGHEST_GAUGE_PSI:
        yield (
            (*path, "full"),
            f"{place(root, path)} is full at {full:g} {unit}, which no oxygen cylinder is: check "
            "the number and the unit.",
        )


def factor_mistakes(
    root: Json, path: Path, part: dict[str, Json], contents: Volume, full: Pressure
) -> Iterator[Mistake]:
    """A factor that contents and pressure do not come to."""
    factor = number(part.get("factor"))
    exact = contents.litres / full.psi
    if factor is not None and not 1 - MOST_UNDER <= factor / exact <= 1 + MOST_OVER:
        yield (
            (*path, "factor"),
            f"{place(root, path)} has the factor {factor:g}, but {contents.litres:g} L at "
            f"{full.psi:.0f} psi come to {exact:.3g} liters per psi: mend what is wrong, or take "
            "'factor' out, and it is worked out.",
        )


def _promise_mistakes(
    root: Json, path: Path, size: dict[str, Json], cylinder: Cylinder
) -> Iterator[Mistake]:
    lower = False
    for name, other in cylinder.differs.items():
        theirs = cylinder.factor_of(other)
        if cylinder.litres_per_psi <= theirs:
            continue
        lower = True
        if EXCEPTION not in size:
            yield (
                (*path, "differs", name),
                f"{place(root, path)} has the factor {cylinder.litres_per_psi:g}, and '{name}' "
                f"comes to {theirs:.3g}, which promises less time: make that the default, or say "
                f"in '{EXCEPTION}' why it is not.",
            )
    if EXCEPTION in size and not lower:
        yield (
            (*path, EXCEPTION),
            f"{place(root, path)} has '{EXCEPTION}', but no other text promises less: take it out.",
        )


def cylinders_from(written: dict[str, Json]) -> Listed:
    """The cylinders of a section that has passed every check."""
    return {
        Region(name): {
            letter: cylinder_from(Region(name), letter, mapping(size))
            for letter, size in mapping(sizes).items()
        }
        for name, sizes in written.items()
    }


def cylinder_from(region: Region, letter: str, written: dict[str, Json]) -> Cylinder:
    """One cylinder; `contents`, `full` and `unit` are numbers and a unit of pressure."""
    unit = Unit(str(written["unit"]))
    full, gauge = _amount(written, "contents"), Pressure.of(_amount(written, "full"), unit)
    factor = number(written.get("factor"))
    differs = {
        name: _other(mapping(other), unit)
        for name, other in mapping(written.get("differs")).items()
    }
    fills = [gauge, *(other.full_pressure for other in differs.values() if other.full_pressure)]
    return Cylinder(
        region,
        letter,
        Volume(full),
        gauge,
        derived_factor(Volume(full), gauge) if factor is None else factor,
        max(fills),
        texts(written.get("sources")),
        unit,
        factor is not None,
        str(written.get("note", "")),
        str(written.get("because", "")),
        str(written.get(EXCEPTION, "")),
        written.get("usual") is True,
        differs,
    )


def _other(written: dict[str, Json], unit: Unit) -> OtherText:
    contents, full = number(written.get("contents")), number(written.get("full"))
    return OtherText(
        None if contents is None else Volume(contents),
        None if full is None else Pressure.of(full, unit),
        number(written.get("factor")),
        texts(written.get("sources")),
        str(written.get("note", "")),
    )


def number(value: Json) -> float | None:
    """A number above zero as written; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float) or value <= 0:
        return None
    return float(value)


def _amount(written: dict[str, Json], key: str) -> float:
    return float(str(written[key]))
