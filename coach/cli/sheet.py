"""`coach sheet`: a skill as a guide on one page, for paper."""

from __future__ import annotations

from pathlib import Path

import click

from coach.cli.session_options import opened_whole, setting_options, skill_options
from coach.core.errors import InputError
from coach.edges.new_files import write_new
from coach.edges.sheet_html import html_page
from coach.procedure.sheet import Sheet, sheet_of

PDF, HTML = ".pdf", ".html"


@click.command(
    epilog="Example: coach sheet oral-airway --set patient=adult",
    short_help="Print a skill as a one-page guide.",
)
@click.argument("skill")
@skill_options
@setting_options("program")
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
    skill: str, choices: tuple[str, ...], target: Path | None, paper: str, **flags: object
) -> None:
    """Write SKILL as a guide on one page: SKILL.pdf and SKILL.html in this folder.

    The page has the steps in their order with how and why, what must come first, lines for the
    numbers you read, and the cautions; no dose and no size. Where a long skill leaves no room for
    how or why, the PDF says so and the HTML has both. Nothing is written over.
    """
    whole, rules = opened_whole(skill, choices, flags)
    sheet = sheet_of(whole, rules)
    if target is not None and target.suffix.lower() not in (PDF, HTML):
        raise InputError(f"--to {target} ends in neither .pdf nor .html: name such a file.")
    targets = [target] if target else [Path(f"{whole.id}{ending}") for ending in (PDF, HTML)]
    write_new({path: _content(sheet, path, paper) for path in targets})
    for path in targets:
        click.echo(str(path))


def _content(sheet: Sheet, path: Path, paper: str) -> str | bytes:
    if path.suffix.lower() == HTML:
        return html_page(sheet)
    from coach.edges.sheet_pdf import pdf_page

    return pdf_page(sheet, paper)
