"""`coach settings`: every setting, its value and where the value comes from."""

from __future__ import annotations

import json
import os
from pathlib import Path

import click

from coach.edges.folders import (
    DATA_VARIABLE,
    SETTINGS_VARIABLE,
    settings_file,
    user_data_folder,
)
from coach.edges.model_store import FOLDER_VARIABLE as MODELS_VARIABLE
from coach.edges.settings import NAMES, Settings, load_settings, unknown_variables, variable_of
from coach.edges.skill_files import FOLDER_VARIABLE as PROCEDURES_VARIABLE

OTHER_VARIABLES = (DATA_VARIABLE, SETTINGS_VARIABLE, MODELS_VARIABLE, PROCEDURES_VARIABLE)
"""Variables that name a folder or file; they are no settings."""

NOT_SET = "(not set)"


@click.command(
    epilog="Example: coach settings --json",
    short_help="Show every setting and where it comes from.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(as_json: bool) -> None:
    """Show every setting, its value and where the value comes from.

    A flag such as --region counts before its environment variable (COACH_REGION), the variable
    before the settings file, the file before the default.
    """
    settings = load_settings({}, os.environ)
    show = _as_json if as_json else _as_text
    click.echo(show(settings, settings_file(os.environ), user_data_folder(os.environ)))
    for remark in unknown_variables(os.environ, OTHER_VARIABLES):
        click.echo(f"coach: {remark}", err=True)


def _as_text(settings: Settings, file: Path, data: Path) -> str:
    rows = [(name, settings.text(name) or NOT_SET, settings.origin(name)) for name in NAMES]
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
            "variable": variable_of(name),
        }
        for name in NAMES
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
