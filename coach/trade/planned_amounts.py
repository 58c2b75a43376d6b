"""What a user writes of the use that is planned: runs, breaths, liquid, margins."""

from __future__ import annotations

from coach.core.errors import InputError
from coach.trade.amounts import above_zero, amount, parse_flow, parse_minutes
from coach.trade.liquid_oxygen import LiquidUnit
from coach.trade.margins import Margin, MarginHabits, margin_of
from coach.trade.questions import Question
from coach.trade.runs import Run
from coach.trade.ventilation import MILLILITRES_PER_LITRE, BreathVolume

_BREATH_MILLILITRES = {
    **dict.fromkeys(("ml", "milliliter", "milliliters", "millilitre", "millilitres"), 1.0),
    **dict.fromkeys(("l", "liter", "liters", "litre", "litres"), MILLILITRES_PER_LITRE),
}
_RATE_UNITS = {"", "/min", "/minute", "a minute", "per minute", "breaths a minute", "bpm"}
_PERCENT_UNITS = {"", "%", "percent"}
_LIQUID_UNITS = {
    **dict.fromkeys(("l", "liter", "liters", "litre", "litres"), LiquidUnit.LITRES),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), LiquidUnit.POUNDS),
    **dict.fromkeys(("kg", "kilogram", "kilograms"), LiquidUnit.KILOGRAMS),
}
_KEPT = {"fifth": 5 / 4, "third": 3 / 2, "half": 2.0}
"""How many times the need is planned for where that share is left: 1 / (1 - share)."""


def parse_run(text: str, option: str) -> Run:
    """One flow for some minutes: "15 L/min for 10 min"."""
    flow, parted, minutes = text.partition(" for ")
    if not parted:
        raise InputError(
            f'{option} "{text}" is not a flow for some minutes: write for example '
            '"15 L/min for 10 min".'
        )
    return Run(parse_flow(flow, option), parse_minutes(minutes, option))


def parse_breath(text: str, option: str) -> BreathVolume:
    """The volume of a breath above zero, in milliliters or liters; a number without a unit is asked
    about (InputError)."""
    bare, unit = amount(text)
    if bare is not None and not unit:
        raise InputError(
            f'In which unit is {option} {text.strip()}? Write the unit too: "{text.strip()} mL", '
            "or L."
        )
    number = above_zero(text, option, set(_BREATH_MILLILITRES), "a breath's volume", '"500 mL"')
    return BreathVolume(number * _BREATH_MILLILITRES[amount(text)[1]])


def parse_rate(text: str, option: str) -> float:
    """Breaths a minute, above zero."""
    return above_zero(text, option, _RATE_UNITS, "a rate a minute", "12")


def parse_percent(text: str, option: str) -> float:
    """A percentage above zero; a share of one is the arithmetic's to ask about."""
    return above_zero(text, option, _PERCENT_UNITS, "a percentage", "60")


def parse_liquid(text: str, option: str) -> tuple[float, LiquidUnit]:
    """An amount of liquid oxygen above zero, and its unit, which has to be written."""
    number, unit_text = amount(text)
    if number is None or number <= 0 or unit_text not in _LIQUID_UNITS:
        raise InputError(
            f'{option} "{text}" is not an amount of liquid above zero: write it with its unit, for '
            'example "2 L", "5 lb" or "3 kg".'
        )
    return number, _LIQUID_UNITS[unit_text]


def parse_margin(text: str, option: str, habits: MarginHabits) -> Margin | Question:
    """How many times the need is planned for (1.5), or the share left over (a third)."""
    kept = _KEPT.get(text.strip().lower().removeprefix("a "))
    if kept is not None:
        return margin_of(kept, habits)
    number, unit_text = amount(text)
    if number is None or unit_text not in {"", "x", "times"}:
        raise InputError(
            f'{option} "{text}" is no margin: give how many times the need to plan for, for '
            "example 1.5, or what is left over: fifth, third or half."
        )
    return margin_of(number, habits)
