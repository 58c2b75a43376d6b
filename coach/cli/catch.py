"""`coach catch`: the coach plays a student, and the instructor catches what is wrong."""

from __future__ import annotations

import json
import os
import random
import sys
from contextlib import closing

import click

from coach.app.drilling import Drill, journalled
from coach.app.learners import learners_id
from coach.app.practice import check_records
from coach.app.senses import Senses
from coach.cli.observers import JsonObserver, TextObserver, tell_beside
from coach.cli.session_options import opened, setting_options, skill_options
from coach.drill.catching import Caught
from coach.drill.mistakes import Mistake
from coach.drill.student import student_acts
from coach.edges.typed_ear import SilentVoice, TypedEar
from coach.session.loop import Observer


@click.command(
    epilog="Example: coach catch oral-airway --mistakes 2",
    short_help="Hear a student make mistakes, and object aloud.",
)
@click.argument("skill")
@click.option("--mistakes", type=click.IntRange(0, 10), default=3, help="How many; 3 without.")
@click.option("--seed", type=int, help="The same number, the same mistakes.")
@click.option("--learner", metavar="NAME", help="Who watches: the drill is kept for them.")
@skill_options
@click.option("--typed", is_flag=True, help="By keyboard: one line after each act, empty for none.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")
@setting_options("microphone", "loudspeaker", "voice", "program")
def command(
    skill: str,
    mistakes: int,
    seed: int | None,
    learner: str | None,
    choices: tuple[str, ...],
    typed: bool,
    as_json: bool,
    **flags: object,
) -> int:
    """Hear a student do SKILL with mistakes in it, and object aloud: "stop", "you forgot the ...".

    Afterwards the coach says which mistakes were not caught, and why they are wrong. The drill is
    kept (coach learner shows it); it is no time practised, for nothing was done by hand. A training
    aid only, never for patient care: local protocol and medical direction decide.
    """
    now = opened(skill, choices, flags)
    settings, skill_file = now.settings, now.skill_file
    chosen = skill_file.chosen(now.choices)
    number = seed if seed is not None else random.SystemRandom().randrange(1_000_000)
    check_records()
    whose = learners_id(learner, os.environ, tell_beside) if learner else ""
    drill = Drill(chosen, student_acts(chosen, number, mistakes), number, mistakes, whose)
    observer: Observer = JsonObserver() if as_json else TextObserver(show_learner=not typed)
    if typed:
        ear, voice = TypedEar(sys.stdin), SilentVoice()
        with closing(ear), closing(voice):
            senses = Senses(ear, voice, skips=True)
            caught = journalled(drill, skill_file, senses, observer, os.environ)
    else:
        from coach.app.sound import senses_in_sound

        with senses_in_sound(settings, observer, None, None) as senses:
            caught = journalled(drill, skill_file, senses, observer, os.environ)
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
