"""`coach assess`: an attempt judged from a recording."""

from __future__ import annotations

import json
import os
from pathlib import Path

import click
from tqdm import tqdm

from coach.app.assessing import Assessment, assess
from coach.app.judging import result_of
from coach.app.learners import learners_id
from coach.app.practice import check_records
from coach.cli.bar_shape import bar_shape
from coach.cli.observers import JsonObserver, TextObserver, tell_beside
from coach.cli.session_options import opened, setting_options, skill_options
from coach.report.attempt_text import attempt_text
from coach.report.shown_text import clock
from coach.session.loop import Observer


@click.command(
    epilog='Example: coach assess attempt.wav --skill oral-airway --learner "Ana Lima"',
    short_help="Judge an attempt from a recording of it.",
)
@click.argument("recording", metavar="FILE.wav")
@click.option("--skill", required=True, help="The skill that is done in it.")
@click.option("--learner", metavar="NAME", help="Whose attempt it is.")
@skill_options
@click.option("--heard", is_flag=True, help="Print what was heard, too.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")
@setting_options("time-limit", "engine", "model", "program")
def command(
    recording: str,
    skill: str,
    learner: str | None,
    choices: tuple[str, ...],
    heard: bool,
    as_json: bool,
    **flags: object,
) -> int:
    """Judge an attempt at a skill from a recording of it (WAV), faster than it took.

    The attempt is kept like any other; coach report shows it whole. The same recording of the same
    learner is one attempt however often it is assessed. A training aid only, never for patient
    care: local protocol and medical direction decide.
    """
    now = opened(skill, choices, flags)
    check_records()
    whose = learners_id(learner, os.environ, tell_beside) if learner else ""
    observer: Observer = _who_shows(as_json) if heard else _Nobody()
    asked = Assessment(Path(recording), now.skill_file, now.settings, now.choices, whose)
    with tqdm(unit="s", desc="heard", disable=None, leave=False, **bar_shape()) as bar:

        def progress(until_s: float, all_s: float) -> None:
            bar.total = round(all_s)
            bar.update(max(0, round(until_s) - bar.n))

        done = assess(asked, observer, progress)
    result = result_of(done.journal)
    if done.rest_s:
        tell_beside(
            f"The attempt was over at {clock(done.over_s)}; the {clock(done.rest_s)} of the "
            "recording after that were not heard. Is another attempt in them, cut it out and "
            "assess it by itself."
        )
    if as_json:
        click.echo(json.dumps({"type": "result", **result.as_json()}, ensure_ascii=False))
        return 0
    click.echo(attempt_text(result))
    click.echo(f"The whole report: coach report {result.attempt[:8]}")
    return 0


class _Nobody:
    """An observer that shows nothing."""

    def said(self, text: str) -> None:
        """Nothing is said aloud here."""

    def listening(self, step: object, expect: object) -> None:
        """Not shown."""

    def heard(self, meaning: object) -> None:
        """Not shown."""

    def noted(self, name: str, data: object) -> None:
        """Not shown."""


def _who_shows(as_json: bool) -> Observer:
    return JsonObserver() if as_json else TextObserver(show_learner=True)
