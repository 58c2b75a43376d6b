"""`coach check`: every mistake in skill and dialogue files, each with its line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.checked_files import check_file, files_in
from coach.edges.data_files import data_folder
from coach.edges.skill_folders import is_local_file, is_skill_file, procedure_folders
from coach.edges.skill_text import shown
from coach.trade.wording import counted

if TYPE_CHECKING:
    from coach.app.vocabulary import Vocabulary


@click.command(epilog="Example: coach check procedures/oral-airway.yaml")
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--words",
    is_flag=True,
    help="Also try every phrase of the skills that come with the coach, about a tenth of a second "
    "a skill.",
)
@click.option(
    "--vosk-model",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Also name the words that this Vosk model can never hear.",
)
def command(paths: tuple[Path, ...], words: bool, vosk_model: Path | None) -> int:
    """Check skill files and dialogue files, or whole folders of them.

    Without a PATH every known file is checked. Each mistake is printed as FILE:LINE: what is wrong
    and what to do; the exit code is 1 if there is any. In your own skill files and local rules, and
    in each that is named itself, every phrase is tried: whether it is understood as its step, and
    as no other.
    """
    files = _files(paths)
    vocabulary = None if vosk_model is None else _vocabulary(vosk_model)
    # A broken table of facts is a problem of every skill file that names it, told once.
    problems = list(dict.fromkeys(problem for file in files for problem in check_file(file)))
    own = data_folder("procedures").resolve()
    of_user = {file for file in files if file.resolve().parent != own}
    spoken = [file for file in files if words or file in paths or file in of_user]
    tried = [file for file in spoken if is_skill_file(file)]
    tried += [file for file in spoken if is_local_file(file)]
    problems += _word_problems(tried, {problem.file for problem in problems})
    for problem in problems:
        click.echo(str(problem))
    if problems:
        broken = len({problem.file for problem in problems})
        summary = f"{counted(len(problems), 'problem')} in {broken} of {len(files)} files"
        click.echo(summary, err=True)
        return 1
    click.echo(f"{counted(len(files), 'file')}, no problems")
    if vocabulary is not None:
        _show_unheard(files, vocabulary)
    return 0


def _word_problems(skills: list[Path], broken: set[str]) -> Iterator[Problem]:
    """What is wrong with the words of the skills that have no other problem."""
    if skills:
        # Understanding is loaded only where it is asked for.
        from coach.app.heard_words import program_word_problems, word_problems

        for file in skills:
            if shown(file) not in broken:
                of_file = program_word_problems if is_local_file(file) else word_problems
                yield from of_file(file)


def _vocabulary(model: Path) -> Vocabulary:
    from coach.edges.vosk_recogniser import VoskRecogniser

    return VoskRecogniser(model)


def _show_unheard(files: tuple[Path, ...], vocabulary: Vocabulary) -> None:
    """Name the words that will be heard as something else, or not at all; the file is not wrong."""
    from coach.app.vocabulary import unheard_words

    for file in files:
        if not is_skill_file(file):
            continue
        words = unheard_words(file, vocabulary)
        told = f"unknown to the model: {', '.join(words)}" if words else "the model knows all words"
        click.echo(f"{shown(file)}: {told}")


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
