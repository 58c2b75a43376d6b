"""How long the oxygen lasts: cylinder arithmetic, exact, never negative.

minutes = (gauge - reserve) x litres per psi / flow, and back for the pressure that a job needs.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass

from coach.core.errors import InputError
from coach.core.units import PSI_PER_BAR, Duration, Flow, Pressure, Volume

_ROUNDING_ERROR = 4 * sys.float_info.epsilon
"""Relative error that a few floating-point steps may leave on a pressure that is whole."""


@dataclass(frozen=True, slots=True)
class Supply:
    """What a cylinder gives: litres for each psi the gauge falls, down to the reserve.

    InputError when the factor is not positive, or the reserve negative or no number.
    """

    litres_per_psi: float
    reserve: Pressure

    def __post_init__(self) -> None:
        """Refuse numbers that no cylinder has."""
        if not (math.isfinite(self.litres_per_psi) and self.litres_per_psi > 0):
            raise InputError(
                f"A cylinder factor of {self.litres_per_psi:g} makes no sense: give liters per "
                "psi, for example 0.16."
            )
        if not (math.isfinite(self.reserve.psi) and self.reserve.psi >= 0):
            raise InputError(
                f"A reserve of {self.reserve.psi:g} psi makes no sense: give 0 or more."
            )

    @classmethod
    def in_proportion(cls, full: Volume, full_pressure: Pressure, reserve: Pressure) -> Supply:
        """A cylinder known by its contents when full; what is left is in proportion to the gauge
        (Anesth Analg 2004;99:307-8)."""
        positive(full.litres, "The contents of a full cylinder")
        positive(full_pressure.psi, "The pressure of a full cylinder")
        return cls(full.litres / full_pressure.psi, reserve)

    @classmethod
    def of_water(cls, capacity_litres: float, reserve: Pressure) -> Supply:
        """A cylinder known by the water it would hold: litres of gas = capacity x gauge in bar.

        The real gas is some 5 % more (a label of 6,800 L on 47.2 L at 137 bar), so the time
        errs on the short side.
        """
        return cls(positive(capacity_litres, "The water capacity") / PSI_PER_BAR, reserve)

    def usable(self, pressure: Pressure) -> Volume:
        """Litres above the reserve at that gauge; none at or below it."""
        return Volume(max(0.0, pressure.psi - self.reserve.psi) * self.litres_per_psi)

    def minutes_left(self, pressure: Pressure, flow: Flow) -> Duration:
        """How long the gauge stays above the reserve; InputError for a flow of zero or less."""
        return Duration(self.usable(pressure).litres / checked_flow(flow).litres_per_minute)

    def minimum_pressure(self, flow: Flow, needed: Duration) -> Pressure:
        """The least gauge, in whole psi rounded up, that lasts that long above the reserve."""
        positive(needed.minutes, "The time to last")
        litres = checked_flow(flow).litres_per_minute * needed.minutes
        return Pressure(float(_rounded_up(litres / self.litres_per_psi + self.reserve.psi)))


def minutes_left(
    pressure: Pressure, reserve: Pressure, litres_per_psi: float, flow: Flow
) -> Duration:
    """The trade's formula in one call; see `Supply.minutes_left`."""
    return Supply(litres_per_psi, reserve).minutes_left(pressure, flow)


def minimum_pressure(
    flow: Flow, needed: Duration, litres_per_psi: float, reserve: Pressure
) -> Pressure:
    """The trade's formula turned round; see `Supply.minimum_pressure`."""
    return Supply(litres_per_psi, reserve).minimum_pressure(flow, needed)


def minutes_of_contents(contents: Volume, flow: Flow) -> Duration:
    """How long that many litres last, all of them used; InputError for a flow of zero or less."""
    if not (math.isfinite(contents.litres) and contents.litres >= 0):
        raise InputError(f"Contents of {contents.litres:g} liters make no sense: give 0 or more.")
    return Duration(contents.litres / checked_flow(flow).litres_per_minute)


def checked_flow(flow: Flow) -> Flow:
    """The flow, or InputError: zero is asked about, a negative or endless one is refused."""
    if flow.litres_per_minute == 0:
        raise InputError(
            "What is the flow? At zero liters a minute no time can be worked out: give the liters "
            "a minute on the regulator, for example 15."
        )
    positive(flow.litres_per_minute, "The flow")
    return flow


def positive(value: float, what: str) -> float:
    """The value, or InputError naming `what` when it is not a finite number above zero."""
    if not (math.isfinite(value) and value > 0):
        raise InputError(f"{what} must be a number above zero, not {value:g}.")
    return value


def lasts(left: Duration, needed: Duration) -> bool:
    """Whether the time left is enough, forgiving no more than floating-point rounding."""
    return left.minutes >= needed.minutes - 1e-9


def _rounded_up(psi: float) -> int:
    nearest = round(psi)
    if math.isclose(psi, nearest, rel_tol=_ROUNDING_ERROR):
        return nearest
    return math.ceil(psi)
