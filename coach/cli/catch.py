"""`coach catch`: the coach plays a student, and the instructor catches what is wrong."""

from __future__ import annotations

import json
import os
import random
import sys
from contextlib import closing

import click

from coach.app.beginning import choices_from
from coach.app.drilling import play_student
from coach.app.local_rules import program_in_force, settings_by
from coach.app.senses import Senses
from coach.cli.observers import JsonObserver, TextObserver
from coach.drill.catching import Caught
from coach.drill.student import Mistake, student_acts
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.typed_ear import SilentVoice, TypedEar
from coach.session.loop import Observer


@click.command(
    epilog="Example: coach catch oral-airway --mistakes 2",
    short_help="Hear a student make mistakes, and object aloud.",
)
@click.argument("skill")
@click.option("--mistakes", type=click.IntRange(0, 10), default=3, help="How many; 3 without.")
@click.option("--seed", type=int, help="The same number, the same mistakes.")
@click.option("--set", "choices", metavar="NAME=VALUE", multiple=True, help="A skill's setting.")
@click.option("--typed", is_flag=True, help="By keyboard: one line after each act, empty for none.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")
@click.option("--microphone", help="Number or part of the name of the microphone.")
@click.option("--loudspeaker", help="Number or part of the name of the loudspeaker.")
@click.option("--voice", help="Part of the name of the coach's voice.")
@click.option("--program", help="Local program whose rules are in force.")
def command(
    skill: str,
    mistakes: int,
    seed: int | None,
    choices: tuple[str, ...],
    typed: bool,
    as_json: bool,
    **flags: object,
) -> int:
    """Hear a student do SKILL with mistakes in it, and object aloud: "stop", "you forgot the ...".

    Afterwards the coach says which mistakes were not caught, and why they are wrong. A training aid
    only, never for patient care: local protocol and medical direction decide.
    """
    settings = load_settings(flags, os.environ)
    program = program_in_force(settings)
    settings = settings_by(program, settings)
    skill_file = load_skill(skill, program)
    chosen = skill_file.chosen(choices_from(choices, skill_file))
    number = seed if seed is not None else random.SystemRandom().randrange(1_000_000)
    acts = student_acts(chosen, number, mistakes)
    observer: Observer = JsonObserver() if as_json else TextObserver(show_learner=not typed)
    if typed:
        ear, voice = TypedEar(sys.stdin), SilentVoice()
        with closing(ear), closing(voice):
            caught = play_student(chosen, acts, Senses(ear, voice, skips=True), observer)
    else:
        from coach.app.sound import senses_in_sound

        with senses_in_sound(settings, observer, None, None) as senses:
            caught = play_student(chosen, acts, senses, observer)
    if as_json:
        click.echo(json.dumps(_fields(skill_file.id, number, caught), ensure_ascii=False))
    return 0


def _fields(skill: str, seed: int, caught: Caught) -> dict[str, object]:
    return {
        "type": "caught",
        "skill": skill,
        "seed": seed,
        "caught": [_mistake(mistake) for mistake in caught.caught],
        "missed": [_mistake(mistake) for mistake in caught.missed],
        "without_cause": caught.without_cause,
    }


def _mistake(mistake: Mistake) -> dict[str, str]:
    return {
        "wrong": str(mistake.wrong),
        "about": mistake.about,
        "says": mistake.says,
        "because": mistake.because,
    }
