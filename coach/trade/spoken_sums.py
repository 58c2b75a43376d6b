"""What the voice says of a worked-out number: one line, at most twenty words, no advice."""

from __future__ import annotations

import math
from collections.abc import Sequence

from coach.core.units import Flow, Unit, Volume
from coach.trade.amounts import WrittenPressure
from coach.trade.birth_score import BirthScore
from coach.trade.blood_pressure import PressureSums
from coach.trade.burns import BurnedArea
from coach.trade.consciousness import FULL_SCORE, ConsciousnessScore
from coach.trade.liquid_oxygen import LiquidUnit
from coach.trade.margins import Margin
from coach.trade.questions import capital, heard
from coach.trade.runs import RunPlan
from coach.trade.spoken import CHANGE, flow_words
from coach.trade.temperature import BodyTemperature, Degree
from coach.trade.ventilation import BreathVolume, MinuteVentilation
from coach.trade.wording import cardinal, duration_words, number_words


def pressure_words(sums: PressureSums) -> str:
    """As "One hundred twenty over eighty: pulse pressure forty, mean about ninety-three"."""
    upper, lower = cardinal(sums.systolic.whole), cardinal(sums.diastolic.whole)
    return (
        f"{capital(upper)} over {lower}: pulse pressure {cardinal(sums.pulse.whole)}, "
        f"mean about {cardinal(sums.mean.whole)}."
    )


def consciousness_words(score: ConsciousnessScore) -> str:
    """As "Eyes three, verbal four, motor six: thirteen of fifteen, grouped as mild"."""
    parts = ", ".join(
        f"{part} {'not tested' if points is None else cardinal(points)}"
        for part, points in (
            ("eyes", score.eye),
            ("verbal", score.verbal),
            ("motor", score.motor),
        )
    )
    if score.total is None:
        return f"{capital(parts)}: no total, since not all was tested."
    # A full score is nobody's mild injury.
    named = score.group is not None and score.total < FULL_SCORE
    group = f", grouped as {score.group}" if named else ""
    return f"{capital(parts)}: {cardinal(score.total)} of fifteen{group}."


def burned_words(area: BurnedArea) -> str:
    """As "About forty-five percent of the body."; under one percent is said so."""
    if 0 < area.percent < 1:
        return "Less than one percent of the body."
    # Halves are as fine as the tables are.
    return f"About {number_words(round(area.percent * 2) / 2)} percent of the body."


def burned_area_words(area: BurnedArea, *, by_palms: bool) -> str:
    """By what an area was worked out: "By the rule of nines: about nine percent of the body."

    Where it is to be looked at again, that question.
    """
    if area.check is not None:
        return area.check.words
    words = burned_words(area)
    by = "the palms" if by_palms else "the rule of nines"
    return f"By {by}: {words[:1].lower()}{words[1:]}"


def burned_at_most_words(area: BurnedArea) -> str:
    """More than the parts that were named: "That is more than all of it: about nine percent of the
    body, by the rule of nines." """
    words = burned_words(area).rstrip(".")
    return f"That is more than all of it: {words[:1].lower()}{words[1:]}, by the rule of nines."


def temperature_words(body: BodyTemperature) -> str:
    """As "Thirty-eight Celsius is one hundred point four Fahrenheit."; tenths of a degree."""
    other = Degree.FAHRENHEIT if body.read_in is Degree.CELSIUS else Degree.CELSIUS
    read = number_words(round(body.temperature.in_degree(body.read_in), 1))
    converted = number_words(round(body.temperature.in_degree(other), 1))
    return f"{capital(read)} {body.read_in} is {converted} {other}."


def minute_ventilation_words(
    breath: BreathVolume, breaths_per_minute: float, ventilation: MinuteVentilation
) -> str:
    """As "Twelve breaths of five hundred milliliters: six liters a minute"."""
    breaths = "breath" if breaths_per_minute == 1 else "breaths"
    return (
        f"{capital(heard(breaths_per_minute))} {breaths} of {_millilitres(breath)}: "
        f"{flow_words(Flow(round(ventilation.litres_per_minute, 1)))}."
    )


def breath_words(breath: BreathVolume) -> str:
    """As "That is about five hundred milliliters a breath"."""
    return f"That is about {_millilitres(breath)} a breath."


def device_words(flow: Flow) -> str:
    """As "The device draws about four point one liters a minute."; tenths, rounded up."""
    tenths = math.ceil(round(flow.litres_per_minute * 10, 6)) / 10
    return f"The device draws about {flow_words(Flow(tenths))}."


def liquid_words(amount: float, unit: LiquidUnit, gas: Volume) -> str:
    """As "Two liters of liquid make about seventeen hundred liters of gas."; rounded down."""
    litres = cardinal(math.floor(gas.litres))
    said = "one" if amount == 1 else heard(amount)
    name, verb = (unit[:-1], "makes") if amount == 1 else (unit, "make")
    return f"{capital(said)} {name} of liquid {verb} about {litres} liters of gas."


def plan_words(plan: RunPlan, unit: Unit) -> str:
    """As "All three runs, fifty minutes: the gauge ends at about six hundred P S I."; or which run
    falls short. Minutes and pressure are rounded down."""
    lasting = duration_words(plan.lasting.whole_minutes)
    if plan.short_in:
        return f"Run {cardinal(plan.short_in)} falls short: {lasting} in all, then {CHANGE}."
    ending = WrittenPressure(math.floor(plan.legs[-1].gauge_after.in_unit(unit) + 1e-9), unit)
    return f"{_runs(plan.legs)}, {lasting}: the gauge ends at about {ending.words}."


def plan_minimum_words(runs: Sequence[object], least: WrittenPressure) -> str:
    """As "All three runs need at least twelve hundred P S I"."""
    return f"{_runs(runs)} {'needs' if len(runs) == 1 else 'need'} at least {least.words}."


def margin_words(margin: Margin, need: Volume | None) -> tuple[str, ...]:
    """The sentence on a margin, as "Times two for safety: three hundred twenty liters."; () for
    none. Whole litres, rounded up; None where no need is known."""
    if margin.multiplier == 1:
        return ()
    times = number_words(margin.multiplier)
    if need is None:
        return (f"Planned for {times} times the need.",)
    litres = math.ceil(round(margin.planned(need).litres, 6))
    said = f"{cardinal(litres)} liter{'' if litres == 1 else 's'}"
    return (f"Times {times} for safety: {said}.",)


def birth_words(score: BirthScore) -> str:
    """As "Nine of ten at five minutes, in the band seven to ten"."""
    at = f"{cardinal(score.minute)} minute{'' if score.minute == 1 else 's'}"
    band = " to ".join(cardinal(points) for points in score.band)
    return f"{capital(cardinal(score.total))} of ten at {at}, in the band {band}."


def _millilitres(breath: BreathVolume) -> str:
    whole = round(breath.millilitres)
    return f"{cardinal(whole)} milliliter{'' if whole == 1 else 's'}"


def _runs(runs: Sequence[object]) -> str:
    if len(runs) == 1:
        return "The one run"
    return "Both runs" if len(runs) == 2 else f"All {cardinal(len(runs))} runs"
