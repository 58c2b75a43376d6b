"""`coach hear`: what recordings of single utterances mean at a given moment."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import click

from coach.app.moment import moment_context
from coach.cli.meaning_json import meaning_fields, meaning_words
from coach.core.errors import CoachError, MissingError
from coach.core.meaning import Meaning
from coach.core.plain import Plain
from coach.edges.engines import AUTO, engine_named, known_engines, open_recogniser
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.ports import Recogniser

LONGEST_UTTERANCE_S = 60.0

ENGINE_NAMES = ", ".join(engine.name for engine in known_engines())


@click.command(
    epilog="Example: coach hear answer.wav --skill oxygen-cylinder --expect pressure --json",
    short_help="Show what a recording would mean to the coach.",
)
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path())
@click.option("--skill", required=True, metavar="SKILL", help="The skill being practised.")
@click.option("--step", metavar="STEP", help="The step being asked for; without it all are open.")
@click.option(
    "--expect",
    metavar="WHAT",
    help="What was just asked: yes-no, pressure, flow, saturation, vacuum, rate, time, length, "
    "size or blood-pressure.",
)
@click.option("--engine", default=AUTO, metavar="NAME", help=f"The recogniser: {ENGINE_NAMES}.")
@click.option(
    "--model",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="The recogniser's model, instead of the one it has here.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON for each file.")
def command(
    files: tuple[str, ...],
    skill: str,
    step: str | None,
    expect: str | None,
    engine: str,
    model: Path | None,
    as_json: bool,
) -> int:
    """Show what each FILE, a recording of one utterance, means: a command, an answer, and so on.

    WAV and other sound files of 8 to 48 kHz, one channel or two. No sound device is needed. A file
    that cannot be read is told of, the others are answered, and the exit code is 1.
    """
    context, hint = moment_context(skill, step, expect)
    engine_named(engine)
    recogniser = open_recogniser(engine, model)
    failed = False
    for file in files:
        try:
            meaning = _meaning(file, recogniser, context, hint)
        except MissingError:
            raise
        except CoachError as wrong:
            failed = True
            _report(file, str(wrong), as_json)
            continue
        if as_json:
            click.echo(json.dumps({**meaning_fields(meaning), "file": file}, ensure_ascii=False))
        else:
            click.echo(f"{file}: {_words(meaning)}")
    return 1 if failed else 0


def _meaning(file: str, recogniser: Recogniser, context: Context, hint: Hint) -> Meaning:
    """What the recording means, as sure as the recogniser is of the words at most."""
    heard = recogniser.hear(read_recording(Path(file), LONGEST_UTTERANCE_S), hint)
    meaning = understand(heard.text, context)
    return replace(meaning, confidence=round(min(meaning.confidence, heard.confidence), 3))


def _words(meaning: Meaning) -> str:
    if not meaning.text:
        return "no speech"
    return f'"{meaning.text}": {meaning_words(meaning)} (confidence {meaning.confidence:.2f})'


def _report(file: str, message: str, as_json: bool) -> None:
    """A file that could not be answered: a line of its own, in the place of the answer."""
    if as_json:
        empty: dict[str, Plain] = dict.fromkeys(meaning_fields(Meaning("")))
        click.echo(json.dumps({**empty, "file": file, "error": message}, ensure_ascii=False))
    else:
        click.echo(f"coach: {message}", err=True)
