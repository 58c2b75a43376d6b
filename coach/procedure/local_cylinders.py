"""The oxygen cylinders that a program has otherwise than the table, or that the table lacks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from coach.core.units import UNITS_OF, Quantity, Unit
from coach.procedure.cylinder_section import (
    cylinder_from,
    factor_mistakes,
    fill_mistakes,
    number,
)
from coach.procedure.facts import FactTable
from coach.procedure.resolve import mapping
from coach.procedure.weakening import weakening_mistakes
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.cylinders import REGION_NAMES, Cylinder, OtherText, Region

PUBLISHED = "published"
"""Name under which the table's size stays with a changed one, among what differs."""

_SIZE = ("contents", "full", "unit")
_CHANGES = (*_SIZE, "factor", "usual")


@dataclass(frozen=True, slots=True)
class CylinderChange:
    """One size that a program has: `was` is the table's, None for a letter that the table lacks.

    `weakens` is the reason where a time worked out by it may be longer, or a gauge is believed
    that the table would take for misread.
    """

    was: Cylinder | None
    now: Cylinder
    because: str
    weakens: str = ""

    @property
    def weaker(self) -> str:
        """What is less safe of it, within a spoken sentence; "" for nothing."""
        if self.was is None:
            return ""
        name = f"{_SPOKEN[self.now.region]} cylinder {self.now.letter}"
        if self.now.litres_per_psi > self.was.litres_per_psi:
            factors = (self.now.litres_per_psi, self.was.litres_per_psi)
            return f"{name}, factor {' instead of '.join(f'{factor:g}' for factor in factors)}"
        if _is_filled_higher(self.now, self.was):
            fills = (self.now.full_pressure, self.was.highest_fill)
            told = " instead of ".join(f"{fill.psi:,.0f}" for fill in fills)
            return f"{name}, filled to {told} P S I"
        return ""

    def told(self) -> str:
        """The change as a line to print."""
        if self.was is None:
            return f"{self.now.name}: {shown(self.now)} (not in the table)"
        return f"{self.now.name}: {shown(self.now)} instead of {shown(self.was)}"


_SPOKEN = {**REGION_NAMES, Region.US: "U S", Region.UK: "U K"}


def shown(cylinder: Cylinder) -> str:
    """A cylinder for print: "350 L at 2,200 psi, factor 0.16"."""
    gauge = f"{cylinder.full_pressure.in_unit(cylinder.unit):,.0f} {cylinder.unit}"
    return f"{cylinder.full.litres:,g} L at {gauge}, factor {cylinder.litres_per_psi:g}"


def local_cylinder_mistakes(root: dict[str, Json], table: FactTable) -> Iterator[Mistake]:
    """Every mistake in the `cylinders` of a program's file that a schema does not find."""
    for name, sizes in mapping(root.get("cylinders")).items():
        if name not in list(Region):
            continue
        for letter, written in mapping(sizes).items():
            if isinstance(written, dict) and written:
                path: Path = ("cylinders", name, letter)
                was = table.cylinders.get(Region(name), {}).get(letter)
                yield from _size_mistakes(root, path, written, was)


def _size_mistakes(
    root: dict[str, Json], path: Path, written: dict[str, Json], was: Cylinder | None
) -> Iterator[Mistake]:
    where = place(root, path)
    missing = [key for key in _SIZE if key not in written]
    if was is None and missing:
        known = " and ".join(f"'{key}'" for key in missing)
        yield path, f"the table has no {where}, so this one needs {known}: add what is missing."
        return
    if not written.keys() & set(_CHANGES):
        yield path, f"{where} changes nothing: give contents, full, factor or usual."
        return
    if ("full" in written) != ("unit" in written):
        lone, other = ("full", "unit") if "full" in written else ("unit", "full")
        yield (*path, lone), f"{where} has '{lone}' without '{other}': give both."
        return
    if any(key in written and number(written[key]) is None for key in ("contents", "full")):
        return  # told by the schema
    if written.get("unit", Unit.PSI) not in UNITS_OF[Quantity.PRESSURE]:
        return
    now = _size(written, was, *_place(path))
    slips = [*fill_mistakes(root, path, written, now.unit)]
    slips += factor_mistakes(root, path, written, now.full, now.full_pressure)
    yield from slips
    if not slips:
        weaker = CylinderChange(was, now, "").weaker
        yield from weakening_mistakes(path, place(root, path), written, weaker)


def cylinder_changes(
    root: dict[str, Json], table: FactTable, program: str, source: str
) -> tuple[CylinderChange, ...]:
    """The changes of a program's file that has passed every check.

    `program` is its name, `source` the key of the source that its numbers rest on.
    """
    changes = []
    for name, sizes in mapping(root.get("cylinders")).items():
        for letter, part in mapping(sizes).items():
            written = mapping(part)
            was = table.cylinders.get(Region(name), {}).get(letter)
            because, weakens = str(written["because"]), str(written.get("weakens", ""))
            otherwise = "has this cylinder otherwise" if was else "has this cylinder of its own"
            told = f"{program} {otherwise}: {because}"
            if weakens:
                told += f" It promises more time than what is published: {weakens}"
            now = replace(
                _size(written, was, Region(name), letter),
                sources=(source,),
                because=because,
                note=" ".join(filter(None, (told, str(written.get("note", ""))))),
            )
            changes.append(CylinderChange(was, now, because, weakens))
    return tuple(changes)


def _size(
    written: Mapping[str, Json], was: Cylinder | None, region: Region, letter: str
) -> Cylinder:
    """The size as the program has it; what it does not say is the table's."""
    size: dict[str, Json] = {}
    if was is not None:
        size["contents"], size["unit"] = was.full.litres, str(was.unit)
        size["full"], size["usual"] = was.full_pressure.in_unit(was.unit), was.usual
        if was.printed and not written.keys() & {"contents", "full"}:
            size["factor"] = was.litres_per_psi
    now = cylinder_from(region, letter, {**size, **written})
    if was is None:
        return now
    other = OtherText(
        was.full,
        was.full_pressure,
        was.litres_per_psi if was.printed else None,
        was.sources,
        was.because,
    )
    highest = now.highest_fill if "full" in written else was.highest_fill
    return replace(now, highest_fill=highest, differs={**was.differs, PUBLISHED: other})


def _is_filled_higher(now: Cylinder, was: Cylinder) -> bool:
    # a pressure that went through another unit may differ in its last digits
    return now.full_pressure.psi > was.highest_fill.psi * (1 + 1e-9)


def _place(path: Path) -> tuple[Region, str]:
    return Region(str(path[1])), str(path[2])
