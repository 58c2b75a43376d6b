"""The oxygen cylinders by country and letter, with where each number comes from.

A letter is no size until the country is known. Where published contents differ, the lowest is
taken, and a factor of our own is rounded down, so that a time errs on the short side. The US
letters D, E and G carry the textbook factors. That of M (1.56) fits 3,450 litres, so M goes by the
3,000 that two texts print; that of H and K (3.14) is printed as 3 too, which is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
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

FILL_MARGIN = 1.1
"""A gauge above this many times the highest listed fill was misread (US cylinders marked "+" may
be filled 10 % over their service pressure: respiratorytherapyzone.com, cylinder markings)."""

SOURCES = {
    "virginia-2010": "Oxygen Cylinder Guidance, October 2010, applying Virginia 12VAC5-31-860: "
    "https://www.scribd.com/document/540999228/Oxygen-Cylinder-Guidance",
    "aaos": "How-to article crediting the American Academy of Orthopaedic Surgeons with the five "
    "factors, read in translation (weak): "
    "https://no.265health.com/forhold-behandlinger/respirasjonsproblemer/1004018860.html",
    "fda": "openFDA drug listings for oxygen (package volumes): "
    "https://api.fda.gov/drug/ndc.json?search=product_ndc:%2266878-001%22",
    "m-sizes": "Table of M sizes at 2,200 psi (weak): "
    "https://www.godigit.com/health-insurance/diseases/novel-coronavirus/oxygen-cylinders",
    "ehow": "How to calculate the duration of an oxygen cylinder, which rounds the factor of H and "
    "K to 3 (weak): http://www.ehow.co.uk/how_7166423_calculate-oxygen-cylinder-duration.html",
    "statpearls": "StatPearls, Gas Cylinders: "
    "http://knowledge.statpearls.com/chapter/anesthesiology/22059/",
    "de-anza": "Medical cylinder sizes citing De Anza College (weak): "
    "https://www.reference.com/world-view/"
    "standard-medical-oxygen-cylinder-sizes-aa68e6c2c3c8ea74",
    "lutman": "Lutman and Petros, Emerg Med J 2006;23:703-4, doi 10.1136/emj.2005.026724",
    "expedition": "Baniya S, oxygen cylinder life, July 2022 (factor = litres / 2,000): "
    "https://theexpeditiondoc.com/tag/lifespanofoxygencylinder/",
    "tsanz": "Thoracic Society of Australia and New Zealand, domiciliary oxygen, 2014, table as "
    "adapted at https://etg-complete-oxy.netlify.app/respiratory/rsg/c_rsg6-c32-s5-3",
    "oz-gases": "Medical gases, sizes in Australia (C 400-490 L): "
    "https://www.ozemedicine.com/wiki/doku.php?id=medical_gases",
    "deranged": "Full gauge zone 12,000-17,000 kPa, of which the top is taken, so that the factor "
    "errs low: https://derangedphysiology.com/main/required-reading/equipment-and-procedures/"
    "Chapter%203.3.1/oxygen-cylinder-and-flow-rotameter",
    "memory-us-charts": "From memory: US cylinder charts; not checked",
    "memory-uk-sheets": "From memory: UK suppliers' data sheets; not checked",
}
"""Source strings by key."""


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One size: contents when full, the gauge when full, and the factor in litres per psi.

    `textbook` is the factor that courses print, None where there is none; where another published
    one promises less time, that one is `litres_per_psi`. Without a printed factor it is contents
    over pressure, rounded down. `highest_fill` is the highest full gauge listed for any make of
    this size. `note` is a sentence for the learner, or empty. `sources` are keys of SOURCES.
    """

    region: Region
    letter: str
    full: Volume
    full_pressure: Pressure
    litres_per_psi: float
    textbook: float | None
    highest_fill: Pressure
    sources: tuple[str, ...]
    note: str = ""

    @property
    def highest_plausible(self) -> Pressure:
        """A gauge above this cannot be right."""
        return Pressure(self.highest_fill.psi * FILL_MARGIN)


_ALUMINUM = (
    "An aluminum {letter} holds more than this factor says ({litres} liters at 2216 psi), "
    "so the time errs on the short side."
)
_OLD_FILL = 2200.0
_ALUMINUM_FILL = 2216.0


def _us(
    letter: str,
    litres: float,
    psi: float,
    factor: float,
    *sources: str,
    textbook: float | None = None,
    highest: float | None = None,
    note: str = "",
) -> Cylinder:
    return Cylinder(
        Region.US,
        letter,
        Volume(litres),
        Pressure(psi),
        factor,
        textbook,
        Pressure(highest or psi),
        sources,
        note,
    )


def _metric(
    region: Region,
    letter: str,
    litres: float,
    bar: float,
    factor: float,
    *sources: str,
    textbook: float | None = None,
    note: str = "",
) -> Cylinder:
    full = Pressure.of(bar, Unit.BAR)
    return Cylinder(region, letter, Volume(litres), full, factor, textbook, full, sources, note)


_US_CYLINDERS = (
    _us("A", 113, _ALUMINUM_FILL, 0.050, "fda", "memory-us-charts"),
    _us("B", 164, _ALUMINUM_FILL, 0.074, "fda", "m-sizes"),
    _us("C", 240, _ALUMINUM_FILL, 0.108, "fda", "m-sizes", "memory-us-charts"),
    _us(
        "D",
        350,
        _OLD_FILL,
        0.16,
        "virginia-2010",
        "aaos",
        "statpearls",
        textbook=0.16,
        highest=_ALUMINUM_FILL,
        note=_ALUMINUM.format(letter="D", litres=425),
    ),
    _us(
        "E",
        625,
        _OLD_FILL,
        0.28,
        "virginia-2010",
        "aaos",
        "fda",
        textbook=0.28,
        highest=_ALUMINUM_FILL,
        note=_ALUMINUM.format(letter="E", litres=680),
    ),
    _us(
        "M",
        3000,
        _OLD_FILL,
        1.36,
        "virginia-2010",
        "aaos",
        "statpearls",
        "de-anza",
        textbook=1.56,
        note="Courses print the factor 1.56, which fits an M of 3450 liters; many hold 3000. If "
        "the label says 3450, give --factor 1.56.",
    ),
    _us("G", 5300, _OLD_FILL, 2.41, "aaos", "de-anza", textbook=2.41),
    *(
        _us(
            letter,
            6900,
            _OLD_FILL,
            3,
            "virginia-2010",
            "aaos",
            "de-anza",
            "ehow",
            textbook=3.14,
            note="Courses print the factor 3.14, some texts round it to 3: the shorter time is "
            "told. If your course uses 3.14, give --factor 3.14.",
        )
        for letter in ("H", "K")
    ),
    _us("M4", 113, _ALUMINUM_FILL, 0.050, "fda", "memory-us-charts"),
    _us("M6", 164, _ALUMINUM_FILL, 0.074, "fda", "m-sizes"),
    _us("ML6", 165, _ALUMINUM_FILL, 0.074, "fda", "m-sizes"),
    _us("M9", 248, _ALUMINUM_FILL, 0.111, "fda", "m-sizes"),
    _us("M15", 415, _ALUMINUM_FILL, 0.187, "fda", "statpearls", "de-anza"),
    _us("M22", 640, _ALUMINUM_FILL, 0.288, "memory-us-charts"),
    _us("M24", 680, _ALUMINUM_FILL, 0.306, "fda", "m-sizes"),
    _us("M60", 1738, _ALUMINUM_FILL, 0.784, "m-sizes"),
)

_UK_CYLINDERS = (
    _metric(Region.UK, "C", 170, 137, 0.085, "expedition", "memory-uk-sheets", textbook=0.085),
    _metric(Region.UK, "D", 340, 137, 0.17, "lutman", "expedition", textbook=0.17),
    _metric(Region.UK, "CD", 460, 230, 0.137, "lutman"),
    _metric(Region.UK, "ZD", 600, 300, 0.137, "memory-uk-sheets"),
    _metric(Region.UK, "E", 680, 137, 0.34, "expedition", textbook=0.34),
    _metric(Region.UK, "F", 1360, 137, 0.68, "lutman", "expedition", textbook=0.68),
    _metric(Region.UK, "HX", 2300, 230, 0.689, "memory-uk-sheets"),
    _metric(Region.UK, "ZX", 3040, 300, 0.698, "memory-uk-sheets"),
    _metric(Region.UK, "G", 3400, 137, 1.7, "expedition", textbook=1.7),
    _metric(Region.UK, "J", 6800, 137, 3.4, "expedition", textbook=3.4),
)

_READ_THE_LABEL = (
    "Cylinders of this letter differ from maker to maker: read the label, and prefer "
    "--contents with --full."
)
_ANZ_CYLINDERS = (
    _metric(
        Region.ANZ, "C", 400, 170, 0.162, "tsanz", "oz-gases", "deranged", note=_READ_THE_LABEL
    ),
    _metric(Region.ANZ, "D", 1500, 170, 0.608, "tsanz", "deranged", note=_READ_THE_LABEL),
    _metric(Region.ANZ, "E", 3800, 170, 1.541, "tsanz", "deranged", note=_READ_THE_LABEL),
    _metric(Region.ANZ, "G", 7600, 170, 3.082, "tsanz", "deranged", note=_READ_THE_LABEL),
)

CYLINDERS: dict[Region, dict[str, Cylinder]] = {
    region: {cylinder.letter: cylinder for cylinder in cylinders}
    for region, cylinders in (
        (Region.US, _US_CYLINDERS),
        (Region.UK, _UK_CYLINDERS),
        (Region.ANZ, _ANZ_CYLINDERS),
    )
}
"""Every listed cylinder, by region and letter."""


def find_cylinder(letter: str, region: Region = Region.US) -> Cylinder:
    """The cylinder of that letter, in either case; InputError names the known ones."""
    wanted = letter.strip().upper()
    found = CYLINDERS[region].get(wanted)
    if found is not None:
        return found
    elsewhere = [other for other in Region if wanted in CYLINDERS[other]]
    hint = (
        f" {wanted} is listed for {' and '.join(elsewhere)}: give --region {elsewhere[0]} if that "
        "is where it was filled."
        if elsewhere
        else ""
    )
    raise InputError(
        f'There is no {REGION_NAMES[region]} cylinder "{letter.strip()}": known are '
        f"{', '.join(CYLINDERS[region])}; the letters differ by country.{hint}"
    )


def highest_plausible_pressure(region: Region | None = None) -> Pressure:
    """A gauge above this cannot be right in the region (None: in any)."""
    regions = (region,) if region is not None else tuple(Region)
    return max(
        cylinder.highest_plausible for each in regions for cylinder in CYLINDERS[each].values()
    )


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
