"""The scripts of a learner's file, played one after the other and held against what they say."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from coach.app.script import shortfalls
from coach.app.scripted_practice import practise_script
from coach.cli.observers import JsonObserver, TextObserver, show_end
from coach.core.errors import InputError
from coach.edges.settings import Settings
from coach.edges.skill_files import load_dialogues
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Observer


@dataclass(frozen=True, slots=True)
class Play:
    """How the scripts of the file `learner` are played."""

    skill_file: SkillFile
    learner: str
    settings: Settings
    spoken: bool
    keep: str | None
    as_json: bool


def scripts_chosen(
    skill_file: SkillFile, learner: str, named: str | None, only_first: bool
) -> tuple[Dialogue, ...]:
    """The scripts of a learner's file that are to be played."""
    dialogues = load_dialogues(Path(learner), skill_file)
    if named is not None:
        dialogues = tuple(dialogue for dialogue in dialogues if dialogue.name == named)
        if not dialogues:
            raise InputError(f"{learner} has no script named '{named}'.")
    return dialogues[:1] if only_first else dialogues


def play_scripts(play: Play, dialogues: tuple[Dialogue, ...]) -> int:
    """Play scripts one after the other; 1 when one differed from what it says must come of it."""
    differed = False
    for dialogue in dialogues:
        if not play.as_json:
            click.echo(f"--- {dialogue.name}")
        differed |= _differs(play, dialogue)
    return 1 if differed and not play.spoken else 0


def _differs(play: Play, dialogue: Dialogue) -> bool:
    """Play one script, and tell each way in which it differed."""
    observer: Observer = JsonObserver() if play.as_json else TextObserver(show_learner=True)
    skill_file = play.skill_file
    if play.spoken:
        from coach.app.sound import practise_script_aloud

        kept = Path(play.keep) if play.keep else None
        played = practise_script_aloud(skill_file, dialogue, observer, kept, play.settings)
    else:
        played = practise_script(skill_file, dialogue, observer)
    show_end(played.state, play.as_json)
    found = list(shortfalls(played))
    if found and play.spoken:
        click.echo("Otherwise than the script has it:", err=True)
    for shortfall in found:
        click.echo(f"coach: {play.learner}, {dialogue.name}, {shortfall}", err=True)
    return bool(found)
