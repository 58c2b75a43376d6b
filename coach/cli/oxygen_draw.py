"""What draws the oxygen of `coach oxygen`: outlets, or a ventilation device driven by it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from coach.cli.answered import answer_or_ask
from coach.core.errors import InputError
from coach.core.units import Flow
from coach.trade import amounts, planned_amounts
from coach.trade.runs import drawn_together
from coach.trade.spoken_sums import breath_words, device_words, minute_ventilation_words
from coach.trade.ventilation import (
    NO_DRIVING_GAS,
    MinuteVentilation,
    VentilationLimits,
    breath_volume,
    device_flow,
    minute_ventilation,
)


@dataclass(frozen=True, slots=True)
class DrawOptions:
    """The options that say what draws the oxygen, as written."""

    flow: tuple[str, ...] = ()
    breath: str | None = None
    rate: str | None = None
    minute_volume: str | None = None
    oxygen_percent: str | None = None
    driving_gas: str | None = None

    @property
    def of_device(self) -> list[str]:
        """The options given that only a ventilation device has."""
        names = ("breath", "rate", "minute_volume", "oxygen_percent", "driving_gas")
        given = (name for name in names if getattr(self, name) is not None)
        return [f"--{name.replace('_', '-')}" for name in given]


@dataclass(frozen=True, slots=True)
class Draw:
    """A flow, the sentences on how it comes about, and the lines printed of it."""

    flow: Flow
    first: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    @property
    def said(self) -> Flow:
        """The flow as it is said: tenths of a liter where it was worked out, rounded up."""
        if not self.first:
            return self.flow
        return Flow(math.ceil(round(self.flow.litres_per_minute * 10, 6)) / 10)


def draw_of(options: DrawOptions, limits: VentilationLimits) -> Draw:
    """What draws the oxygen; InputError where that is not said, said twice, or cannot be.

    `limits` say what a ventilation device may have.
    """
    if options.flow and options.of_device:
        raise InputError(
            f"Is it an outlet or a device? {' and '.join(options.of_device)} are of a ventilation "
            "device, and --flow is of an outlet: leave one of them out."
        )
    if options.of_device:
        return _of_device(options, limits)
    if not options.flow:
        raise InputError(
            "What is the flow? Give --flow in liters a minute, for example 15; or --run, or "
            "--breath and --rate of a ventilation device."
        )
    return _of_outlets(options.flow)


def _of_outlets(written: Sequence[str]) -> Draw:
    flows = [amounts.parse_flow(text, "--flow") for text in written]
    flow = answer_or_ask(drawn_together(flows), "--flow")
    if len(flows) == 1:
        return Draw(flow)
    together = " + ".join(f"{each.litres_per_minute:g}" for each in flows)
    return Draw(flow, lines=(f"  Together   {together} L/min, open at once",))


def _of_device(options: DrawOptions, limits: VentilationLimits) -> Draw:
    ventilation, first = _ventilation(options, limits)
    percent, driving = 100.0, NO_DRIVING_GAS
    if options.oxygen_percent is not None:
        percent = planned_amounts.parse_percent(options.oxygen_percent, "--oxygen-percent")
    if options.driving_gas is not None:
        driving = amounts.parse_flow(options.driving_gas, "--driving-gas")
    drawn = device_flow(ventilation, limits, percent, driving)
    flow = answer_or_ask(drawn, ", ".join(options.of_device))
    lines = (
        f"  Breathed   {ventilation.litres_per_minute:g} L/min at {percent:g} % oxygen",
        f"  Driving    {driving.litres_per_minute:g} L/min of the device's own",
    )
    return Draw(flow, (first, device_words(flow)) if first else (device_words(flow),), lines)


def _ventilation(options: DrawOptions, limits: VentilationLimits) -> tuple[MinuteVentilation, str]:
    """The minute ventilation, and what is said of the breaths."""
    rate = planned_amounts.parse_rate(options.rate, "--rate") if options.rate is not None else None
    if options.minute_volume is not None:
        if options.breath is not None:
            raise InputError(
                "--breath and --minute-volume say the same twice: leave one of them out."
            )
        flow = amounts.parse_flow(options.minute_volume, "--minute-volume")
        ventilation = MinuteVentilation(flow.litres_per_minute)
        if rate is None:
            return ventilation, ""
        breath = answer_or_ask(breath_volume(ventilation, rate, limits), "--minute-volume, --rate")
        return ventilation, breath_words(breath)
    if options.breath is None or rate is None:
        raise InputError(
            "How much is breathed? Give --breath and --rate, for example 500 mL and 12, or "
            "--minute-volume."
        )
    volume = planned_amounts.parse_breath(options.breath, "--breath")
    ventilation = answer_or_ask(minute_ventilation(volume, rate, limits), "--breath, --rate")
    return ventilation, minute_ventilation_words(volume, rate, ventilation)
