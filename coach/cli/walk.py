"""`coach walk`: the order of a skill as a picture."""

from __future__ import annotations

from pathlib import Path

import click

from coach.cli.session_options import opened_whole, setting_options, skill_options
from coach.core.errors import InputError
from coach.edges.new_files import write_new
from coach.procedure.sheet import sheet_of

SVG = ".svg"


@click.command(
    epilog="Example: coach walk oral-airway --set patient=adult",
    short_help="Draw the order of a skill as a graph.",
)
@click.argument("skill")
@skill_options
@setting_options("program")
@click.option(
    "--to",
    "target",
    metavar="FILE.svg",
    type=click.Path(path_type=Path),
    help="The file to write; without it, SKILL.svg in this folder.",
)
def command(skill: str, choices: tuple[str, ...], target: Path | None, **flags: object) -> None:
    """Draw the order of SKILL as an SVG: what must come first, and what is free.

    A line leads from a step to what waits for it; the reason shows when the pointer rests on it.
    Nothing is written over.
    """
    from coach.edges.walk_svg import graph_for_paper, svg_picture

    chosen, rules = opened_whole(skill, choices, flags)
    target = target or Path(f"{chosen.id}{SVG}")
    if target.suffix.lower() != SVG:
        raise InputError(f"--to {target} does not end in .svg: name such a file.")
    told = (*sheet_of(chosen).chosen, *([f"rules of {rules.named}"] if rules else []))
    write_new({target: svg_picture(chosen.title, told, graph_for_paper(chosen))})
    click.echo(str(target))
