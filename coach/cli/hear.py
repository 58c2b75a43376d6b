"""`coach hear`: what recordings of single utterances mean at a given moment."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import click

from coach.app.meaning_told import meaning_fields, meaning_words
from coach.app.moment import expected_words, moment_context
from coach.cli.moment_options import moment_options
from coach.core.errors import CoachError, MissingError
from coach.core.meaning import Kind, Meaning
from coach.core.plain import Plain
from coach.edges.engines import AUTO, engine_named, known_engines, open_ears
from coach.edges.settings import load_settings
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.judgement import judge
from coach.session.likeliest import likeliest, understood
from coach.session.moment import Moment
from coach.session.ports import Recogniser
from coach.session.verdict import Verdict

LONGEST_UTTERANCE_S = 60.0

EXPLAINING = ("decision", "reason", "expected", "hypotheses")
"""Fields beside those of the meaning, which say how it came about."""

ENGINE_NAMES = ", ".join(engine.name for engine in known_engines())


@click.command(
    epilog="Example: coach hear answer.wav --skill oxygen-cylinder --expect pressure --json",
    short_help="Show what a recording would mean to the coach.",
)
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path())
@moment_options
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

    It is judged as in a practice: what was not heard surely enough does not count, and it says why.
    WAV and other sound files of 8 to 48 kHz, one channel or two. No sound device is needed. A file
    that cannot be read is told of, the others are answered, and the exit code is 1.
    """
    context, hint = moment_context(skill, step, expect)
    engine_named(engine)
    second = load_settings({}, os.environ).second_ear
    recogniser = open_ears(engine, model, second, waits=True)
    failed = False
    for file in files:
        try:
            heard = _heard(file, recogniser, context, hint)
        except MissingError:
            raise
        except CoachError as wrong:
            failed = True
            _report(file, str(wrong), as_json)
            continue
        if as_json:
            click.echo(json.dumps({**_fields(heard), "file": file}, ensure_ascii=False))
        else:
            click.echo(f"{file}: {_words(heard)}")
    return 1 if failed else 0


@dataclass(frozen=True, slots=True)
class _Heard:
    """A recording as it was heard and judged at a moment."""

    hypothesis: Hypothesis
    verdict: Verdict
    context: Context

    def considered(self) -> Iterator[tuple[str, float | None]]:
        """The texts that competed, the one judged first, with their probabilities if known."""
        seen = {self.hypothesis.text}
        yield self.hypothesis.text, round(self.hypothesis.confidence, 3)
        extra: list[tuple[str, float | None]] = [*self.hypothesis.others]
        if self.hypothesis.second_ear is not None:
            extra.append(self.hypothesis.second_ear)
        if self.hypothesis.second is not None:
            extra.append((self.hypothesis.second, None))
        for text, probability in extra:
            if text not in seen:
                seen.add(text)
                yield text, None if probability is None else round(probability, 3)


def _heard(file: str, recogniser: Recogniser, context: Context, hint: Hint) -> _Heard:
    """What the recording means, as sure as the recogniser is of the words at most."""
    sound = read_recording(Path(file), LONGEST_UTTERANCE_S)
    hypothesis = likeliest(recogniser.hear(sound, hint), context)
    meaning = understood(hypothesis, context)
    verdict = judge(meaning, hypothesis, Moment(context.expect))
    # A verdict's own confidence is a product; here the less sure of ear and language is told.
    kept = verdict.meaning.confidence if verdict.meaning.kind is Kind.NONE else meaning.confidence
    sure = round(min(kept, hypothesis.confidence), 3)
    shown = replace(verdict, meaning=replace(verdict.meaning, confidence=sure))
    return _Heard(hypothesis, shown, context)


def _fields(heard: _Heard) -> dict[str, Plain]:
    """The meaning's fields, and those that explain it."""
    competed = [{"text": text, "probability": chance} for text, chance in heard.considered()]
    return {
        **meaning_fields(heard.verdict.meaning),
        "decision": str(heard.verdict.decision),
        "reason": heard.verdict.reason,
        "expected": expected_words(heard.context),
        "hypotheses": competed if heard.hypothesis.text else [],
    }


def _words(heard: _Heard) -> str:
    meaning, verdict = heard.verdict.meaning, heard.verdict
    if not meaning.text:
        return "no speech"
    lines = [f'"{meaning.text}": {meaning_words(meaning)} (confidence {meaning.confidence:.2f})']
    for text, chance in heard.considered():
        known = "    " if chance is None else f"{chance:.2f}"
        alone = meaning_words(understand(text, heard.context)) if text else "silence or noise"
        lines.append(f'    {known}  "{text}": {alone}')
    lines.append(f"    expected: {expected_words(heard.context)}")
    lines.append(f"    decided: {verdict.decision}: {verdict.reason}")
    return "\n".join(lines)


def _report(file: str, message: str, as_json: bool) -> None:
    """A file that could not be answered: a line of its own, in the place of the answer."""
    if as_json:
        empty: dict[str, Plain] = dict.fromkeys([*meaning_fields(Meaning("")), *EXPLAINING])
        click.echo(json.dumps({**empty, "file": file, "error": message}, ensure_ascii=False))
    else:
        click.echo(f"coach: {message}", err=True)
