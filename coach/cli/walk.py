"""`coach walk`: the order of a skill as a picture."""

from __future__ import annotations

import os
from pathlib import Path

import click

from coach.app.beginning import choices_from
from coach.app.local_rules import program_in_force
from coach.core.errors import InputError
from coach.edges.new_files import write_new
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.procedure.order_graph import order_graph
from coach.procedure.sheet import sheet_of

SVG = ".svg"


@click.command(
    epilog="Example: coach walk oral-airway --set patient=adult",
    short_help="Draw the order of a skill as a graph.",
)
@click.argument("skill")
@click.option("--set", "choices", metavar="NAME=VALUE", multiple=True, help="A skill's setting.")
@click.option("--program", help="Local program whose rules are in force: its name or file.")
@click.option(
    "--to",
    "target",
    metavar="FILE.svg",
    type=click.Path(path_type=Path),
    help="The file to write; without it, SKILL.svg in this folder.",
)
def command(skill: str, choices: tuple[str, ...], program: str | None, target: Path | None) -> None:
    """Draw the order of SKILL as an SVG: what must come first, and what is free.

    A line leads from a step to what waits for it; the reason shows when the pointer rests on it.
    Nothing is written over.
    """
    from coach.edges.walk_svg import svg_picture

    local = program_in_force(load_settings({"program": program}, os.environ))
    skill_file = load_skill(skill, local)
    came = frozenset(complication.id for complication in skill_file.complications)
    chosen = skill_file.chosen(choices_from(choices, skill_file), came)
    target = target or Path(f"{skill_file.id}{SVG}")
    if target.suffix.lower() != SVG:
        raise InputError(f"--to {target} does not end in .svg: name such a file.")
    rules = skill_file.in_force
    told = (*sheet_of(chosen).chosen, *([f"rules of {rules.named}"] if rules else []))
    write_new({target: svg_picture(chosen.title, told, order_graph(chosen))})
    click.echo(str(target))
