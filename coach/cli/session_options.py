"""Settings as options of a command, and the skill as these settings have it."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import click

from coach.app.beginning import choices_from
from coach.app.cylinder_in_use import cylinder_in_use
from coach.app.local_rules import program_in_force, settings_by
from coach.app.usual_choices import filled_choices, program_decides, usual_choices
from coach.edges.settings import Settings, load_settings
from coach.edges.skill_files import load_skill
from coach.procedure.in_force import InForce
from coach.procedure.model import Skill
from coach.procedure.skill_file import SkillFile

FLAGS = {
    "region": "Country whose cylinder letters count: us, uk or anz.",
    "cylinder": "Letter of the cylinder in use.",
    "pressure-unit": "What a pressure said without its unit is in: psi or bar.",
    "training-cylinder": "empty, if the cylinder in use holds no pressure; no, if it does.",
    "reserve": 'Pressure kept back, for example "200 psi".',
    "engine": "Recogniser: auto, own, vosk or whisper.",
    "model": "Folder of the recogniser's model, for vosk and whisper.",
    "microphone": "Number or part of the name of the microphone (see coach devices).",
    "loudspeaker": "Number or part of the name of the loudspeaker.",
    "voice": "Part of the name of the coach's voice.",
    "program": "Local program whose rules are in force: its name or file.",
    "rate": "How fast the coach speaks; 1 is ordinary.",
    "hint-seconds": "With --way recall: the silence after which the coach hints.",
    "time-limit": "Seconds after which the coach calls the time; 0 is none.",
    "safety-failure": "With --way assessed: counts, or ends the attempt.",
}
"""Settings that may be given for one session; the rest is in the settings file."""

Command = TypeVar("Command", bound=Callable[..., Any])


def setting_options(*names: str) -> Callable[[Command], Command]:
    """An option for each of these settings, in their order; for all of FLAGS if none is named."""

    def add(command: Command) -> Command:
        for name in reversed(names or tuple(FLAGS)):
            command = click.option(f"--{name}", help=FLAGS[name])(command)
        return command

    return add


def skill_options(command: Command) -> Command:
    """`--set NAME=VALUE`, as often as need be."""
    return click.option(
        "--set", "choices", metavar="NAME=VALUE", multiple=True, help="A skill's setting."
    )(command)


@dataclass(frozen=True, slots=True)
class Opened:
    """The settings, the skill by the rules in force, and the options chosen in it now.

    `usual` are options that the settings file has, where none is chosen, `filled` those that
    follow from the cylinder in use. `decided` are settings that the local program decides.
    """

    settings: Settings
    skill_file: SkillFile
    chosen: dict[str, str]
    usual: dict[str, str]
    filled: dict[str, str]
    decided: frozenset[str]

    @property
    def choices(self) -> dict[str, str]:
        """The options that count."""
        return {**self.filled, **self.usual, **self.chosen}


def opened(skill: str, choices: Sequence[str], flags: Mapping[str, object]) -> Opened:
    """What a command of a session works with; InputError for whatever of it is wrong."""
    settings = load_settings(flags, os.environ)
    program = program_in_force(settings)
    settings = settings_by(program, settings)
    skill_file = load_skill(skill, program)
    cylinder_in_use(settings, skill_file.cylinders)  # a wrong letter is told before all else
    chosen = choices_from(choices, skill_file)
    usual = usual_choices(settings, skill_file, program)
    decided = program_decides(program, skill_file.id)
    filled = filled_choices(settings, skill_file, program)
    return Opened(settings, skill_file, chosen, usual, filled, decided)


def opened_whole(
    skill: str, choices: Sequence[str], flags: Mapping[str, object]
) -> tuple[Skill, InForce | None]:
    """The skill with every complication it may have, and the rules of a program in force."""
    now = opened(skill, choices, flags)
    came = frozenset(complication.id for complication in now.skill_file.complications)
    return now.skill_file.chosen(now.choices, came), now.skill_file.in_force
