"""Numbers as people say them, for the coach's voice (US English, no "and" within a number)."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

from coach.core.units import Unit

_SMALL = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
_TENS = (
    "zero",
    "ten",
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
)
_GROUPS = ((1_000_000_000, "billion"), (1_000_000, "million"), (1_000, "thousand"))
_LIMIT = 1_000_000_000_000
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September"),
    *("October", "November", "December"),
)
"""Written out, as the name of a month would otherwise follow the machine's language."""

_WholeWords = Callable[[int], str]

_DECIMAL_PLACES = 3
"""More places than any gauge shows; longer tails come from converting units."""

_UNIT_WORDS: dict[Unit, tuple[str, str]] = {
    Unit.PSI: ("P S I", "P S I"),
    Unit.BAR: ("bar", "bar"),
    Unit.KILOPASCAL: ("kilopascal", "kilopascals"),
    Unit.MEGAPASCAL: ("megapascal", "megapascals"),
    Unit.LITRES_PER_MINUTE: ("liter a minute", "liters a minute"),
    Unit.PERCENT: ("percent", "percent"),
    Unit.PER_MINUTE: ("a minute", "a minute"),
    Unit.SECONDS: ("second", "seconds"),
    Unit.MINUTES: ("minute", "minutes"),
    Unit.MILLIMETRES: ("millimeter", "millimeters"),
    Unit.INCHES: ("inch", "inches"),
    Unit.FRENCH: ("French", "French"),
    Unit.MILLIMETRES_OF_MERCURY: ("millimeter of mercury", "millimeters of mercury"),
    Unit.MILLIGRAMS_PER_DECILITRE: ("milligram per deciliter", "milligrams per deciliter"),
    Unit.MILLIMOLES_PER_LITRE: ("millimole per liter", "millimoles per liter"),
    Unit.MILLIGRAMS: ("milligram", "milligrams"),
    Unit.GRAMS: ("gram", "grams"),
    Unit.COUNTED: ("counted", "counted"),
    Unit.CENTIMETRES_OF_WATER: ("centimeter of water", "centimeters of water"),
    Unit.HECTOPASCAL: ("hectopascal", "hectopascals"),
    Unit.POUNDS_FORCE: ("pound of pull", "pounds of pull"),
    Unit.NEWTONS: ("newton", "newtons"),
    Unit.KILOGRAMS_FORCE: ("kilogram of pull", "kilograms of pull"),
    Unit.PERCENT_OF_WEIGHT: ("percent of the weight", "percent of the weight"),
    Unit.DEGREES_CELSIUS: ("degree Celsius", "degrees Celsius"),
    Unit.DEGREES_FAHRENHEIT: ("degree Fahrenheit", "degrees Fahrenheit"),
    Unit.KILOGRAMS: ("kilogram", "kilograms"),
    Unit.POUNDS: ("pound", "pounds"),
}


def cardinal(n: int) -> str:
    """A whole number in full: 1700 is "one thousand seven hundred".

    ValueError for a million million or more.
    """
    if abs(n) >= _LIMIT:
        raise ValueError(f"{n} is too large to be put into words")
    if n < 0:
        return f"minus {cardinal(-n)}"
    parts: list[str] = []
    for size, name in _GROUPS:
        if n >= size:
            parts.append(f"{_below_thousand(n // size)} {name}")
            n %= size
    if n or not parts:
        parts.append(_below_thousand(n))
    return " ".join(parts)


def counted(amount: int, noun: str) -> str:
    """A count in figures with its noun: "1 step", "2 steps"."""
    return f"{amount} {noun}{'' if amount == 1 else 's'}"


def number_words(value: float) -> str:
    """A number as a crew says it: 1700 "seventeen hundred", 1750 "seventeen fifty", 0.16 "point
    one six".

    Three decimal places at most. ValueError for a value that is not a finite number.
    """
    return _worded(value, _whole_as_said, "")


def digit_words(value: float) -> str:
    """A number digit by digit: 1700 "one seven zero zero", 2.5 "two point five".

    The zero before a point is spoken, so that the point is not lost: "zero point five".
    """
    return _worded(value, lambda n: _spelled(str(n)), "zero")


def unit_words(unit: Unit, value: float) -> str:
    """The unit as said after that number: "liters a minute", singular for exactly 1."""
    singular, plural = _UNIT_WORDS[unit]
    return singular if value == 1 else plural


def duration_words(minutes: int) -> str:
    """Whole minutes as said: "sixteen minutes", "one hour and five minutes", "two hours".

    ValueError for a negative number.
    """
    if minutes < 0:
        raise ValueError("a duration is never negative")
    hours, rest = divmod(minutes, 60)
    hour_words = f"{cardinal(hours)} hour{'' if hours == 1 else 's'}"
    minute_words = f"{cardinal(rest)} minute{'' if rest == 1 else 's'}"
    if not hours:
        return minute_words
    return f"{hour_words} and {minute_words}" if rest else hour_words


def read_back(values: tuple[float, ...], unit: Unit) -> str:
    """A reading said back two ways, digits then words, so that fifteen is not taken for fifty.

    "one seven zero zero, seventeen hundred P S I"; two values are a blood pressure: "one one zero
    over seven zero, one hundred ten over seventy". Said once where both ways are the same.
    ValueError unless there are one or two values.
    """
    if len(values) not in (1, 2):
        raise ValueError("a reading holds one number, or two for a blood pressure")
    digits = " over ".join(digit_words(value) for value in values)
    words = " over ".join(number_words(value) for value in values)
    said = words if digits == words else f"{digits}, {words}"
    return said if len(values) == 2 else f"{said} {unit_words(unit, values[0])}"


def _below_thousand(n: int) -> str:
    hundreds, rest = divmod(n, 100)
    if not hundreds:
        return _below_hundred(rest)
    head = f"{_SMALL[hundreds]} hundred"
    return f"{head} {_below_hundred(rest)}" if rest else head


def _below_hundred(n: int) -> str:
    if n < len(_SMALL):
        return _SMALL[n]
    tens, ones = divmod(n, 10)
    return f"{_TENS[tens]}-{_SMALL[ones]}" if ones else _TENS[tens]


def _whole_as_said(n: int) -> str:
    hundreds, rest = divmod(n, 100)
    if not (10 < hundreds < 100) or hundreds % 10 == 0:
        return cardinal(n)
    if rest == 0:
        return f"{_below_hundred(hundreds)} hundred"
    if rest < 10:
        # "seventeen five" would be heard as two numbers
        return f"{_below_hundred(hundreds)} hundred {_below_hundred(rest)}"
    return f"{_below_hundred(hundreds)} {_below_hundred(rest)}"


def _spelled(digits: str) -> str:
    return " ".join(_SMALL[int(digit)] for digit in digits)


def _worded(value: float, whole_words: _WholeWords, leading_zero: str) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that can be said")
    written = format(round(Decimal(repr(float(value))), _DECIMAL_PLACES), "f")
    negative = written.startswith("-")
    whole, _, tail = written.lstrip("-").partition(".")
    tail = tail.rstrip("0")
    words = whole_words(int(whole))
    if tail:
        head = leading_zero if int(whole) == 0 else words
        words = f"{head} point {_spelled(tail)}".strip()
    return f"minus {words}" if negative and (int(whole) or tail) else words
