"""`coach practice`: the main job, in any of its ways."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

import click

from coach.app.beginning import choices_from, drawn
from coach.app.practice import Request, practise_script, practise_typed
from coach.app.script import shortfalls
from coach.cli.meaning_json import meaning_fields
from coach.cli.observers import JsonObserver, TextObserver
from coach.core.errors import InputError
from coach.dialogue.ending import summary_of
from coach.dialogue.state import State
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_dialogues, load_skill
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Observer

FLAGS = (
    ("--region", "Country whose cylinder letters count: us, uk or anz."),
    ("--cylinder", "Letter of the cylinder in use."),
    ("--reserve", 'Pressure kept back, for example "200 psi".'),
    ("--engine", "Recogniser: auto, own, vosk or whisper."),
    ("--model", "Folder of the recogniser's model, for vosk and whisper."),
    ("--microphone", "Number or part of the name of the microphone (see coach devices)."),
    ("--loudspeaker", "Number or part of the name of the loudspeaker."),
    ("--voice", "Part of the name of the coach's voice."),
    ("--rate", "How fast the coach speaks; 1 is ordinary."),
)
"""Settings that may be given for one session; the rest is in the settings file."""


def _with_settings(command: Any) -> Any:
    for flag, text in reversed(FLAGS):
        command = click.option(flag, help=text)(command)
    return command


@click.command(
    epilog="Example: coach practice oral-airway --set patient=adult",
    short_help="Practise a skill, led by voice.",
)
@click.argument("skill")
@click.option("--typed", is_flag=True, help="By keyboard: one utterance a line, no sound at all.")
@click.option(
    "--from", "recording", metavar="FILE.wav", help="Hear a recording instead of the microphone."
)
@click.option("--learner", metavar="FILE.yaml", help="A scripted learner plays the student.")
@click.option("--named", metavar="NAME", help="Only the script of that name in the learner's file.")
@click.option("--first", "only_first", is_flag=True, help="Only the first script of that file.")
@click.option("--spoken", is_flag=True, help="With --learner: in sound, through the recogniser.")
@click.option("--keep", metavar="FILE.wav", help="Keep what the coach says as a recording.")
@click.option("--set", "choices", metavar="NAME=VALUE", multiple=True, help="A skill's setting.")
@click.option("--seed", type=int, help="Let a complication come; the same number, the same one.")
@click.option("--headset/--no-headset", default=None, help="The microphone can't hear the coach.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")
@_with_settings
def command(
    skill: str,
    typed: bool,
    recording: str | None,
    learner: str | None,
    named: str | None,
    only_first: bool,
    spoken: bool,
    keep: str | None,
    choices: tuple[str, ...],
    seed: int | None,
    as_json: bool,
    **flags: object,
) -> int:
    """Practise SKILL hands-free: the coach names a step and listens, you say what you do.

    Say I'm ready, done, next, why, how, what's left, go back, skip it, wait, go on, stop, or help.
    A training aid only, never for patient care: local protocol and medical direction decide.
    """
    ways = [name for name, given in (("--typed", typed), ("--from", recording)) if given]
    ways += ["--learner"] if learner else []
    if len(ways) > 1:
        raise click.UsageError(f"{' and '.join(ways)} exclude each other: choose one.")
    if (spoken or named or only_first) and not learner:
        raise click.UsageError("--spoken, --named and --first need a --learner FILE.yaml.")
    skill_file = load_skill(skill)
    settings = load_settings(flags, os.environ)
    chosen = choices_from(choices, skill_file)
    if learner:
        dialogues = _chosen(skill_file, learner, named, only_first)
        return _script(skill_file, dialogues, spoken, keep, as_json)
    request = Request(skill_file, settings, chosen, drawn(skill_file, seed, live=not ways))
    observer: Observer = JsonObserver() if as_json else TextObserver(show_learner=not typed)
    if typed:
        state = practise_typed(request, sys.stdin, observer)
    else:
        from coach.app.sound import practise_aloud

        recorded = Path(recording) if recording else None
        state = practise_aloud(request, observer, recorded, Path(keep) if keep else None)
    _show_end(state, as_json)
    return 0


def _chosen(
    skill_file: SkillFile, learner: str, named: str | None, only_first: bool
) -> tuple[Dialogue, ...]:
    """The scripts of a learner's file that are to be played."""
    dialogues = load_dialogues(Path(learner), skill_file)
    if named is not None:
        dialogues = tuple(dialogue for dialogue in dialogues if dialogue.name == named)
        if not dialogues:
            raise InputError(f"{learner} has no script named '{named}'.")
    return dialogues[:1] if only_first else dialogues


def _script(
    skill_file: SkillFile,
    dialogues: tuple[Dialogue, ...],
    spoken: bool,
    keep: str | None,
    as_json: bool,
) -> int:
    """Play scripts one after the other; 1 when one differed from what it says must come of it."""
    differed = False
    for dialogue in dialogues:
        if not as_json:
            click.echo(f"--- {dialogue.name}")
        differed |= _play(skill_file, dialogue, spoken, keep, as_json)
    return 1 if differed and not spoken else 0


def _play(
    skill_file: SkillFile, dialogue: Dialogue, spoken: bool, keep: str | None, as_json: bool
) -> bool:
    observer: Observer = JsonObserver() if as_json else TextObserver(show_learner=True)
    complications = drawn(skill_file, dialogue.seed, live=False)
    if spoken:
        from coach.app.sound import practise_script_aloud

        kept = Path(keep) if keep else None
        state, exchanges = practise_script_aloud(
            skill_file, dialogue, observer, complications, kept
        )
    else:
        state, exchanges = practise_script(skill_file, dialogue, observer, complications)
    _show_end(state, as_json)
    found = list(shortfalls(dialogue, exchanges, state, meaning_fields))
    for line in found:
        click.echo(f"coach: {dialogue.name}: {line}", err=True)
    return bool(found)


def _show_end(state: State, as_json: bool) -> None:
    summary = summary_of(state)
    if as_json:
        click.echo(json.dumps(summary.as_json(), ensure_ascii=False))
    else:
        click.echo(f"\n{summary.as_text()}\n")
