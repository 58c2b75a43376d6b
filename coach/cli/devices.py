"""`coach devices`: what can be heard and spoken with on this machine, and how to mend the rest."""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import asdict, dataclass, field
from typing import Any

import click
import numpy as np

from coach.core.errors import CoachError, MissingError

FIRST_BLOCK_S = 3.0
MISSING = 2


@dataclass
class Found:
    """What was found; `problems` are sentences that say what to do about what is missing."""

    microphones: list[dict[str, Any]] = field(default_factory=list)
    loudspeakers: list[dict[str, Any]] = field(default_factory=list)
    voices: list[dict[str, Any]] = field(default_factory=list)
    recognisers: list[dict[str, Any]] = field(default_factory=list)
    second_ear: str = ""
    problems: list[str] = field(default_factory=list)


@click.command(epilog="Example: coach devices --listen")
@click.option("--listen", is_flag=True, help="Check how well you are heard: ten short phrases.")
@click.option(
    "--from", "recording", metavar="FILE.wav", help="With --listen: hear a recording instead."
)
@click.option("--microphone", help="With --listen: number or part of the name of the microphone.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def command(listen: bool, recording: str | None, microphone: str | None, as_json: bool) -> int:
    """List microphones, loudspeakers, voices and recognisers, and try the standard ones.

    With --listen the coach asks for ten phrases, tells how well it heard them and what to change;
    it keeps the levels, never sound. Exit code 0 when all works, 2 when something is missing.
    """
    if listen:
        from coach.cli.hearing_report import report_hearing

        return report_hearing(recording, microphone, as_json)
    if recording or microphone:
        raise click.UsageError("--from and --microphone need --listen.")
    found = Found()
    for look in (_microphones, _loudspeakers, _voices, _recognisers):
        _gather(found, look)
    if as_json:
        click.echo(json.dumps({**asdict(found), "works": not found.problems}, indent=2))
    else:
        _show(found)
    return MISSING if found.problems else 0


def _gather(found: Found, look: Callable[[Found], None]) -> None:
    try:
        look(found)
    except CoachError as failure:
        # One library serves both directions: what it lacks is said once.
        if str(failure) not in found.problems:
            found.problems.append(str(failure))


def _microphones(found: Found) -> None:
    from coach.edges.audio_devices import Direction, devices
    from coach.edges.microphone import Microphone

    found.microphones = [asdict(device) for device in devices(Direction.IN)]
    with closing(Microphone()) as microphone:
        deadline = time.monotonic() + FIRST_BLOCK_S
        while not isinstance(microphone.read(0.1), np.ndarray):
            if time.monotonic() > deadline:
                raise MissingError(
                    "The microphone gives no sound: see that it is switched on and allowed, or "
                    "choose another with `coach settings`."
                )


def _loudspeakers(found: Found) -> None:
    from coach.edges.audio_devices import Direction, devices
    from coach.edges.loudspeaker import Loudspeaker

    found.loudspeakers = [asdict(device) for device in devices(Direction.OUT)]
    Loudspeaker().play(np.zeros(2_205, dtype=np.float32), 22_050, threading.Event())


def _voices(found: Found) -> None:
    from coach.edges.synthesiser import SystemSynthesiser

    with closing(SystemSynthesiser()) as synthesiser:
        voices = synthesiser.voices()
        standard = synthesiser.voice()
        found.voices = [{**asdict(voice), "standard": voice == standard} for voice in voices]
        synthesiser.render("Ready.")


def _recognisers(found: Found) -> None:
    from coach.cli.models import second_ear_words
    from coach.edges.engines import AUTO, known_engines
    from coach.edges.model_store import State, model_state, read_manifest
    from coach.edges.settings import load_settings

    here = {
        entry.engine
        for entry in read_manifest()
        if model_state(entry) in (State.INSIDE, State.FETCHED)
    }
    engines = [engine for engine in known_engines() if engine.name != AUTO]
    found.recognisers = [
        {"name": engine.name, "ready": engine.name in here, "about": engine.about}
        for engine in engines
    ]
    found.second_ear = second_ear_words(load_settings({}, os.environ))
    # The first is the one in use where nothing is chosen: it must load.
    found.recognisers[0]["ready"] = False
    engines[0].open(None)
    found.recognisers[0]["ready"] = True


def _show(found: Found) -> None:
    _show_devices("Microphones", found.microphones)
    _show_devices("Loudspeakers", found.loudspeakers)
    click.echo(f"Voices ({len(found.voices)} in all; English ones)")
    for voice in found.voices:
        if _is_english(voice) or voice["standard"]:
            click.echo(f"  {voice['name']} ({voice['id']}){_star(voice)}")
    click.echo("Recognisers")
    for recogniser in found.recognisers:
        note = "ready" if recogniser["ready"] else "no model here, see coach models"
        click.echo(f"  {recogniser['name']}: {note}; {recogniser['about']}")
    if found.second_ear:
        click.echo(f"  second ear: {found.second_ear}")
    click.echo("")
    for problem in found.problems:
        click.echo(problem)
    if not found.problems:
        click.echo(
            "Microphone, loudspeaker, voice and recogniser work. * is used when none is set."
        )


def _show_devices(title: str, devices: list[dict[str, Any]]) -> None:
    click.echo(title)
    for device in devices:
        click.echo(f"  {device['index']} {device['name']}, {device['rate_hz']} Hz{_star(device)}")
    if not devices:
        click.echo("  none")


def _star(item: dict[str, Any]) -> str:
    return " *" if item["standard"] else ""


def _is_english(voice: dict[str, Any]) -> bool:
    # espeak-ng, Windows and macOS each name their voices in their own way.
    name, identity = voice["name"].lower(), voice["id"].lower().replace("_", "-")
    return name.startswith("english") or "- english" in name or "en-" in identity
