"""`coach practice`: the main job, in any of its ways."""

from __future__ import annotations

import os
import sys
from collections.abc import Collection, Mapping
from pathlib import Path

import click

from coach.app.beginning import drawn, happenings_drawn, scenario_drawn, with_scenario
from coach.app.learners import learners_id
from coach.app.moment import moment_context
from coach.app.practice import check_records, practise_typed
from coach.app.request import Request
from coach.cli.observers import JsonObserver, TextObserver, show_end, tell_beside
from coach.cli.practice_options import Asked, check_keep, check_ways
from coach.cli.scripted import Play, play_scripts, scripts_chosen
from coach.cli.session_options import opened, setting_options, skill_options
from coach.dialogue.first_questions import CYLINDER, REGION, UNIT, Needs, needs_of
from coach.edges.settings import DEFAULT, Settings
from coach.edges.skill_folders import ENDINGS
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
    check_ways(asked, told=bool(choices) or any(flags[name] for name in OF_A_SCRIPT))
    now = opened(skill, choices, flags)
    settings, skill_file = now.settings, now.skill_file
    if not scenario and not script and Way(way) is Way.DRILL:
        scenario = scenario_drawn(skill_file.id, now.chosen, seed)
    if scenario:
        skill_file = with_scenario(skill_file, scenario, Way(way))
    chosen = {**now.usual, **_settings_of(skill_file), **now.chosen}
    if script:
        dialogues = scripts_chosen(skill_file, script, named, only_first)
        check_keep(asked, several=len(dialogues) > 1)
        return play_scripts(Play(skill_file, script, settings, spoken, keep, as_json), dialogues)
    check_keep(asked, several=False)
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
    skill = skill_file.chosen(chosen)
    needs = needs_of(skill, known, skill_file.cylinders, settings.region)
    return needs if needs.names else None


def _settings_of(skill_file: SkillFile) -> dict[str, str]:
    """The settings that the scenario, if there is one, is about."""
    return dict(skill_file.scenario.settings) if skill_file.scenario else {}


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
        show_end(state, asked.as_json)
