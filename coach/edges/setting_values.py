"""What each setting may be: from the text of a value to the value, and back."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

from coach.core.errors import InputError
from coach.core.units import Unit
from coach.procedure.wording import nearest
from coach.rehearsal.aim import AIMS
from coach.trade.amounts import WrittenPressure, parse_pressure
from coach.trade.cylinders import Region

ENGINES = ("auto", "own", "vosk", "whisper")
"""Engines that recognise speech; "auto" takes the best there is on this machine."""

RATES = (0.5, 2.0)
"""Slowest and fastest speech, as factors of the ordinary; beyond, it is hard to follow (common
practice, no source)."""

TIME_LIMITS_S = (0.0, 7200.0)
"""None, and the longest time limit of an attempt, in seconds."""

SAFETY_FAILURES = ("counts", "ends")
"""A safety failure counts unless it is put right, or ends the attempt at once."""

PRESSURE_UNITS = (str(Unit.PSI), str(Unit.BAR))
"""What gauges of cylinders show; in kPa and MPa a pressure is said with its unit."""

TRAINING_CYLINDERS = ("no", "empty")
"""The cylinder in use holds pressure, or is one to train with that holds none."""

OF_A_SKILL = re.compile(r"[a-z][a-z0-9-]*\.[a-z][a-z0-9-]*")
"""A setting of a skill in the file: skill and setting, with a dot between."""

NUDGES_SECONDS = (3.0, 3600.0)
"""Shortest and longest silence before the coach asks (common practice, no source)."""

_TRUTHS = {
    **dict.fromkeys(("yes", "true", "on", "1"), True),
    **dict.fromkeys(("no", "false", "off", "0"), False),
}

Parse = Callable[[str, str], Any]
"""From the text of a value and the name of the setting, the value; raises InputError."""


def _region(text: str, called: str) -> Region:
    return Region(_one_of(text, called, tuple(Region)))


def _engine(text: str, called: str) -> str:
    return _one_of(text, called, ENGINES)


def _one_of(text: str, called: str, known: tuple[str, ...]) -> str:
    if text.lower() not in known:
        raise InputError(
            f'{called} "{text}" is not known: use {", ".join(known[:-1])} or {known[-1]}'
            f".{meant_words(text, known)}"
        )
    return text.lower()


def _pressure_unit(text: str, called: str) -> Unit:
    return Unit(_one_of(text, called, PRESSURE_UNITS))


def _training_cylinder(text: str, called: str) -> str:
    return _one_of(text, called, TRAINING_CYLINDERS)


def _letter(text: str, called: str) -> str:
    """A cylinder's letter; whether the region has it is checked once both are known."""
    return text.upper()


def _words(text: str, called: str) -> str:
    return text


def _reserve(text: str, called: str) -> WrittenPressure:
    return parse_pressure(text, called)


def _rate(text: str, called: str) -> float:
    return _number(text, called, RATES, "")


def _nudge(text: str, called: str) -> float:
    return _number(text, called, NUDGES_SECONDS, " seconds")


def _time_limit(text: str, called: str) -> float:
    return _number(text, called, TIME_LIMITS_S, " seconds")


def _safety_failure(text: str, called: str) -> str:
    return _one_of(text, called, SAFETY_FAILURES)


def _records(text: str, called: str) -> str:
    """A file, or an address, which is looked at here so that no password in it is ever shown."""
    if "://" in text:
        from coach.edges.records.database import database_url

        database_url(text)
    return text


def _aim(text: str, called: str) -> float:
    return _number(text, called, AIMS, "")


def _number(text: str, called: str, bounds: tuple[float, float], unit: str) -> float:
    low, high = bounds
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not low <= number <= high:
        raise InputError(
            f'{called} "{text}" does not fit: give a number from {low:g} to {high:g}{unit}.'
        )
    return number


def _truth(text: str, called: str) -> bool:
    if text.lower() not in _TRUTHS:
        raise InputError(f'{called} "{text}" does not fit: use yes or no.')
    return _TRUTHS[text.lower()]


PARSERS: Mapping[str, Parse] = MappingProxyType(
    {
        "region": _region,
        "cylinder": _letter,
        "reserve": _reserve,
        "microphone": _words,
        "loudspeaker": _words,
        "voice": _words,
        "rate": _rate,
        "engine": _engine,
        "model": _words,
        "nudge-seconds": _nudge,
        "headset": _truth,
        "second-ear": _truth,
        "program": _words,
        "hint-seconds": _nudge,
        "time-limit": _time_limit,
        "safety-failure": _safety_failure,
        "target-chance": _aim,
        "records": _records,
        "pressure-unit": _pressure_unit,
        "training-cylinder": _training_cylinder,
        "ask-first": _truth,
    }
)

NAMES = tuple(PARSERS)
"""The names of the settings, as in the file and as flags (with `--` before them)."""


def check_setting(name: str, text: str) -> None:
    """InputError for a name that is no setting, or a value that it cannot have."""
    if wrong := unknown_name(name):
        raise InputError(wrong)
    if not text.strip():
        raise InputError(f"{name} needs a value; to do without it, forget it.")
    if name in PARSERS:
        PARSERS[name](text.strip(), name)


def unknown_name(name: str) -> str:
    """What is wrong with the name of a setting; empty for one that may stand in the file."""
    if name in NAMES or OF_A_SKILL.fullmatch(name):
        return ""
    return f'There is no setting "{name}".{meant_words(name, NAMES)} `coach settings` lists them.'


def meant_words(name: str, known: Iterable[str]) -> str:
    """A question, with a space before it, for the known name that is near; empty for none."""
    near = nearest(name, known)
    return f" Did you mean {near}?" if near else ""


def attribute_of(name: str) -> str:
    """The name of a setting as Python has it: nudge_seconds for nudge-seconds."""
    return name.replace("-", "_")


def text_of(value: object) -> str:
    """A value as it could be given again; empty for None."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(value).removesuffix(".0")
    if isinstance(value, WrittenPressure):
        return f"{text_of(value.value)} {value.unit}"
    return str(value)
