"""Oxygen cylinders by country and letter: what a size holds when full, and what of that to trust.

A letter is no size until the country is known. Which sizes there are, what they hold and who says
so stands in the table of facts; here is what follows from it. Where published contents differ the
lowest is taken, and a factor of our own is rounded down, so that a time errs on the short side.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from coach.core.errors import InputError
from coach.core.units import Pressure, Unit, Volume


class Region(StrEnum):
    """Where the cylinder letters come from."""

    US = "us"
    UK = "uk"
    ANZ = "anz"


REGION_NAMES = {
    Region.US: "US",
    Region.UK: "UK",
    Region.ANZ: "Australian and New Zealand",
}

_FACTOR_STEPS = 1000
"""A factor of our own has three decimals: printed ones have two or three."""


def derived_factor(full: Volume, full_pressure: Pressure) -> float:
    """Litres per psi of a cylinder by its contents when full, rounded down to three decimals."""
    exact = full.litres / full_pressure.psi
    # 0.608 must not become 0.607 by the rounding of the division
    return math.floor(exact * _FACTOR_STEPS + 1e-9) / _FACTOR_STEPS


@dataclass(frozen=True, slots=True)
class OtherText:
    """What another text gives for a size; None for what it does not say. `sources` are keys."""

    full: Volume | None
    full_pressure: Pressure | None
    factor: float | None
    sources: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One size: contents when full, the gauge when full, and the factor in litres per psi.

    `unit` is the unit in which the gauge is published. `printed` tells whether the factor is a
    printed one; else it is `derived_factor`. `highest_fill` is the highest full gauge that any text
    lists for this size. `sources` are keys of the table of facts. `note` is a sentence for the
    learner, or empty. `because` says why this and not what another text has, `exception` why it is
    not the one that promises least. `usual` sizes are named where the coach asks which one is used.
    """

    region: Region
    letter: str
    full: Volume
    full_pressure: Pressure
    litres_per_psi: float
    highest_fill: Pressure
    sources: tuple[str, ...]
    unit: Unit = Unit.PSI
    printed: bool = False
    note: str = ""
    because: str = ""
    exception: str = ""
    usual: bool = False
    differs: Mapping[str, OtherText] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """For print: "US cylinder D"."""
        return f"{REGION_NAMES[self.region]} cylinder {self.letter}"

    def factor_of(self, other: OtherText) -> float:
        """Litres per psi by another text; where it does not say the gauge, this size's counts."""
        if other.factor is not None:
            return other.factor
        return (other.full or self.full).litres / (other.full_pressure or self.full_pressure).psi


@dataclass(frozen=True, slots=True)
class Cylinders:
    """All sizes that are known, by region and letter.

    `overfill` is the share of the fill by which a gauge may stand above it: one that stands higher
    was misread.
    """

    listed: Mapping[Region, Mapping[str, Cylinder]]
    overfill: float

    def letters(self, region: Region) -> tuple[str, ...]:
        """The letters of a region, in the order of the table."""
        return tuple(self.listed.get(region, {}))

    def usual(self, region: Region) -> tuple[Cylinder, ...]:
        """The sizes that are named in a question, of a region; all of them where none is marked."""
        known = tuple(self.listed.get(region, {}).values())
        return tuple(cylinder for cylinder in known if cylinder.usual) or known

    def find(self, letter: str, region: Region = Region.US) -> Cylinder:
        """The cylinder of that letter, in either case; InputError names the known ones."""
        wanted = letter.strip().upper()
        found = self.listed.get(region, {}).get(wanted)
        if found is not None:
            return found
        elsewhere = [other for other in Region if wanted in self.listed.get(other, {})]
        hint = (
            f" {wanted} is listed for {' and '.join(elsewhere)}: give --region {elsewhere[0]} if "
            "that is where it was filled."
            if elsewhere
            else ""
        )
        raise InputError(
            f'There is no {REGION_NAMES[region]} cylinder "{letter.strip()}": known are '
            f"{', '.join(self.letters(region))}; the letters differ by country.{hint}"
        )

    def highest_plausible(self, full_pressure: Pressure) -> Pressure:
        """A gauge above this cannot be right on a cylinder filled to that pressure."""
        return Pressure(full_pressure.psi * (1 + self.overfill))

    def highest_plausible_in(self, region: Region | None = None) -> Pressure:
        """A gauge above this cannot be right in the region (None: in any)."""
        regions = (region,) if region is not None else tuple(Region)
        fills = (each.highest_fill for r in regions for each in self.listed.get(r, {}).values())
        return self.highest_plausible(max(fills))


NO_CYLINDERS = Cylinders({}, 0.0)
"""For a skill that nobody is going to practise: that of an attempt which is judged again."""


def checked_pressure(pressure: Pressure, highest: Pressure, said: str) -> Pressure:
    """The pressure, or InputError when it is negative, no number, or above `highest`.

    `said` is how the user gave it, for the message.
    """
    if not pressure.psi >= 0:
        raise InputError(f"A gauge pressure of {said} makes no sense: read the gauge again.")
    if pressure > highest:
        raise InputError(
            f"{said} is more than any such cylinder holds (at most about {highest.psi:.0f} psi, "
            f"{highest.bar:.0f} bar): read the gauge, the unit and the region again."
        )
    return pressure
