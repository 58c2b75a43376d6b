"""`coach class`: who is ready in what, and who could help whom."""

from __future__ import annotations

import json
import os
from datetime import datetime
from pathlib import Path

import click

from coach.app.aim import aim_in_force
from coach.app.class_of import class_table
from coach.app.records import up_to_date
from coach.cli.noting import note_for_a_wipe
from coach.cli.observers import tell_beside
from coach.core.errors import InputError
from coach.edges.new_files import check_new, write_owned
from coach.edges.records.written_files import note_class_file
from coach.edges.settings import load_settings
from coach.edges.skill_folders import skill_ids
from coach.procedure.wording import did_you_mean
from coach.records.class_table import ClassTable
from coach.records.class_words import COLUMNS, as_json, csv_rows, page_text
from coach.report.summary import CAUTION

HTML, CSV = ".html", ".csv"


@click.command(
    epilog="Example: coach class --to class.html",
    short_help="Show who is ready in what, what is missed most, and who could help whom.",
)
@click.option("--skill", "skills", metavar="SKILL", multiple=True, help="Only this skill.")
@click.option(
    "--to",
    "target",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write it into this file, which ends in .html or .csv.",
)
@click.option(
    "--target-chance",
    metavar="CHANCE",
    help="Chance of doing a skill right below which it is fading, 0.6 to 0.95.",
)
@click.option("--json", "as_json_", is_flag=True, help="Print one line of JSON.")
def command(
    skills: tuple[str, ...], target: Path | None, target_chance: str | None, as_json_: bool
) -> None:
    """Show the class: skills against learners, ready, fading, not yet or never tried.

    The steps that are missed most come with counts and 95 % intervals, who could practise with
    whom, and how far the coach and people who judged beside it agree. A training aid only.
    """
    settings = load_settings({"target_chance": target_chance}, os.environ)
    if target is not None and target.suffix.lower() not in (HTML, CSV):
        raise InputError(f"--to {target} ends in neither .html nor .csv: name such a file.")
    here = up_to_date(os.environ, tell_beside)
    now = datetime.now().astimezone()
    table = class_table(here.records, now, aim_in_force(settings), skills)
    _check(table, skills)
    if target is not None:
        content = _content(table, target)
        check_new({target: content})
        note_for_a_wipe(lambda: note_class_file(here.register, target, content))
        write_owned({target: content})
        click.echo(str(target))
    elif as_json_:
        click.echo(json.dumps(as_json(table), ensure_ascii=False))
    else:
        click.echo(page_text(table))
        click.echo(f"\n{CAUTION}")


def _check(table: ClassTable, skills: tuple[str, ...]) -> None:
    """Refuse a skill that nobody practised and that there is not, which is a slip of the pen."""
    known = {skill for (_, skill), cell in table.cells.items() if cell.attempts} | {*skill_ids()}
    for skill in skills:
        if skill not in known:
            advice = did_you_mean(skill, sorted(known), "skills", "coach skills")
            raise InputError(f"There is no skill '{skill}': {advice}")


def _content(table: ClassTable, target: Path) -> bytes:
    if target.suffix.lower() == HTML:
        from coach.edges.class_html import class_page

        return class_page(table).encode("utf-8")
    from coach.records.roster import table_csv

    return table_csv(COLUMNS, csv_rows(table)).encode("utf-8-sig")
