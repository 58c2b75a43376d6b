"""`coach check`: every mistake in skill and dialogue files, each with its line."""

from __future__ import annotations

from pathlib import Path

import click

from coach.core.errors import InputError
from coach.edges.skill_files import check_file, files_in, procedure_folders
from coach.procedure.wording import counted


@click.command(epilog="Example: coach check procedures/oral-airway.yaml")
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=click.Path(path_type=Path))
def command(paths: tuple[Path, ...]) -> int:
    """Check skill files and dialogue files, or whole folders of them.

    Without a PATH every known file is checked. Each mistake is printed as FILE:LINE: what is wrong
    and what to do; the exit code is 1 if there is any.
    """
    files = _files(paths)
    problems = [problem for file in files for problem in check_file(file)]
    for problem in problems:
        click.echo(str(problem))
    if problems:
        broken = len({problem.file for problem in problems})
        summary = f"{counted(len(problems), 'problem')} in {broken} of {len(files)} files"
        click.echo(summary, err=True)
        return 1
    click.echo(f"{counted(len(files), 'file')}, no problems")
    return 0


def _files(paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """The files named and those in the folders named, each once; InputError for an empty folder."""
    found: dict[Path, None] = {}
    for path in paths or procedure_folders():
        if path.is_dir():
            inside = files_in(path)
            if not inside and paths:
                raise InputError(f"{path} holds no .yaml file: name another folder or a file.")
            found.update(dict.fromkeys(inside))
        else:
            found[path] = None
    return tuple(found)
