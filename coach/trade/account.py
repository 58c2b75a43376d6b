"""The oxygen left from moment to moment, as readings of the gauge and the flow come in."""

from __future__ import annotations

from dataclasses import dataclass, replace

from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure
from coach.trade.oxygen import Supply

SECONDS_PER_MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class OxygenAccount:
    """A running account: every change gives a new one, and the old one stays true.

    `gauge` is the pressure at `since_s` seconds: as read, or as worked out when the flow changed.
    Times are seconds of the session's clock and never run backwards (ValueError).
    """

    supply: Supply
    gauge: Pressure | None = None
    flow: Flow | None = None
    since_s: float = 0.0

    def with_pressure(self, at_s: float, pressure: Pressure) -> OxygenAccount:
        """The account after a reading of the gauge, which replaces what was worked out.

        InputError for a pressure that is negative or no number.
        """
        self._forwards(at_s)
        if not 0 <= pressure.psi < float("inf"):
            raise InputError(
                f"A gauge pressure of {pressure.psi:g} psi makes no sense: read the gauge again."
            )
        return replace(self, gauge=pressure, since_s=at_s)

    def with_flow(self, at_s: float, flow: Flow) -> OxygenAccount:
        """The account from the moment the flow was set; zero closes it.

        InputError for a flow that is negative or no number.
        """
        if not 0 <= flow.litres_per_minute < float("inf"):
            raise InputError(f"A flow of {flow.litres_per_minute:g} L/min makes no sense.")
        return replace(self, gauge=self.pressure_at(at_s), flow=flow, since_s=at_s)

    def pressure_at(self, at_s: float) -> Pressure | None:
        """The gauge worked out for that moment, never below zero; None before the first reading."""
        self._forwards(at_s)
        if self.gauge is None or self.flow is None:
            return self.gauge
        minutes = (at_s - self.since_s) / SECONDS_PER_MINUTE
        used = self.flow.litres_per_minute * minutes
        return Pressure(max(0.0, self.gauge.psi - used / self.supply.litres_per_psi))

    def minutes_at(self, at_s: float) -> Duration | None:
        """Minutes above the reserve from that moment at the flow as set.

        None while the pressure or the flow is unknown, or the flow is zero.
        """
        pressure = self.pressure_at(at_s)
        if pressure is None or self.flow is None or self.flow.litres_per_minute == 0:
            return None
        return self.supply.minutes_left(pressure, self.flow)

    def _forwards(self, at_s: float) -> None:
        if at_s < self.since_s:
            raise ValueError(f"the account stands at {self.since_s} s and was asked for {at_s} s")
