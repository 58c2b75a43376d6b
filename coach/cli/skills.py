"""`coach skills`: the skills that can be practised, and what to lay out for each."""

from __future__ import annotations

import json
import os
import shutil
import sys
import textwrap

import click

from coach.app.cylinder_in_use import table_in_force
from coach.app.local_rules import program_in_force
from coach.core.errors import InputError
from coach.core.plain import Fields
from coach.edges.scenario_files import scenarios_of
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_paths
from coach.procedure.bibliography import bibliography
from coach.procedure.in_force import exceptions_told, rules_told
from coach.procedure.local_facts import LocalProgram
from coach.procedure.skill_file import SkillFile
from coach.trade.wording import counted

LEAST_ROOM = 24
"""Columns a text needs to be broken between words; with fewer the terminal breaks it."""


@click.command(epilog="Example: coach skills --json")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON array.")
@click.option(
    "--sources",
    is_flag=True,
    help="Print the published texts, the facts that rest on each, and where they disagree.",
)
@click.option(
    "--rules",
    is_flag=True,
    help="Print which local program's rules are in force, where they differ from the default, and "
    "which defaults are not the safest published number, and why.",
)
@click.option("--program", help="Local program whose rules count: its name or file.")
def command(as_json: bool, sources: bool, rules: bool, program: str | None) -> int:
    """List the skills: id, title, minutes, and what to lay out beforehand.

    A file with mistakes is told of on standard error, and the exit code is 1; the others are
    listed all the same. What the local program in force turns off is left out.
    """
    local = program_in_force(load_settings({"program": program}, os.environ))
    if rules:
        _print_rules(local)
        return 0
    skills: list[SkillFile] = []
    failures: list[InputError] = []
    for path in skill_paths().values():
        if local is not None and path.stem in local.skills and local.skills[path.stem].off:
            continue
        try:
            skills.append(load_skill(path, local))
        except InputError as broken:
            failures.append(broken)
    if sources:
        table = table_in_force(None)
        click.echo("\n".join(bibliography(table, skills)))
    elif as_json:
        click.echo(json.dumps([_as_json(skill) for skill in skills], indent=2, ensure_ascii=False))
    else:
        _print(skills)
    for failure in failures:
        click.echo(f"coach: {failure}", err=True)
    return 1 if failures else 0


def _print_rules(local: LocalProgram | None) -> None:
    table = table_in_force(None)
    if local is None:
        click.echo("No local program is in force: the default rules count.")
        click.echo("Name one in the setting program (coach settings), or by --program NAME.")
    else:
        click.echo("\n".join(rules_told(local, table)))
    own = {change.fact for change in local.changes} if local else set()
    own |= {change.now.name for change in local.cylinders} if local else set()
    click.echo("\n".join(exceptions_told(table, own)))


def _print(skills: list[SkillFile]) -> None:
    width = max((len(skill.id) for skill in skills), default=0)
    for skill in skills:
        own = f", your own version ({skill.file})" if skill.hides else ""
        click.echo(f"{skill.id:{width}}  {skill.title}, {counted(skill.minutes, 'minute')}{own}")
        click.echo(_in_column(f"lay out: {'; '.join(skill.table)}", width + 2))
        for setting in skill.settings.values():
            options = " or ".join(
                f"{name} (default)" if name == setting.default else name for name in setting.options
            )
            click.echo(f"{'':{width}}  {setting.name}: {options}")
        for scenario in scenarios_of(skill.id):
            click.echo(f"{'':{width}}  scenario {scenario.id}: {scenario.title}")


def _in_column(text: str, indent: int) -> str:
    """The text from that column on; broken between words on a terminal, whole for a program."""
    edge = " " * indent
    room = shutil.get_terminal_size().columns
    if sys.stdout is None or not sys.stdout.isatty() or room < indent + LEAST_ROOM:
        return f"{edge}{text}"
    return textwrap.fill(text, room, initial_indent=edge, subsequent_indent=edge)


def _as_json(skill: SkillFile) -> Fields:
    return {
        "id": skill.id,
        "title": skill.title,
        "minutes": skill.minutes,
        "table": list(skill.table),
        "settings": {
            setting.name: {"default": setting.default, "options": list(setting.options)}
            for setting in skill.settings.values()
        },
        "scenarios": [scenario.id for scenario in scenarios_of(skill.id)],
        "file": skill.file,
    }
