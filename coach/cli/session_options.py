"""Settings as options of a command, and the skill as these settings have it."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

import click

from coach.app.beginning import choices_from
from coach.app.local_rules import program_in_force, settings_by
from coach.edges.settings import Settings, load_settings
from coach.edges.skill_files import load_skill
from coach.procedure.model import Skill
from coach.procedure.skill_file import SkillFile

FLAGS = {
    "region": "Country whose cylinder letters count: us, uk or anz.",
    "cylinder": "Letter of the cylinder in use.",
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


def opened(
    skill: str, choices: Sequence[str], flags: Mapping[str, object]
) -> tuple[Settings, SkillFile, dict[str, str]]:
    """The settings, the skill by the rules in force, and the options chosen in it.

    InputError for whatever of these is wrong.
    """
    settings = load_settings(flags, os.environ)
    program = program_in_force(settings)
    settings = settings_by(program, settings)
    skill_file = load_skill(skill, program)
    return settings, skill_file, choices_from(choices, skill_file)


def opened_whole(
    skill: str, choices: Sequence[str], flags: Mapping[str, object]
) -> tuple[Skill, str]:
    """The skill with every complication it may have, and the rules in force by name ("": none)."""
    _, skill_file, chosen = opened(skill, choices, flags)
    came = frozenset(complication.id for complication in skill_file.complications)
    rules = skill_file.in_force.named if skill_file.in_force else ""
    return skill_file.chosen(chosen, came), rules
