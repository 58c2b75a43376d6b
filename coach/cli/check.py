"""`coach check`: every mistake in skill and dialogue files, each with its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from coach.core.errors import InputError, MissingError
from coach.core.problem import Problem
from coach.edges.checked_files import check_file, files_in
from coach.edges.data_files import data_folder
from coach.edges.skill_folders import (
    DIALOGUES,
    ENDINGS,
    dialogues_beside,
    is_dialogue_file,
    is_local_file,
    is_skill_file,
    procedure_folders,
    skill_of_dialogues,
)
from coach.edges.skill_text import shown
from coach.trade.wording import counted

if TYPE_CHECKING:
    from coach.app.proof import Proof
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
    "--dialogues",
    is_flag=True,
    help="Also play the dialogues of the skills that come with the coach, a second or two a skill.",
)
@click.option(
    "--vosk-model",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Also name the words that this Vosk model can never hear; those of your own files are "
    "held against a Vosk model that was fetched, without asking.",
)
def command(paths: tuple[Path, ...], words: bool, dialogues: bool, vosk_model: Path | None) -> int:
    """Check skill files and dialogue files, or whole folders of them.

    Without a PATH every known file is checked. Each mistake is printed as FILE:LINE: what is wrong
    and what to do; the exit code is 1 if there is any. In your own skill files and local rules, and
    in each that is named itself, every phrase is tried: whether it is understood as its step, and
    as no other. The dialogues of such a skill are played: whether the coach answers as they say.
    What your own do not try yet is told as advice.
    """
    files = _files(paths)
    vocabulary = None if vosk_model is None else _vocabulary(vosk_model)
    found = {file: check_file(file) for file in files}
    sound = [file for file in files if not found[file]]
    own = {file for file in files if not _comes_with_the_coach(file)}
    # A broken table of facts is a problem of every skill file that names it, told once.
    problems = list(dict.fromkeys(problem for file in files for problem in found[file]))
    problems += _word_problems([file for file in sound if words or file in own or file in paths])
    proofs = _proofs([file for file in sound if dialogues or file in own or file in paths], sound)
    problems += [problem for proof in proofs.values() for problem in proof.problems]
    for problem in problems:
        click.echo(str(problem))
    if problems:
        broken = len({problem.file for problem in problems})
        summary = f"{counted(len(problems), 'problem')} in {broken} of {len(files)} files"
        click.echo(summary, err=True)
        return 1
    played = sum(proof.played for proof in proofs.values())
    told = f", {counted(played, 'dialogue')} played" if played else ""
    click.echo(f"{counted(len(files), 'file')}{told}, no problems")
    _advise([file for file in files if file in own], proofs)
    if vocabulary is None:
        files = tuple(f for f in files if f in own and (is_skill_file(f) or is_local_file(f)))
        vocabulary = _fetched_vocabulary() if files else None
        if files and vocabulary is None:
            click.echo(UNTRIED)
    if vocabulary is not None:
        _show_unheard(files, vocabulary)
    return 0


UNTRIED = (
    "advice: no list of words was tried. The recogniser that comes with the coach spells any word, "
    "but Vosk hears only those it knows: coach models fetch vosk-small, or --vosk-model FOLDER."
)
"""Told where an own skill may have words that no model knows."""


def _comes_with_the_coach(file: Path) -> bool:
    return file.resolve().parent == data_folder("procedures").resolve()


def _word_problems(files: Sequence[Path]) -> Iterator[Problem]:
    """What is wrong with the words of sound skills, then with those of local programs."""
    skills = [file for file in files if is_skill_file(file)]
    programs = [file for file in files if is_local_file(file)]
    if skills or programs:
        # Understanding is loaded only where it is asked for.
        from coach.app.heard_words import program_word_problems, word_problems

        for file in skills:
            yield from word_problems(file)
        for file in programs:
            yield from program_word_problems(file)


def _proofs(files: Sequence[Path], sound: Sequence[Path]) -> dict[Path, Proof]:
    """What came of the dialogues of these files, skills and dialogues, by the files of dialogues;
    where one of the two is not sound, it has to be mended first."""
    pairs = {
        dialogues: skill
        for dialogues, skill in ((file, _partner(file)) for file in sound if is_dialogue_file(file))
        if skill in sound and (dialogues in files or skill in files)
    }
    if not pairs:
        return {}
    # The conversation is loaded only where it is asked for.
    from coach.app.proof import proof_of

    return {dialogues: proof_of(skill, dialogues) for dialogues, skill in pairs.items() if skill}


def _advise(files: Sequence[Path], proofs: Mapping[Path, Proof]) -> None:
    """Say what would prove these skills better; they are not wrong without."""
    for file in files:
        if is_skill_file(file) and _partner(file) is None:
            name = f"{file.stem}{DIALOGUES}{ENDINGS[0]}"
            click.echo(f"{shown(file)}: advice: prove it by dialogues, in {name} beside it.")
        elif is_dialogue_file(file) and _partner(file) is None:
            click.echo(f"{shown(file)}: advice: there is no skill of that name, nothing is played.")
        for missing in proofs[file].missing if file in proofs else ():
            click.echo(f"{shown(file)}: advice: {missing}")


def _vocabulary(model: Path) -> Vocabulary:
    from coach.edges.vosk_recogniser import VoskRecogniser

    return VoskRecogniser(model)


def _fetched_vocabulary() -> Vocabulary | None:
    """The words of the Vosk model that was fetched; None where there is none that can be loaded."""
    from coach.edges.model_store import State, model_path, model_state, read_manifest

    try:
        for entry in read_manifest():
            if entry.engine == "vosk" and model_state(entry) is State.FETCHED:
                return _vocabulary(model_path(entry))
    except MissingError:
        return None
    return None


def _show_unheard(files: tuple[Path, ...], vocabulary: Vocabulary) -> None:
    """Name the words that will be heard as something else, or not at all; the file is not wrong."""
    from coach.app.vocabulary import unheard_program_words, unheard_words

    for file in files:
        if is_skill_file(file):
            words = unheard_words(file, vocabulary)
        elif is_local_file(file):
            words = unheard_program_words(file, vocabulary)
        else:
            continue
        told = f"unknown to the model: {', '.join(words)}" if words else "the model knows all words"
        click.echo(f"{shown(file)}: {told}")


def _files(paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """The files named and those in the folders named, each once, and to each skill its dialogues
    and the other way round; InputError for an empty folder."""
    found: dict[Path, None] = {}
    for path in paths or procedure_folders():
        if path.is_dir():
            inside = files_in(path)
            if not inside and paths:
                raise InputError(f"{path} holds no .yaml file: name another folder or a file.")
            found.update(dict.fromkeys(inside))
        else:
            found[path] = None
    for path in tuple(found):
        partner = _partner(path)
        if partner is not None:
            found[partner] = None
    return tuple(found)


def _partner(path: Path) -> Path | None:
    """The dialogues of a skill file, or the skill file of dialogues; None if there is none."""
    if is_dialogue_file(path):
        return skill_of_dialogues(path)
    return dialogues_beside(path) if is_skill_file(path) else None
