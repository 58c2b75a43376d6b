"""`coach pace`: compressions with their breaths, or breaths alone, by clicks or words."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import click

from coach.app.local_rules import program_in_force
from coach.app.pace import PaceRequest, pace_aloud, pace_into_file, pace_typed
from coach.cli.session_options import setting_options
from coach.core.errors import InputError
from coach.edges.settings import load_settings
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.facts import FactTable
from coach.procedure.in_force import in_force
from coach.procedure.local_facts import LocalProgram
from coach.procedure.paces import Age, Paced, facts_of_pace, pace_of
from coach.session.pacing import PaceEnd
from coach.trade.pacing import Pattern
from coach.trade.wording import cardinal, number_words

LONGEST_MINUTES = 10.0

SAID = {
    PaceEnd.OVER: "The pace is over.",
    PaceEnd.STOPPED: "Stopped.",
    PaceEnd.REAL: "Call for help now.",
}


@click.command(
    epilog="Example: coach pace compressions --rescuers 2 --age child",
    short_help="Give the pace of compressions or breaths.",
)
@click.argument("paced", metavar="WHAT", type=click.Choice([str(kind) for kind in Paced]))
@click.option("--age", type=click.Choice([str(age) for age in Age]), default="adult", help="Whom.")
@click.option("--rescuers", type=click.IntRange(1, 2), default=1, help="How many do it.")
@click.option("--rate", type=float, help="A minute; without it the middle of what is right.")
@click.option("--minutes", type=float, default=2.0, help="How long; two minutes without it.")
@click.option("--words", is_flag=True, help="Count in words; without it clicks.")
@click.option("--typed", is_flag=True, help="No sound: a typed stop ends it.")
@click.option("--keep", metavar="FILE.wav", help="Write the pace into a file, and play nothing.")
@click.option("--headset/--no-headset", default=None, help="The microphone can't hear the coach.")
@click.option("--microphone", help="Number or part of the name of the microphone.")
@click.option("--loudspeaker", help="Number or part of the name of the loudspeaker.")
@setting_options("program")
def command(
    paced: str,
    age: str,
    rescuers: int,
    rate: float | None,
    minutes: float,
    words: bool,
    typed: bool,
    keep: str | None,
    **flags: object,
) -> int:
    """Give the pace of WHAT: compressions (with the breaths between) or ventilations.

    A high click is a compression, a low one a breath. Say stop, or press a key, to end it; count
    aloud as you like. A training aid only, never for patient care: local protocol and medical
    direction decide.
    """
    if not 0 < minutes <= LONGEST_MINUTES:
        raise InputError(f"--minutes {minutes:g} is no length: give up to {LONGEST_MINUTES:g}.")
    if typed and keep:
        raise click.UsageError("--typed and --keep exclude each other: choose one.")
    settings = load_settings(flags, os.environ)
    program = program_in_force(settings)
    published = facts_for(program_facts().parent)
    table = program.over(published) if program else published
    pattern = pace_of(Paced(paced), Age(age), rescuers, rate, table)
    rules = _rules(program, facts_of_pace(Paced(paced), Age(age), rescuers), published)
    request = PaceRequest(pattern, 60.0 * minutes, words, _line(Paced(paced), pattern, rules))
    if typed:
        click.echo(SAID[pace_typed(request, click.echo)])
        return 0
    if keep:
        pace_into_file(request, settings, Path(keep))
        click.echo(f"{request.line} Kept in {keep}.")
        return 0
    click.echo(SAID[pace_aloud(request, settings, click.echo)])
    return 0


def _rules(program: LocalProgram | None, facts: tuple[str, ...], published: FactTable) -> str:
    """Whose rules the pace goes by, and what of them is less safe; "" where none differs."""
    if program is None or not any(change.fact in facts for change in program.changes):
        return ""
    rules = in_force(replace(program, scoring=None), "", facts, {}, published)
    weaker = (f"{told} The reason that your program gives: {why}" for told, why in rules.weaker)
    return " ".join((f"By the rules of {rules.named}.", *weaker, ""))


def _line(paced: Paced, pattern: Pattern, rules: str) -> str:
    """What is said first: the pace, by which rules, and what this is for."""
    practice = f"{rules}Practice only, never patient care; say stop to end."
    if paced is Paced.VENTILATIONS:
        every = number_words(round(pattern.interval_s, 2))
        return f"A breath every {every} seconds. {practice}"
    rate = cardinal(round(pattern.per_minute))
    row = f"{cardinal(pattern.compressions)} to {cardinal(pattern.breaths)}"
    return f"Compressions at {rate} a minute, {row}. {practice}"
