"""The options of a skill that the settings decide, where nobody chooses another for a session."""

from __future__ import annotations

from coach.app.cylinder_in_use import cylinder_in_use
from coach.core.errors import InputError
from coach.edges.settings import DEFAULT, Settings
from coach.procedure.cylinder_fill import fill_choices
from coach.procedure.local_facts import LocalProgram
from coach.procedure.resolve import mapping
from coach.procedure.skill_file import SkillFile


def usual_choices(
    settings: Settings, skill_file: SkillFile, program: LocalProgram | None
) -> dict[str, str]:
    """What the settings file has of this skill.

    What the local program decides is left to it. InputError, with its place, for a setting or
    option that the skill does not have.
    """
    decided = program_decides(program, skill_file.id)
    choices: dict[str, str] = {}
    for name, option in settings.skill_choices.items():
        skill, _, setting = name.partition(".")
        if skill != skill_file.id:
            continue
        try:
            skill_file.chosen({setting: option})
        except InputError as error:
            raise InputError(f"{settings.origin(name)}: {error}") from error
        choices[setting] = option
    return {name: option for name, option in choices.items() if name not in decided}


def filled_choices(
    settings: Settings, skill_file: SkillFile, program: LocalProgram | None
) -> dict[str, str]:
    """How the cylinder in use is filled, where somebody has said which it is; the local program's
    word goes before."""
    if all(settings.origin(name) == DEFAULT for name in ("region", "cylinder")):
        return {}
    decided = program_decides(program, skill_file.id)
    cylinder = cylinder_in_use(settings, skill_file.cylinders)
    filled = fill_choices(skill_file.settings, cylinder)
    return {name: option for name, option in filled.items() if name not in decided}


def program_decides(program: LocalProgram | None, skill: str) -> frozenset[str]:
    """The settings of a skill for which a local program has its own default."""
    change = program.skills.get(skill) if program else None
    return frozenset(mapping(change.written.get("settings")) if change else ())
