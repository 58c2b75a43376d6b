"""The user's settings: flags before environment variables before the settings file before defaults.

The file is YAML, one `name: value` a line. The variable of a setting is COACH_ and its name in
capitals, `-` as `_`. An empty value counts as not given.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

import yaml

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.core.units import Unit
from coach.edges.folders import SETTINGS_VARIABLE, settings_file
from coach.procedure.wording import nearest
from coach.rehearsal.aim import AIM, AIMS
from coach.trade.amounts import WrittenPressure, parse_pressure
from coach.trade.cylinders import Region, find_cylinder
from coach.trade.oxygen import DEFAULT_RESERVE

PREFIX = "COACH_"
"""How the environment variable of every setting begins."""

DEFAULT = "default"
"""The origin of a value that nobody gave."""

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

_RESERVE = WrittenPressure(DEFAULT_RESERVE.psi, Unit.PSI)

_TRUTHS = {
    **dict.fromkeys(("yes", "true", "on", "1"), True),
    **dict.fromkeys(("no", "false", "off", "0"), False),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """Every setting with its value, and where each value came from.

    `cylinder` is a letter of `region`. `microphone`, `loudspeaker`, `voice` and `model` are None
    for the system's own or the program's own choice. `rate` is a factor of the ordinary speed.
    `nudge_seconds` is the silence after which the coach asks. `headset` says that the microphone
    does not hear the loudspeaker. `second_ear` lets a fetched Whisper model hear again the
    sentences that the program's own recogniser is unsure of. `program` is the name or the file of
    the local program whose rules are in force. `hint_seconds` is the silence after which the coach
    hints in recall. `time_limit` is called that many seconds after the learner began (0: never).
    `safety_failure` says what one does to an attempt that is assessed.
    `pressure_unit` is what a pressure said without its unit is taken for, `training_cylinder` is
    "empty" where the cylinder in use holds no pressure. `ask_first` lets the coach ask for what
    was never set. `skill_choices` are settings of skills, as "oral-airway.landmark".
    `target_chance` is the chance of doing a skill right that a plan of rehearsals aims at.
    """

    region: Region = Region.US
    cylinder: str = "D"
    reserve: WrittenPressure = _RESERVE
    microphone: str | None = None
    loudspeaker: str | None = None
    voice: str | None = None
    rate: float = 1.0
    engine: str = "auto"
    model: str | None = None
    nudge_seconds: float = 20.0
    headset: bool = False
    second_ear: bool = True
    program: str | None = None
    hint_seconds: float = 20.0
    time_limit: float = 0.0
    safety_failure: str = "counts"
    target_chance: float = AIM
    records: str | None = None
    pressure_unit: Unit = Unit.PSI
    training_cylinder: str = "no"
    ask_first: bool = True
    skill_choices: Mapping[str, str] = field(default_factory=dict)
    origins: Mapping[str, str] = field(default_factory=dict)

    def value(self, name: str) -> Any:
        """The value of a setting; KeyError for a name that is none."""
        if name in self.skill_choices:
            return self.skill_choices[name]
        if name not in NAMES:
            raise KeyError(name)
        return getattr(self, _attribute(name))

    def text(self, name: str) -> str:
        """The value as it could be given again; empty for None."""
        return _text_of(self.value(name))

    def origin(self, name: str) -> str:
        """Where a value came from: its flag, its variable, its file and line, or "default"."""
        self.value(name)
        return self.origins.get(name, DEFAULT)


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
            f".{_meant(text, known)}"
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


_PARSERS: Mapping[str, Parse] = MappingProxyType(
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

NAMES = tuple(_PARSERS)
"""The names of the settings, as in the file and as flags (with `--` before them)."""


def check_setting(name: str, text: str) -> None:
    """InputError for a name that is no setting, or a value that it cannot have."""
    if wrong := _unknown_name(name):
        raise InputError(wrong)
    if not text.strip():
        raise InputError(f"{name} needs a value; to do without it, forget it.")
    if name in _PARSERS:
        _PARSERS[name](text.strip(), name)


def _unknown_name(name: str) -> str:
    """What is wrong with the name of a setting; empty for one that may stand in the file."""
    if name in NAMES or OF_A_SKILL.fullmatch(name):
        return ""
    return f'There is no setting "{name}".{_meant(name, NAMES)} `coach settings` lists them.'


def variable_of(name: str) -> str:
    """The environment variable of a setting: COACH_NUDGE_SECONDS for nudge-seconds."""
    return PREFIX + _attribute(name).upper()


def load_settings(flags: Mapping[str, object], environ: Mapping[str, str]) -> Settings:
    """All settings, each from the first place that gives it.

    `flags` are by name, `-` or `_` alike; None and "" count as not given (so does an absent
    on-off flag only if it is None, not False). InputError tells the mistakes one a line, each with
    its place; a wrong value is told even where another place overrules it.
    """
    sources = (
        _from_file(environ),
        {name: Given(environ.get(variable_of(name), ""), variable_of(name)) for name in NAMES},
        _from_flags(flags),
    )
    values: dict[str, Any] = {}
    chosen: dict[str, str] = {}
    origins: dict[str, str] = {}
    mistakes: list[str] = []
    for source in sources:
        for name, given in source.items():
            if not given.text.strip():
                continue
            if name not in _PARSERS:
                chosen[name], origins[name] = given.text.strip(), given.origin
                continue
            try:
                values[name] = _PARSERS[name](given.text.strip(), name)
            except InputError as error:
                mistakes.append(f"{given.origin}: {error}")
            origins[name] = given.origin
    if mistakes:
        raise InputError("\n".join(mistakes))
    settings = Settings(
        **{_attribute(name): value for name, value in values.items()},
        skill_choices=MappingProxyType(chosen),
        origins=MappingProxyType(origins),
    )
    _check_cylinder(settings)
    return settings


ANSWERED = "answered"
"""The origin of a value that was said before the first practice."""


def with_values(settings: Settings, values: Mapping[str, str]) -> Settings:
    """The settings with these values, given as text; InputError for one that does not fit."""
    told = {name: _PARSERS[name](text, name) for name, text in values.items() if name in _PARSERS}
    now = replace(
        settings,
        **{_attribute(name): value for name, value in told.items()},
        origins=MappingProxyType({**settings.origins, **dict.fromkeys(told, ANSWERED)}),
    )
    _check_cylinder(now)
    return now


@dataclass(frozen=True, slots=True)
class Given:
    """The text of a value and where it stands: a flag, a variable, or file and line."""

    text: str
    origin: str
    line: int = 0


def _check_cylinder(settings: Settings) -> None:
    try:
        find_cylinder(settings.cylinder, settings.region)
    except InputError as error:
        raise InputError(
            f"{settings.origin('cylinder')}: {error} (The region {settings.region} is from: "
            f"{settings.origin('region')}.)"
        ) from error


def _from_flags(flags: Mapping[str, object]) -> dict[str, Given]:
    given = {name.replace("_", "-"): value for name, value in flags.items()}
    unknown = given.keys() - set(NAMES)
    if unknown:
        raise ValueError(f"{', '.join(sorted(unknown))}: no such settings")
    return {name: Given(_text_of(value), f"--{name}") for name, value in given.items()}


def _from_file(environ: Mapping[str, str]) -> dict[str, Given]:
    """The values of the settings file, unless there is none in the usual place."""
    path = settings_file(environ)
    told = bool(environ.get(SETTINGS_VARIABLE))
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        if not told:
            return {}
        raise InputError(
            f"{SETTINGS_VARIABLE} names {path}, which does not exist: create it, or unset "
            f"{SETTINGS_VARIABLE}."
        ) from None
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}).") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not a text file in UTF-8: save it as such.") from error
    return read_settings(text, path)


def read_settings(text: str, path: Path) -> dict[str, Given]:
    """The settings in the text of a file; InputError tells every mistake with its line."""
    try:
        tree = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        if mark and error.context_mark and mark.index >= len(text.rstrip()):
            # What was left open is noticed only at the end of the file: tell where it begins.
            mark = error.context_mark
        line = mark.line + 1 if mark else 0
        raise InputError(str(Problem(str(path), line, f"{_sentence(error)} {_SHAPE}"))) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        wrong = "A control character stands in this line: remove it."
        raise InputError(str(Problem(str(path), line, wrong))) from error
    if tree is None or tree.tag == _NULL:
        return {}
    if not isinstance(tree, yaml.MappingNode):
        raise InputError(str(Problem(str(path), tree.start_mark.line + 1, _SHAPE)))
    given: dict[str, Given] = {}
    problems: list[Problem] = []
    for key, value in tree.value:
        line = key.start_mark.line + 1
        name = str(key.value)
        if wrong := _wrong_entry(name, value, given):
            problems.append(Problem(str(path), line, wrong))
            continue
        # The text as it stands: YAML would take "no" for a truth and 1:30 for a number.
        given[name] = Given("" if value.tag == _NULL else value.value, f"{path}:{line}", line)
    if problems:
        raise InputError("\n".join(map(str, problems)))
    return given


def _sentence(error: yaml.MarkedYAMLError) -> str:
    wrong = error.problem or "this is not YAML"
    return f"{wrong[0].upper()}{wrong[1:]}."


_NULL = "tag:yaml.org,2002:null"

_SHAPE = 'The file holds one setting a line, such as "region: us".'


def _wrong_entry(name: str, value: yaml.Node, before: Mapping[str, Given]) -> str:
    """What is wrong with one entry of the file; empty if nothing is."""
    if wrong := _unknown_name(name):
        return wrong
    if name in before:
        return f"{name} stands in line {before[name].line} already: keep one of the two."
    if not isinstance(value, yaml.ScalarNode):
        return f"{name} takes one value. {_SHAPE}"
    return ""


def unknown_variables(environ: Mapping[str, str], other: tuple[str, ...] = ()) -> tuple[str, ...]:
    """A sentence for each variable that looks like a misspelt setting; `other` ones are known."""
    known = (*map(variable_of, NAMES), *other)
    return tuple(
        f"{name} is not a setting.{_meant_variable(name, known)}"
        for name in sorted(environ)
        if name.startswith(PREFIX) and name not in known
    )


def _meant_variable(name: str, known: Iterable[str]) -> str:
    near = nearest(name, map(str.lower, known))
    return f" Did you mean {near.upper()}?" if near else ""


def _meant(name: str, known: Iterable[str]) -> str:
    near = nearest(name, known)
    return f" Did you mean {near}?" if near else ""


def _attribute(name: str) -> str:
    return name.replace("-", "_")


def _text_of(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(value).removesuffix(".0")
    if isinstance(value, WrittenPressure):
        return f"{_text_of(value.value)} {value.unit}"
    return str(value)
