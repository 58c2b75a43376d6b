"""`coach` alone: what there is to practise, how to begin, and which devices are in use."""

from __future__ import annotations

import os

import click

from coach.app.cylinder_in_use import cylinder_remark
from coach.core.errors import CoachError
from coach.edges.settings import Settings, load_settings
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids


def overview() -> None:
    """Print the skills, how to begin, and the microphone and voice that would be used."""
    click.echo("Practise basic-life-support skills hands-free, led by voice.")
    click.echo("A training aid only, never for patient care: local protocol, medical direction")
    click.echo("and licensed practice decide.\n")
    width = max(map(len, skill_ids()), default=0)
    for skill_id in skill_ids():
        try:
            skill = load_skill(skill_id)
        except CoachError:
            click.echo(f"  {skill_id:{width}} cannot be used: run coach check")
            continue
        click.echo(f"  {skill.id:{width}} {skill.title} (about {skill.minutes} minutes)")
    click.echo("\nBegin:          coach practice oral-airway")
    click.echo("Without sound:  coach practice oral-airway --typed")
    click.echo("All commands:   coach --help\n")
    settings = load_settings({}, os.environ)
    for line in _in_use(settings):
        click.echo(line)
    for remark in cylinder_remark(settings):
        click.echo(f"coach: {remark}", err=True)


def _in_use(settings: Settings) -> list[str]:
    """The microphone and the loudspeaker that would be used, or what to do without them."""
    from coach.edges.audio_devices import Direction, choose_device

    voice = settings.voice or "the system's American English, if there is one"
    try:
        microphone = choose_device(Direction.IN, settings.microphone).name
        loudspeaker = choose_device(Direction.OUT, settings.loudspeaker).name
    except CoachError as error:
        return [str(error)]
    return [f"Microphone: {microphone}", f"Loudspeaker: {loudspeaker}", f"Voice: {voice}"]
