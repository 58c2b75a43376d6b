"""`coach practice`: the main job, in any of its ways."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

import click

from coach.app.beginning import drawn, happenings_drawn, scenario_drawn, with_scenario
from coach.app.learners import learners_id
from coach.app.moment import moment_context
from coach.app.practice import check_records, practise_typed
from coach.app.request import Request
from coach.app.script import shortfalls
from coach.app.scripted_practice import practise_script
from coach.cli.meaning_json import meaning_fields
from coach.cli.observers import JsonObserver, TextObserver, tell_beside
from coach.cli.session_options import opened, setting_options, skill_options
from coach.core.errors import InputError
from coach.dialogue.ending import summary_of
from coach.dialogue.first_questions import CYLINDER, REGION, UNIT, Needs, needs_of
from coach.dialogue.state import State
from coach.edges.settings import DEFAULT, Settings
from coach.edges.skill_files import load_dialogues
from coach.edges.skill_folders import ENDINGS
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.session.loop import Observer
from coach.session.wake import wake_word

OF_A_SCRIPT = ("region", "cylinder", "reserve", "pressure_unit", "training_cylinder")
"""Settings that a learner's script says itself."""


@click.command(
    epilog="Example: coach practice oral-airway --set patient=adult",
    short_help="Practise a skill, led by voice.",
)
@click.argument("skill")
@click.option("--typed", is_flag=True, help="By keyboard: one utterance a line, no sound at all.")
@click.option(
    "--from", "recording", metavar="FILE.wav", help="Hear a recording instead of the microphone."
)
@click.option(
    "--way",
    type=click.Choice([str(way) for way in Way]),
    default=str(Way.LED),
    help="Led step by step; from memory, with hints; assessed in silence; or a drill alone.",
)
@click.option(
    "--scenario",
    help="A patient to practise with: its name or file (coach skills); a drill has one anyway.",
)
@click.option(
    "--learner",
    metavar="NAME",
    help="Whose attempt it is; or a FILE.yaml: a scripted learner plays the student.",
)
@click.option("--named", metavar="NAME", help="Only the script of that name in the learner's file.")
@click.option("--first", "only_first", is_flag=True, help="Only the first script of that file.")
@click.option("--spoken", is_flag=True, help="With --learner: in sound, through the recogniser.")
@click.option("--keep", metavar="FILE.wav", help="Keep what the coach says as a recording.")
@skill_options
@click.option("--seed", type=int, help="Let a complication come; the same number, the same one.")
@click.option("--wake", metavar="WORD", help="In a class: hear only talk that begins with WORD.")
@click.option("--headset/--no-headset", default=None, help="The microphone can't hear the coach.")
@click.option(
    "--ask-first/--no-ask-first", default=None, help="Ask for settings that were never set, or not."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")
@setting_options()
def command(
    skill: str,
    typed: bool,
    recording: str | None,
    way: str,
    scenario: str | None,
    learner: str | None,
    named: str | None,
    only_first: bool,
    spoken: bool,
    keep: str | None,
    choices: tuple[str, ...],
    seed: int | None,
    wake: str | None,
    as_json: bool,
    **flags: object,
) -> int:
    """Practise SKILL hands-free: the coach names a step and listens, you say what you do.

    Say I'm ready, done, next, why, how, what's left, go back, skip it, wait, go on, stop, or help.
    A training aid only, never for patient care: local protocol and medical direction decide.
    """
    script = learner if learner and Path(learner).suffix in ENDINGS else None
    asked = Asked(typed, recording, script, named, only_first, spoken, keep, seed, wake, as_json)
    _check_ways(asked, told=bool(choices) or any(flags[name] for name in OF_A_SCRIPT))
    now = opened(skill, choices, flags)
    settings, skill_file = now.settings, now.skill_file
    if not scenario and not script and Way(way) is Way.DRILL:
        scenario = scenario_drawn(skill_file.id, now.chosen, seed)
    if scenario:
        skill_file = with_scenario(skill_file, scenario, Way(way))
    chosen = {**now.usual, **_settings_of(skill_file), **now.chosen}
    if script:
        dialogues = _chosen(skill_file, script, named, only_first)
        _check_keep(asked, several=len(dialogues) > 1)
        return _script(Play(skill_file, script, settings, spoken, keep, as_json), dialogues)
    _check_keep(asked, several=False)
    check_records()
    word = None if wake is None else wake_word(wake, moment_context(skill, None, None)[1].phrases)
    drawn_now = () if scenario else drawn(skill_file, seed, live=not asked.ways)
    whose = learners_id(learner, os.environ, tell_beside) if learner else ""
    happens = happenings_drawn(skill_file.scenario, seed)
    needs = _needs(skill_file, settings, chosen, now.decided, asked, Way(way))
    request = Request(
        skill_file,
        settings,
        chosen,
        drawn_now,
        word,
        Way(way),
        whose,
        happens,
        needs,
        now.decided,
        now.filled,
    )
    _practise(request, asked)
    return 0


def _needs(
    skill_file: SkillFile,
    settings: Settings,
    chosen: Mapping[str, str],
    decided: Collection[str],
    asked: Asked,
    way: Way,
) -> Needs | None:
    """What the coach asks for before it begins: only of somebody who is there to answer.

    In an assessment nothing is asked; a command that says --ask-first is always obeyed.
    """
    told = settings.origin("ask-first") == "--ask-first"
    typing = sys.stdin is not None and sys.stdin.isatty()
    there = not asked.recording and (typing or not asked.typed)
    if not settings.ask_first or not (told or (there and way is not Way.ASSESSED)):
        return None
    known = {name for name in (REGION, UNIT, CYLINDER) if settings.origin(name) != DEFAULT}
    known |= {REGION} if CYLINDER in known else set()  # its letter was taken for that region's
    known |= {f"{skill_file.id}.{name}" for name in (*chosen, *decided)}
    needs = needs_of(skill_file.chosen(chosen), known, settings.region)
    return needs if needs.names else None


def _settings_of(skill_file: SkillFile) -> dict[str, str]:
    """The settings that the scenario, if there is one, is about."""
    return dict(skill_file.scenario.settings) if skill_file.scenario else {}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the options of a session were, beside its settings."""

    typed: bool
    recording: str | None
    learner: str | None
    named: str | None
    only_first: bool
    spoken: bool
    keep: str | None
    seed: int | None
    wake: str | None
    as_json: bool

    @property
    def ways(self) -> tuple[str, ...]:
        """The options that say how to practise; without one it is live."""
        given = (("--typed", self.typed), ("--from", self.recording), ("--learner", self.learner))
        return tuple(name for name, value in given if value)

    @property
    def in_sound(self) -> bool:
        """Whether the coach speaks aloud or into a file."""
        return self.spoken or not (self.typed or self.learner)


def _check_ways(asked: Asked, told: bool) -> None:
    """Refuse options that do not go together; `told`: options that a script says itself."""
    if len(asked.ways) > 1:
        raise click.UsageError(f"{' and '.join(asked.ways)} exclude each other: choose one.")
    if (asked.spoken or asked.named or asked.only_first) and not asked.learner:
        raise click.UsageError("--spoken, --named and --first need a --learner FILE.yaml.")
    if asked.learner and (told or asked.seed is not None):
        raise click.UsageError(
            "The scripts of --learner say --set, --seed, --region, --cylinder, --reserve, "
            "--pressure-unit and --training-cylinder themselves: leave them out."
        )
    if asked.learner and asked.wake is not None:
        raise click.UsageError("--wake is for people: a scripted --learner speaks to nobody else.")


def _practise(request: Request, asked: Asked) -> None:
    """A session with a person, or with a recording of one."""
    observer: Observer = (
        JsonObserver() if asked.as_json else TextObserver(show_learner=not asked.typed)
    )
    if asked.typed:
        state = practise_typed(request, sys.stdin, observer)
    else:
        from coach.app.sound import practise_aloud

        recording = Path(asked.recording) if asked.recording else None
        state = practise_aloud(
            request, observer, recording, Path(asked.keep) if asked.keep else None
        )
    if request.way is Way.LED:
        _show_end(state, asked.as_json)


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


def _check_keep(asked: Asked, several: bool) -> None:
    """Refuse a --keep that could not be obeyed, before anything is opened or overwritten."""
    keep, recording = asked.keep, asked.recording
    if keep is None:
        return
    if not asked.in_sound:
        raise click.UsageError("--keep keeps sound: leave out --typed, or add --spoken.")
    if several:
        raise click.UsageError("--keep holds one session: choose a script by --named or --first.")
    path = Path(keep)
    if path.is_dir() or not path.absolute().parent.is_dir():
        raise InputError(f"--keep {keep} is not a file in a folder that exists: choose another.")
    if recording and path.exists() and Path(recording).exists() and path.samefile(recording):
        raise InputError(f"--keep {keep} would overwrite the recording: choose another file.")


@dataclass(frozen=True, slots=True)
class Play:
    """How the scripts of the file `learner` are played."""

    skill_file: SkillFile
    learner: str
    settings: Settings
    spoken: bool
    keep: str | None
    as_json: bool


def _script(play: Play, dialogues: tuple[Dialogue, ...]) -> int:
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
    complications = drawn(skill_file, dialogue.seed, live=False)
    if play.spoken:
        from coach.app.sound import practise_script_aloud

        kept = Path(play.keep) if play.keep else None
        state, exchanges = practise_script_aloud(
            skill_file, dialogue, observer, complications, kept, play.settings
        )
    else:
        state, exchanges = practise_script(skill_file, dialogue, observer, complications)
    _show_end(state, play.as_json)
    found = list(shortfalls(dialogue, exchanges, state, meaning_fields))
    if found and play.spoken:
        click.echo("Otherwise than the script has it:", err=True)
    for line in found:
        click.echo(f"coach: {play.learner}, {dialogue.name}, {line}", err=True)
    return bool(found)


def _show_end(state: State, as_json: bool) -> None:
    summary = summary_of(state)
    if as_json:
        click.echo(json.dumps(summary.as_json(), ensure_ascii=False))
    else:
        click.echo(f"\n{summary.as_text()}\n")
