"""The numbers that a quantity can ever be: what lies beyond was misheard or misspoken.

They are wider than what is lawful (`lawful_numbers.py`), beyond which a number is only questioned.
"""

from __future__ import annotations

from coach.core.units import Quantity, Unit
from coach.trade.temperature import HIGHEST_CELSIUS, LOWEST_CELSIUS

ALL_PERCENT = 100.0
"""All of something, by what percent means."""

AIR_PRESSURE_MMHG = 760.0
"""All the vacuum that there can be: the standard atmosphere (NIST SP 811, 2008, appendix B.8)."""

MOST_BREATHS_PER_MINUTE, MOST_BEATS_PER_MINUTE = 120.0, 320.0
"""A minute; nobody breathes faster, no heart beats faster (from memory: infants' fastest)."""

MOST_COUNTED = 250.0
"""Acts that somebody counts in one go (our own choice, no source)."""

POSSIBLE: dict[Quantity | Unit, tuple[float, float]] = {
    Quantity.PRESSURE: (0.0, 5800.0),
    Quantity.FLOW: (0.0, 100.0),
    Quantity.SATURATION: (0.0, ALL_PERCENT),
    Quantity.BURNED_AREA: (0.0, ALL_PERCENT),
    Quantity.RATE: (0.0, MOST_BEATS_PER_MINUTE),
    Quantity.PULSE_RATE: (0.0, MOST_BEATS_PER_MINUTE),
    Quantity.BREATHING_RATE: (0.0, MOST_BREATHS_PER_MINUTE),
    Quantity.VACUUM: (0.0, AIR_PRESSURE_MMHG),
    Quantity.BLOOD_PRESSURE: (0.0, 400.0),
    Quantity.GLUCOSE: (0.0, 3000.0),
    Quantity.COUNT: (0.0, MOST_COUNTED),
    Quantity.AIRWAY_PRESSURE: (0.0, 120.0),
    Quantity.TEMPERATURE: (LOWEST_CELSIUS, HIGHEST_CELSIUS),
    Unit.FRENCH: (1.0, 100.0),
}
"""Lowest and highest in the first unit of each quantity, of sizes in French. Gauges of cylinders
end at 400 bar (5800 psi), manometers at 300 mmHg, above which only a catheter has shown pressures;
the rest is wider than anything that is sold or has been survived (common practice and from memory).
Where none is given (times, lengths, doses, pulls, weights) nothing is ruled out."""
