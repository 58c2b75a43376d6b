"""`coach report`: an attempt on one or two pages, for screen, paper and other programs."""

from __future__ import annotations

import os
from pathlib import Path

import click

from coach.app.records import scorer_by_hand
from coach.app.reporting import FORMS, file_of, gather, journal_named
from coach.cli.noting import note_for_a_wipe
from coach.core.errors import InputError
from coach.edges.folders import sessions_folder
from coach.edges.new_files import check_new, write_owned
from coach.edges.records.written_files import note_reports
from coach.edges.register_file import RegisterFile


@click.command(
    epilog="Example: coach report 3f0c2a4e --to reports --as html,pdf",
    short_help="Show an attempt on one or two pages.",
)
@click.argument("attempt", metavar="ATTEMPT|JOURNAL.jsonl")
@click.option(
    "--to",
    "folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    default=Path(),
    help="Folder of the files, else this one.",
)
@click.option(
    "--as",
    "forms",
    metavar="LIST",
    default="html,pdf",
    show_default=True,
    help="Which files: html, pdf, json, csv, with commas between.",
)
@click.option(
    "--paper",
    type=click.Choice(["letter", "a4"]),
    default="letter",
    show_default=True,
    help="Paper of the PDF.",
)
def command(attempt: str, folder: Path, forms: str, paper: str) -> None:
    """Write the report of ATTEMPT, told by its id or its journal, and print the files' names.

    Verdict and what matters most come first, then the timeline, every step with what was heard,
    numbers, earlier attempts and the rules in force. Nothing is written over, and only you can read
    the files, for they name the learner. A training aid only: local protocol and medical direction
    decide.
    """
    wanted = _forms(forms)
    sessions = sessions_folder(os.environ)
    register_file = RegisterFile.of(os.environ)
    register = register_file.read()
    path = journal_named(attempt, sessions)
    gathered = gather(path, sessions, register, scorer_by_hand(os.environ))
    for told in gathered.left_out:
        click.echo(told, err=True)
    contents = {
        folder / f"{gathered.name}.{form}": file_of(gathered, form, paper) for form in wanted
    }
    learner = register.known_by(gathered.result.learner)
    check_new(contents)
    if learner in register.learners:
        note_for_a_wipe(lambda: note_reports(register_file, learner, contents))
    write_owned(contents)
    for path in contents:
        click.echo(str(path))


def _forms(told: str) -> tuple[str, ...]:
    forms = tuple(dict.fromkeys(form.strip().lower() for form in told.split(",") if form.strip()))
    unknown = [form for form in forms if form not in FORMS]
    if unknown or not forms:
        what = f"{unknown[0]} is no form of a report" if unknown else "no form is named"
        raise InputError(f"--as {told}: {what}. There are {', '.join(FORMS)}.")
    return forms
