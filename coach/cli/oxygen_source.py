"""The cylinder or vessel of `coach oxygen`, as the options describe it."""

from __future__ import annotations

from dataclasses import dataclass

from coach.cli.answered import answer_or_ask
from coach.core.errors import InputError
from coach.core.units import Pressure, Volume
from coach.trade import amounts, planned_amounts, spoken
from coach.trade.cylinders import (
    REGION_NAMES,
    Cylinder,
    Cylinders,
    Region,
    checked_pressure,
)
from coach.trade.liquid_oxygen import LiquidOxygen, gas_of_liquid
from coach.trade.oxygen import Supply
from coach.trade.spoken_sums import liquid_words
from coach.trade.wording import number_words

NOTHING_KEPT = Pressure(0.0)
"""A factor is the same whatever is kept."""


@dataclass(frozen=True, slots=True)
class Source:
    """What the cylinder is known by.

    `gives` is litres per psi, or all that is left. `highest` is the gauge that cannot be passed,
    `full` the gauge when full (None: unknown), `words` are spoken and `line` is printed. `first` is
    a sentence said before the answer, `kept` what is said of a reserve where there is no gauge.
    """

    words: str
    line: str
    highest: Pressure
    gives: float | Volume
    full: Pressure | None = None
    cylinder: Cylinder | None = None
    first: str = ""
    kept: str = "no reserve kept"

    @property
    def litres_per_psi(self) -> float | None:
        """The factor, or None where only the contents are known."""
        return None if isinstance(self.gives, Volume) else self.gives

    def data(self) -> dict[str, object]:
        """What programs are told of it."""
        return {
            "factor_l_per_psi": self.litres_per_psi,
            "cylinder": self.cylinder.letter if self.cylinder else None,
            "region": self.cylinder.region.value if self.cylinder else None,
        }


@dataclass(frozen=True, slots=True)
class SourceOptions:
    """The options that say what the oxygen comes from, as written."""

    cylinder: str | None = None
    factor: str | None = None
    contents: str | None = None
    water: str | None = None
    liquid: str | None = None
    filled: str | None = None
    full: str | None = None
    region: Region | None = None


def source_of(options: SourceOptions, cylinders: Cylinders, liquid: LiquidOxygen) -> Source:
    """What the oxygen comes from; InputError where none, several or an impossible one is given.

    `cylinders` are those that a letter may name, `liquid` says what liquid oxygen gives.
    """
    given = [
        f"--{name}"
        for name in ("cylinder", "factor", "contents", "water", "liquid")
        if getattr(options, name) is not None
    ]
    if len(given) != 1:
        so_far = f"you gave {' and '.join(given)}" if given else "none was given"
        raise InputError(
            "Which cylinder is it? Give exactly one of --cylinder, --factor, --contents, --water "
            f"and --liquid; {so_far}."
        )
    if options.full is not None and options.contents is None:
        raise InputError("--full goes with --contents: leave it out, or give the contents.")
    if options.filled is not None and options.liquid is None:
        raise InputError("--filled goes with --liquid: leave it out, or give the liquid.")
    region = options.region
    if options.cylinder is not None:
        return _of_letter(cylinders.find(options.cylinder, region or Region.US), cylinders)
    if options.factor is not None:
        factor = amounts.parse_factor(options.factor, "--factor")
        return _of_factor(factor, cylinders.highest_plausible_in(region or Region.US))
    if options.water is not None:
        # Water capacity is the custom of many countries, so no one country's fill is assumed.
        litres = amounts.parse_water(options.water, "--water")
        return _of_water(litres, cylinders.highest_plausible_in(region))
    if options.liquid is not None:
        highest = cylinders.highest_plausible_in()
        return _of_liquid(options.liquid, options.filled, liquid, highest)
    contents = amounts.parse_litres(str(options.contents), "--contents")
    return _of_contents(contents, options.full, cylinders)


def _of_letter(cylinder: Cylinder, cylinders: Cylinders) -> Source:
    return Source(
        words=spoken.cylinder_words(cylinder),
        line=f"{REGION_NAMES[cylinder.region]} size {cylinder.letter}, {cylinder.full.litres:g} L "
        f"at {cylinder.full_pressure.psi:.0f} psi when full, {cylinder.litres_per_psi:g} L per psi",
        highest=cylinders.highest_plausible(cylinder.highest_fill),
        gives=cylinder.litres_per_psi,
        full=cylinder.highest_fill,
        cylinder=cylinder,
    )


def _of_factor(factor: float, highest: Pressure) -> Source:
    return Source(
        words=spoken.factor_words(factor),
        line=f"{factor:g} L per psi",
        highest=highest,
        gives=factor,
    )


def _of_water(litres: float, highest: Pressure) -> Source:
    unit = "liter" if litres == 1 else "liters"
    return Source(
        words=f"{number_words(litres)} {unit} of water times the gauge in bar",
        line=f"{litres:g} L water capacity, so {litres:g} L of oxygen per bar",
        highest=highest,
        gives=Supply.of_water(litres, NOTHING_KEPT).litres_per_psi,
    )


def _of_contents(contents: Volume, full: str | None, cylinders: Cylinders) -> Source:
    litres = contents.litres
    words = f"{number_words(litres)} {'liter' if litres == 1 else 'liters'}"
    if full is None:
        return Source(
            words=f"all of {words} used",
            line=f"{litres:g} L left, all of it used",
            highest=cylinders.highest_plausible_in(),
            gives=contents,
        )
    written = amounts.parse_pressure(full, "--full")
    supply = Supply.in_proportion(contents, written.pressure, NOTHING_KEPT)
    checked_pressure(written.pressure, cylinders.highest_plausible_in(), f"--full {written}")
    return Source(
        words=f"{words} when full at {written.words}",
        line=f"{litres:g} L at {written} when full",
        highest=cylinders.highest_plausible(written.pressure),
        gives=supply.litres_per_psi,
        full=written.pressure,
    )


def _of_liquid(written: str, filled: str | None, liquid: LiquidOxygen, highest: Pressure) -> Source:
    amount, unit = planned_amounts.parse_liquid(written, "--liquid")
    percent = planned_amounts.parse_percent(filled, "--filled") if filled is not None else 100.0
    gas = answer_or_ask(gas_of_liquid(amount, unit, liquid, percent), "--liquid, --filled")
    held = f", {percent:g} % full" if filled is not None else ""
    return Source(
        words="if nothing boils away",
        line=f"{amount:g} {unit} of liquid oxygen{held}, about {gas.litres:.0f} L of gas",
        highest=highest,
        gives=gas,
        first=liquid_words(amount * percent / 100, unit, gas),
        kept="",
    )
