"""`coach understand`: what words mean at a given moment, without any sound."""

from __future__ import annotations

import json

import click

from coach.app.meaning_told import meaning_fields, meaning_words
from coach.app.moment import moment_context
from coach.cli.moment_options import moment_options
from coach.edges.carelessness_table import read_carelessness
from coach.language.understand import understand


@click.command(
    epilog='Example: coach understand "no leaks" --skill oxygen-cylinder --step leaks',
    short_help="Show what a sentence would mean to the coach.",
)
@click.argument("texts", metavar="TEXT...", nargs=-1, required=True)
@moment_options
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON for each text.")
def command(
    texts: tuple[str, ...], skill: str, step: str | None, expect: str | None, as_json: bool
) -> None:
    """Show what TEXT means: a command, an answer, a step, a reading, or nothing."""
    context, _ = moment_context(skill, step, expect)
    careless = read_carelessness()
    for text in texts:
        meaning = understand(text, context, careless)
        if as_json:
            click.echo(json.dumps(meaning_fields(meaning), ensure_ascii=False))
        else:
            click.echo(f"{meaning.text or '(no words)'}: {meaning_words(meaning)}")
