"""Attempts judged by hand, spoken in noise: python -m tests.benchmarks.golden_attempts

Each attempt of tests/data/golden_attempts.yaml is spoken by synthetic voices that the network never
heard, at `--ratio` dB over the noise of a room, made into one recording, and judged from it as
`coach assess` does. Told: how many steps get the mark worked out by hand, how many of the others
are unclear rather than wrong, and every safety failure that was not named: told as possible, in an
attempt that is not called ready, or not noticed at all. `--voices` is how often each attempt is
spoken, `--seed` draws other voices, `--json FILE` keeps the figures. The exit code is 1 below the
floor.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from coach.app.assessing import heard_through
from coach.app.beginning import first_event
from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.dialogue.events import Event
from coach.edges.engines import open_ears
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.report.attempt import Result, Way
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened
from coach.session.ports import Recogniser

from .recognisers import speech_folder
from .voices import MEASURING, PEOPLE, SPEECH_LEVEL, Speaker, Studio, draw_speaker
from .written_attempts import BEGAN, Written, written_attempts

LEAST_SHARE = 0.85
"""Share of the steps that have to get the mark worked out by hand (the issue's own floor)."""

GAP_S = 1.6
"""Silence between two utterances, unless the attempt says more."""


class Kept:
    """A journal in memory, and an observer of nothing."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def append(self, event: Event) -> None:
        """Keep it."""
        self.events.append(event)

    def said(self, text: str) -> None:
        """Not shown."""

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """Not shown."""

    def heard(self, meaning: Meaning) -> None:
        """Not shown."""

    def noted(self, name: str, data: Fields) -> None:
        """Not shown."""


def main(arguments: Sequence[str]) -> int:
    """Print the figures; 1 if they are below the floor or a safety failure was missed."""
    parser = argparse.ArgumentParser(description="Attempts judged by hand, spoken in noise.")
    parser.add_argument("--ratio", type=float, default=15.0, help="speech over noise, dB")
    parser.add_argument("--voices", type=int, default=1, help="how often each is spoken")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", metavar="FILE", help="keep the figures")
    parser.add_argument("--list", action="store_true", help="name what differs")
    asked = parser.parse_args(arguments)
    studio = Studio(speech_folder(), MEASURING)
    recogniser = open_ears("own", None, False, waits=True)
    dice = random.Random(asked.seed)
    marks: Counter[str] = Counter()
    possible: list[str] = []
    missed: list[str] = []
    passed = 0
    needless = 0
    spoken_s = 0.0
    for written in written_attempts():
        for _ in range(asked.voices):
            speaker = replace(_speaker(studio, dice), ratio_db=asked.ratio)
            samples = recording_of(written, speaker, studio, dice.randrange(1 << 30))
            spoken_s += len(samples) / SAMPLE_RATE_HZ
            result = judged(written, samples, recogniser)
            for name, line in compared(written, result):
                marks[name] += 1
                if asked.list and name != "right":
                    sys.stderr.write(f"{written.name} ({speaker.name}): {line}\n")
            found = {failure.about for failure in result.failures if not failure.corrected}
            lost = [f for f in written.failures if f not in found]
            for failure in lost:
                told = missed if not told_as_possible(result, failure) else possible
                told.append(f"{written.name}: {failure} (told: {result.verdict})")
            needless += sum(each.about not in written.failures for each in result.possible)
            passed += sum(result.verdict == "ready" for _ in lost)
    return _told(marks, (possible, missed, needless), passed, spoken_s, asked.json)


def _speaker(studio: Studio, dice: random.Random) -> Speaker:
    while True:
        speaker = draw_speaker(MEASURING, len(studio.rooms), len(studio.noises), dice)
        if speaker.program != PEOPLE:
            return speaker


def recording_of(written: Written, speaker: Speaker, studio: Studio, seed: int) -> Samples:
    """The whole attempt as one recording, the noise going on through all of it."""
    parts: list[Samples] = [np.zeros(SAMPLE_RATE_HZ, np.float32)]
    for turn in written.turns:
        if isinstance(turn, str):
            said = studio.rendered(turn, speaker)
            level = max(float(np.sqrt(np.mean(said**2))), 1e-6)
            parts.append((said * (SPEECH_LEVEL / level)).astype(np.float32))
            parts.append(np.zeros(int(GAP_S * SAMPLE_RATE_HZ), np.float32))
        else:
            parts.append(np.zeros(int(float(turn) * SAMPLE_RATE_HZ), np.float32))
    sound = np.concatenate(parts)
    rng = np.random.default_rng(seed)
    noise = studio.noises[speaker.noise]
    part = np.resize(np.roll(noise, -int(rng.integers(len(noise)))), len(sound))
    power = max(float(np.mean(part**2)), 1e-9)
    gain = SPEECH_LEVEL / np.sqrt(power) * 10 ** (-speaker.ratio_db / 20)
    mixture = sound + part * gain
    loudest = max(float(np.abs(mixture).max()), 1e-6)
    result: Samples = (mixture * min(1.0, 0.98 / loudest)).astype(np.float32)
    return result


def judged(written: Written, samples: Samples, recogniser: Recogniser) -> Result:
    """The result of a recording of the attempt."""
    skill_file = load_skill(written.skill)
    settings = load_settings(
        {"time-limit": written.time_limit or None, "safety-failure": written.safety_failure}, {}
    )
    first = first_event(
        skill_file,
        settings,
        written.settings,
        tuple(written.complications),
        Way(written.way),
    )
    kept = Kept()
    heard_through(samples, skill_file, first, recogniser, kept, kept)
    opened = JournalOpened(skill_file.id, BEGAN, "0", attempt="a" * 32)
    contents = JournalContents(opened, tuple(kept.events), JournalClosed(BEGAN), False, (), 0)
    return score(contents, skill_file, rule_in_force())


def compared(written: Written, result: Result) -> Iterator[tuple[str, str]]:
    """For each step: "right", "unclear" where it should not be, or "wrong", and a line for it."""
    for step in result.steps:
        wanted = written.marks.get(step.step, "done")
        if step.mark == wanted:
            yield "right", ""
        else:
            name = "unclear" if step.mark == "unclear" else "wrong"
            yield name, f"{step.step} should be {wanted}, but is {step.mark}: {step.why}"


def told_as_possible(result: Result, failure: str) -> bool:
    """Whether a result that is not ready says that this may have been unsafe, and be settled."""
    about = {possible.about for possible in result.possible}
    return result.verdict != "ready" and failure in about


def _told(
    marks: Counter[str],
    failures: tuple[list[str], list[str], int],
    passed: int,
    spoken_s: float,
    file: str | None,
) -> int:
    possible, missed, needless = failures
    steps = sum(marks.values())
    share, unclear, wrong = (marks[name] / steps for name in ("right", "unclear", "wrong"))
    figures = {
        "steps": steps,
        "right": round(share, 4),
        "unclear": round(unclear, 4),
        "wrong": round(wrong, 4),
        "safety_failures_told_as_possible": possible,
        "safety_failures_not_noticed": missed,
        "told_as_possible_needlessly": needless,
        "passed_as_ready": passed,
        "spoken_minutes": round(spoken_s / 60, 1),
    }
    sys.stdout.write(
        f"{steps} steps in {spoken_s / 60:.0f} minutes: {100 * share:.1f} % as judged by hand, "
        f"{100 * unclear:.1f} % unclear, {100 * wrong:.1f} % wrong; "
        f"safety failures: {len(possible)} told only as possible, {len(missed)} not noticed, "
        f"{passed} passed as ready; {needless} that were none told as possible\n"
    )
    for line in possible:
        sys.stdout.write(f"told as possible: {line}\n")
    for line in missed:
        sys.stdout.write(f"not noticed: {line}\n")
    if file:
        Path(file).write_text(json.dumps(figures, indent=2) + "\n", encoding="utf-8")
    return 0 if share >= LEAST_SHARE and not missed and not passed else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
