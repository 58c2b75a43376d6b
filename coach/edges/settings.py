"""The user's settings: flags before environment variables before the settings file before defaults.

The variable of a setting is COACH_ and its name in capitals, `-` as `_`. An empty value counts as
not given.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from coach.core.errors import InputError
from coach.core.units import Unit
from coach.edges.setting_values import NAMES, PARSERS, attribute_of, text_of
from coach.edges.settings_text import Given, from_file
from coach.procedure.wording import nearest
from coach.rehearsal.aim import AIM
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Region

PREFIX = "COACH_"
"""How the environment variable of every setting begins."""

DEFAULT = "default"
"""The origin of a value that nobody gave."""

USUAL_RESERVE = WrittenPressure(200.0, Unit.PSI)
"""Kept in the cylinder unless a setting or a local program says otherwise: the fact
`cylinder-reserve`, named here so that settings are read without the table of facts (a test holds
one against the other)."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Every setting with its value, and where each value came from.

    `cylinder` is a letter; which letters `region` has is known by the rules in force.
    `microphone`, `loudspeaker`, `voice` and `model` are None
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
    reserve: WrittenPressure = USUAL_RESERVE
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
        return getattr(self, attribute_of(name))

    def text(self, name: str) -> str:
        """The value as it could be given again; empty for None."""
        return text_of(self.value(name))

    def origin(self, name: str) -> str:
        """Where a value came from: its flag, its variable, its file and line, or "default"."""
        self.value(name)
        return self.origins.get(name, DEFAULT)


def variable_of(name: str) -> str:
    """The environment variable of a setting: COACH_NUDGE_SECONDS for nudge-seconds."""
    return PREFIX + attribute_of(name).upper()


def load_settings(flags: Mapping[str, object], environ: Mapping[str, str]) -> Settings:
    """All settings, each from the first place that gives it.

    `flags` are by name, `-` or `_` alike; None and "" count as not given (so does an absent
    on-off flag only if it is None, not False). InputError tells the mistakes one a line, each with
    its place; a wrong value is told even where another place overrules it.
    """
    sources = (
        from_file(environ),
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
            if name not in PARSERS:
                chosen[name], origins[name] = given.text.strip(), given.origin
                continue
            try:
                values[name] = PARSERS[name](given.text.strip(), name)
            except InputError as error:
                mistakes.append(f"{given.origin}: {error}")
            origins[name] = given.origin
    if mistakes:
        raise InputError("\n".join(mistakes))
    return Settings(
        **{attribute_of(name): value for name, value in values.items()},
        skill_choices=MappingProxyType(chosen),
        origins=MappingProxyType(origins),
    )


ANSWERED = "answered"
"""The origin of a value that was said before the first practice."""


def with_values(settings: Settings, values: Mapping[str, str]) -> Settings:
    """The settings with these values, given as text; InputError for one that does not fit."""
    told = {name: PARSERS[name](text, name) for name, text in values.items() if name in PARSERS}
    return replace(
        settings,
        **{attribute_of(name): value for name, value in told.items()},
        origins=MappingProxyType({**settings.origins, **dict.fromkeys(told, ANSWERED)}),
    )


def _from_flags(flags: Mapping[str, object]) -> dict[str, Given]:
    given = {name.replace("_", "-"): value for name, value in flags.items()}
    unknown = given.keys() - set(NAMES)
    if unknown:
        raise ValueError(f"{', '.join(sorted(unknown))}: no such settings")
    return {name: Given(text_of(value), f"--{name}") for name, value in given.items()}


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
