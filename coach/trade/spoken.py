"""The answer to "how long will it last", in words for the voice: never more than two sentences."""

from __future__ import annotations

from dataclasses import dataclass, replace

from coach.core.units import Duration, Flow, Pressure, Unit
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import REGION_NAMES, Cylinder, Region
from coach.trade.wording import duration_words, number_words, unit_words

CHANGE = "change the cylinder"

_REGION_WORDS = {
    Region.US: "U S",
    Region.UK: "U K",
    Region.ANZ: REGION_NAMES[Region.ANZ],
}


@dataclass(frozen=True, slots=True)
class Need:
    """What a job of so many minutes asks for.

    `minimum` is the least gauge, rounded up (None: only litres are known), `litres` what it
    uses. `enough` is None while nothing says what is left. `beyond_full` when a full cylinder
    would not do.
    """

    minutes: Duration
    litres: float
    minimum: WrittenPressure | None
    enough: bool | None
    beyond_full: bool = False


def cylinder_words(cylinder: Cylinder) -> str:
    """The size and its factor: "U S size D, factor point one six"."""
    letters = cylinder.letter.rstrip("0123456789")
    size = " ".join(letters)
    if letters != cylinder.letter:
        size += f" {number_words(int(cylinder.letter[len(letters) :]))}"
    return f"{_REGION_WORDS[cylinder.region]} size {size}, {factor_words(cylinder)}"


def factor_words(factor: Cylinder | float) -> str:
    """The factor as said: "factor point one six"."""
    value = factor.litres_per_psi if isinstance(factor, Cylinder) else factor
    return f"factor {number_words(value)}"


def reserve_words(reserve: WrittenPressure) -> str:
    """What is kept back: "keeping two hundred P S I in reserve"."""
    return f"keeping {reserve.words if reserve.value else 'nothing'} in reserve"


def flow_words(flow: Flow) -> str:
    """The flow as said: "fifteen liters a minute"."""
    value = flow.litres_per_minute
    return f"{number_words(value)} {unit_words(Unit.LITRES_PER_MINUTE, value)}"


def spoken_answer(
    left: Duration | None, flow: Flow, assumptions: tuple[str, ...], need: Need | None = None
) -> str:
    """One or two sentences: the time left in whole minutes rounded down, what was assumed, and
    what a job needs.

    `left` is None when only the need was asked. With nothing left the first sentence is "Zero
    minutes: change the cylinder."
    """
    assumed = ", ".join(assumptions)
    at_flow = f" at {flow_words(flow)}"
    if left is None:
        if need is None:
            raise ValueError("there is nothing to say: neither a time left nor a need")
        return _sentence(_need_words(need, at_flow, f", {assumed}"))
    if left.whole_minutes:
        first = _sentence(f"{duration_words(left.whole_minutes)}{at_flow}, {assumed}")
        return f"{first} {_sentence(_need_words(need))}" if need else first
    if need:
        # That so little is not enough needs no saying.
        second = _need_words(replace(need, enough=need.enough or None), "", f", {assumed}")
    elif left.minutes > 0:
        second = f"that is{at_flow}, {assumed}"
    else:
        second = f"the gauge is at or below the reserve: {assumed}"
    head = "less than one minute" if left.minutes > 0 else "zero minutes"
    return f"{_sentence(f'{head}: {CHANGE}')} {_sentence(second)}"


def rounded_up_in(pressure: Pressure, unit: Unit) -> WrittenPressure:
    """A minimum in the user's own unit, never below it: whole psi, bar or kPa, tenths of MPa."""
    steps = 10 if unit is Unit.MEGAPASCAL else 1
    value = pressure.in_unit(unit) * steps
    nearest = round(value)
    whole = nearest if Pressure.of(nearest / steps, unit) >= pressure else int(value) + 1
    return WrittenPressure(whole / steps, unit)


def _need_words(need: Need, at_flow: str = "", assumed: str = "") -> str:
    minutes = need.minutes.minutes
    if minutes == int(minutes):
        lasting = duration_words(int(minutes))
    else:
        lasting = f"{number_words(minutes)} minutes"
    verb = "needs" if minutes in (1, 60) else "need"
    if need.beyond_full:
        return (
            f"{lasting}{at_flow} {verb} more than a full cylinder holds{assumed}: plan for another"
        )
    if need.minimum is None:
        asked = f"{number_words(need.litres)} liter{'' if need.litres == 1 else 's'}"
    else:
        asked = need.minimum.words
    words = f"{lasting}{at_flow} {verb} at least {asked}{assumed}"
    if need.enough is None:
        return words
    return f"{words}: what is left is {'enough' if need.enough else 'not enough'}"


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."
