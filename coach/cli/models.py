"""`coach models`: the speech models on this machine, and fetching another one."""

from __future__ import annotations

import json
import os
from pathlib import Path

import click
from tqdm import tqdm

from coach.cli.bar_shape import bar_shape
from coach.core.plain import Fields
from coach.edges.engines import OWN, second_ear
from coach.edges.model_store import (
    FOLDER_VARIABLE,
    ModelEntry,
    State,
    fetch,
    find_model,
    model_path,
    model_state,
    models_folder,
    read_manifest,
    way_out,
)
from coach.edges.settings import Settings, load_settings
from coach.edges.whisper_recogniser import missing_packages

MEGABYTE = 1_000_000


@click.group(invoke_without_command=True, epilog="Example: coach models fetch whisper-tiny")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON array.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> None:
    """List the speech models: engine, language, size, licence, and whether each is here.

    The first comes with the program and needs nothing. The last lines say which ears a practice
    has now.
    """
    if ctx.invoked_subcommand is not None:
        return
    entries = read_manifest()
    if as_json:
        click.echo(json.dumps([_as_json(entry) for entry in entries], indent=2))
        return
    width = max(len(entry.name) for entry in entries)
    for entry in entries:
        state = model_state(entry, thorough=True)
        mend = f": {way_out(entry)}" if state is State.DAMAGED else ""
        click.echo(
            f"{entry.name:{width}}  {state}{mend}; engine {entry.engine}; "
            f"{entry.language}; {_megabytes(entry)}"
        )
        click.echo(f"{'':{width}}  {entry.about} Licence: {entry.licence}")
    click.echo(f"Fetched models lie in {models_folder()} (or in {FOLDER_VARIABLE}).")
    settings = load_settings({}, os.environ)
    first = "own, which comes with the program" if settings.engine in OWN else settings.engine
    click.echo(f"First ear: {first} (setting engine).")
    click.echo(f"Second ear: {second_ear_words(settings)}.")


@command.command("fetch", epilog="Example: coach models fetch whisper-tiny")
@click.argument("name")
@click.option(
    "--from",
    "given",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="An archive you have, instead of the network.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def fetch_command(name: str, given: Path | None, as_json: bool) -> None:
    """Fetch the model NAME, going on where an earlier try was broken off.

    It is checked by SHA-256 and put in its place in one step, so it is never half there.
    """
    entry = find_model(name)
    with tqdm(
        unit="B", unit_scale=True, desc=name, disable=None, leave=False, **bar_shape()
    ) as bar:

        def show(there: int, awaited: int) -> None:
            bar.total = awaited or None
            bar.update(there - bar.n)

        path = fetch(entry, given, show)
    if as_json:
        click.echo(json.dumps(_as_json(entry)))
    else:
        click.echo(f"{name} is in {path}.")
        if entry.inside is None:
            click.echo(f"Use it with: --engine {entry.engine}")
        if entry == second_ear():
            click.echo(f"Second ear: {second_ear_words(load_settings({}, os.environ))}.")


def second_ear_words(settings: Settings) -> str:
    """Whether a practice has a second ear for free sentences, and how to change that."""
    entry = second_ear()
    if settings.engine not in OWN:
        return f"none, for {settings.engine} hears free sentences itself"
    if not settings.second_ear:
        return "switched off (setting second-ear)"
    state = model_state(entry, thorough=True)
    if state is State.DAMAGED:
        return f"none, for {entry.name} is damaged: {way_out(entry)}"
    if state is State.ABSENT:
        return f"none; coach models fetch {entry.name} gets one, for sentences in your own words"
    if missing := missing_packages():
        return (
            f"none, for {' and '.join(missing)} must be installed: "
            'pip install "hands-free-skill-coach[second-ear]"'
        )
    return f"{entry.name}, for sentences the first is unsure of (second-ear: no switches it off)"


def _megabytes(entry: ModelEntry) -> str:
    return f"{entry.size / MEGABYTE:.0f} MB"


def _as_json(entry: ModelEntry) -> Fields:
    state = model_state(entry, thorough=True)
    there = state in (State.INSIDE, State.FETCHED)
    return {
        "name": entry.name,
        "engine": entry.engine,
        "language": entry.language,
        "bytes": entry.size,
        "licence": entry.licence,
        "about": entry.about,
        "state": str(state),
        "path": str(model_path(entry)) if there else None,
        "files": {file.name: file.sha256 for file in entry.files},
    }
