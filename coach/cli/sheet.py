"""`coach sheet`: a skill as a guide on one page, for paper."""

from __future__ import annotations

import os
from pathlib import Path

import click

from coach.app.beginning import choices_from
from coach.app.local_rules import program_in_force
from coach.core.errors import InputError
from coach.edges.new_files import write_new
from coach.edges.settings import load_settings
from coach.edges.sheet_html import html_page
from coach.edges.skill_files import load_skill
from coach.procedure.sheet import Sheet, sheet_of

PDF, HTML = ".pdf", ".html"


@click.command(
    epilog="Example: coach sheet oral-airway --set patient=adult",
    short_help="Print a skill as a one-page guide.",
)
@click.argument("skill")
@click.option("--set", "choices", metavar="NAME=VALUE", multiple=True, help="A skill's setting.")
@click.option("--program", help="Local program whose rules are in force: its name or file.")
@click.option(
    "--to",
    "target",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Only this file, which ends in .pdf or .html.",
)
@click.option(
    "--paper",
    type=click.Choice(["letter", "a4"]),
    default="letter",
    show_default=True,
    help="Paper of the PDF.",
)
def command(
    skill: str, choices: tuple[str, ...], program: str | None, target: Path | None, paper: str
) -> None:
    """Write SKILL as a guide on one page: SKILL.pdf and SKILL.html in this folder.

    The page has the steps in their order with how and why, what must come first, lines for the
    numbers you read, and the cautions; no dose and no size. Nothing is written over.
    """
    local = program_in_force(load_settings({"program": program}, os.environ))
    skill_file = load_skill(skill, local)
    came = frozenset(complication.id for complication in skill_file.complications)
    rules = skill_file.in_force.named if skill_file.in_force else ""
    sheet = sheet_of(skill_file.chosen(choices_from(choices, skill_file), came), rules)
    if target is not None and target.suffix.lower() not in (PDF, HTML):
        raise InputError(f"--to {target} ends in neither .pdf nor .html: name such a file.")
    targets = [target] if target else [Path(f"{skill_file.id}{ending}") for ending in (PDF, HTML)]
    write_new({path: _content(sheet, path, paper) for path in targets})
    for path in targets:
        click.echo(str(path))


def _content(sheet: Sheet, path: Path, paper: str) -> str | bytes:
    if path.suffix.lower() == HTML:
        return html_page(sheet)
    from coach.edges.sheet_pdf import pdf_page

    return pdf_page(sheet, paper)
