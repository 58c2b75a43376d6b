"""`coach new`: a commented skill file, and the dialogues that prove it, to begin with."""

from __future__ import annotations

import os
from pathlib import Path

import click

from coach.core.errors import InputError
from coach.edges.data_files import data_folder
from coach.edges.new_files import write_new
from coach.edges.skill_folders import DIALOGUES, ENDINGS, own_folder, skill_paths
from coach.edges.skill_text import shown
from coach.procedure.new_skill import checked_id, filled, title_of


@click.command(epilog="Example: coach new chest-seal", short_help="Start a skill of your own.")
@click.argument("skill")
@click.option("--title", help='How a person would say it, such as "Chest seal".')
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    help="Where to write it; without it, into your own folder of skills.",
)
def command(skill: str, title: str | None, folder: Path | None) -> None:
    """Start a file for SKILL with a remark for every part, and a file of dialogues beside it.

    Both work as they are: check them by coach check, try them by coach practice. Nothing that is
    there already is written over.
    """
    skill_id = checked_id(skill)
    known = skill_paths().get(skill_id)
    if known is not None:
        raise InputError(
            f"There is a skill '{skill_id}' already ({shown(known)}): choose another name."
        )
    place = own_folder(os.environ) if folder is None else folder
    if place.exists() and not place.is_dir():
        raise InputError(f"--folder {place} is a file: name a folder.")
    others = [place / f"{skill_id}{ending}" for ending in ENDINGS]
    others += [place / f"{skill_id}{DIALOGUES}{ending}" for ending in ENDINGS]
    for other in others:
        if other.exists():
            raise InputError(f"{other} is there already: move it away or choose another name.")
    texts = {
        place / f"{skill_id}{part}{ENDINGS[0]}": filled(
            _template(template), skill_id, title or title_of(skill_id), _schema(schema)
        )
        for part, template, schema in (
            ("", "new-skill.template", "skill.schema.json"),
            (DIALOGUES, "new-dialogues.template", "dialogues.schema.json"),
        )
    }
    write_new(texts)
    skill_file, dialogues = (shown(path) for path in texts)
    click.echo(f"{skill_file}: fill it in")
    click.echo(f"{dialogues}: what proves it")
    click.echo(
        f"coach check {skill_file} tells what is wrong with either, and plays what proves it"
    )


def _template(name: str) -> str:
    return (data_folder("procedures") / name).read_text("utf-8")


def _schema(name: str) -> str:
    return (data_folder("procedures") / name).absolute().as_uri()
