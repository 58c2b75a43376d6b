"""`coach settings`: every setting and where it comes from; set and forget write the file."""

from __future__ import annotations

import json
import os
from pathlib import Path

import click

from coach.app.cylinder_in_use import cylinder_in_use, cylinder_remark, cylinders_known
from coach.app.local_rules import program_in_force
from coach.dialogue.first_questions import CYLINDER, REGION, UNIT
from coach.edges.folders import (
    DATA_VARIABLE,
    SETTINGS_VARIABLE,
    settings_file,
    user_data_folder,
)
from coach.edges.model_store import FOLDER_VARIABLE as MODELS_VARIABLE
from coach.edges.setting_values import NAMES
from coach.edges.settings import Settings, load_settings, unknown_variables, variable_of
from coach.edges.settings_writer import forget as forget_settings
from coach.edges.settings_writer import remember
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import FOLDER_VARIABLE as PROCEDURES_VARIABLE

RECORDINGS_VARIABLE = "COACH_SPEECH"
"""Where the tests and benchmarks find recordings; the program itself reads none."""

OTHER_VARIABLES = (
    DATA_VARIABLE,
    SETTINGS_VARIABLE,
    MODELS_VARIABLE,
    PROCEDURES_VARIABLE,
    RECORDINGS_VARIABLE,
)
"""Variables that name a folder or file; they are no settings."""

ASKED = (REGION, UNIT, CYLINDER)
"""Settings that the coach asks for; those of skills come after."""

NOT_SET = "(not set)"


@click.group(
    invoke_without_command=True,
    epilog="Example: coach settings set cylinder E",
    short_help="Show every setting and where it comes from, change or forget one.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
@click.pass_context
def command(context: click.Context, as_json: bool) -> None:
    """Show every setting, its value and where the value comes from.

    A flag such as --region counts before its environment variable (COACH_REGION), the variable
    before the settings file, the file before the default. What the coach asks for before the first
    practice stands in the settings file, too.
    """
    if context.invoked_subcommand is not None:
        return
    settings = load_settings({}, os.environ)
    show = _as_json if as_json else _as_text
    click.echo(show(settings, settings_file(os.environ), user_data_folder(os.environ)))
    for remark in (*unknown_variables(os.environ, OTHER_VARIABLES), *cylinder_remark(settings)):
        click.echo(f"coach: {remark}", err=True)


@command.command("set", epilog="Example: coach settings set oral-airway.landmark mouth-to-jaw")
@click.argument("name")
@click.argument("value")
def set_(name: str, value: str) -> None:
    """Write setting NAME with VALUE into the settings file; all else in it stays as it is.

    A setting of a skill is named SKILL.SETTING.
    """
    _check_choice(name, value)
    now = load_settings({name: value} if name in NAMES else {}, os.environ)
    if name in (REGION, CYLINDER):
        cylinder_in_use(now, cylinders_known(program_in_force(now)))
    path = remember({name: value}, os.environ)
    click.echo(f"{name}: {value}  {path}")


@command.command(epilog="Example: coach settings forget --asked")
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--asked", is_flag=True, help="All that the coach asks for before a first practice.")
def forget(names: tuple[str, ...], asked: bool) -> None:
    """Take settings out of the settings file: their defaults count, or the coach asks again."""
    if not names and not asked:
        raise click.UsageError("Name a setting, or say --asked for all that the coach asks for.")
    there = load_settings({}, os.environ)
    wanted = {*names, *((*ASKED, *there.skill_choices) if asked else ())}
    if REGION in wanted:
        wanted.add(CYLINDER)  # a letter means nothing without its region
    gone = forget_settings(sorted(wanted), os.environ)
    click.echo(f"Forgotten: {', '.join(gone) or 'nothing, for none of it stood there'}.")


def _check_choice(name: str, value: str) -> None:
    """InputError for an option that the skill of a setting such as oral-airway.landmark lacks."""
    skill, dot, setting = name.partition(".")
    if dot:
        load_skill(skill).chosen({setting: value})


def _as_text(settings: Settings, file: Path, data: Path) -> str:
    names = (*NAMES, *settings.skill_choices)
    rows = [(name, settings.text(name) or NOT_SET, settings.origin(name)) for name in names]
    name_width = max(len(row[0]) for row in rows)
    value_width = max(len(row[1]) for row in rows)
    lines = [
        f"{name:{name_width}}  {value:{value_width}}  {origin}" for name, value, origin in rows
    ]
    there = "" if file.exists() else " (not there yet)"
    return "\n".join([*lines, "", f"Settings file: {file}{there}", f"Data folder: {data}"])


def _as_json(settings: Settings, file: Path, data: Path) -> str:
    listed = [
        {
            "name": name,
            "value": _plain(settings, name),
            "origin": settings.origin(name),
            "variable": variable_of(name) if name in NAMES else None,
        }
        for name in (*NAMES, *settings.skill_choices)
    ]
    return json.dumps(
        {
            "settings": listed,
            "file": str(file),
            "file_exists": file.exists(),
            "data_folder": str(data),
        }
    )


def _plain(settings: Settings, name: str) -> str | float | bool | None:
    """Numbers and truths as such, amounts with their unit as text."""
    value = settings.value(name)
    return value if isinstance(value, float | bool) or value is None else settings.text(name)
