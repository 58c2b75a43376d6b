"""The short form that every change must pass: python -m tests.benchmarks.hearing.guard

Prints tests/data/hearing_floors.yaml anew from what is measured now. Recordings of real people
where they are; synthetic voices of espeak-ng and flite and a made noise everywhere, so that these
figures do not depend on what is installed besides.
"""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import yaml

from ..recognisers import VARIABLE
from . import clips as made
from .booth import Clip
from .judged_clips import Outcome, outcomes
from .rows import is_right, is_wrong
from .wanted import DATA
from .wanted import kin as kin_sentences

FLOORS = DATA / "hearing_floors.yaml"
SENTENCES, KIN, DIGITS = 32, 32, 20
LEVELS_DB = (None, 10.0)
SLACK = 3
"""Utterances of a kind that another processor may hear otherwise, or a harmless change that moves
the edges of turns by a few milliseconds."""

PEOPLE, VOICES = "real people", "synthetic voices"
Measured = dict[str, dict[str, int]]


def recordings() -> Path | None:
    """The folder of recordings, or None."""
    folder = Path(os.environ.get(VARIABLE) or Path(__file__).parents[4] / "shared" / "speech")
    return folder if (folder / "words" / "yes").is_dir() else None


def real_people(speech: Path) -> Measured:
    """Single words, other words and noises, digits in a row."""
    clips = [*made.words(speech, 1000), *made.digits(speech, DIGITS)]
    clips += [clip for clip in made.others(speech, 1000) if clip.row == "others"]
    heard = outcomes(clips, ("own",), speech / "noise" / "test")
    return _right(heard, by_group=True) | {
        "words wrong": _wrong(heard, "words"),
        "others taken": _wrong(heard, "others"),
        "wrong numbers": _wrong(heard, "digits", "digit readings"),
    }


def synthetic_voices() -> Measured:
    """What a learner says, in quiet and in noise."""
    clips: list[Clip] = []
    for number, (kind, ways) in enumerate(made.KINDS.items()):
        said = list(ways(SENTENCES, random.Random(500 + number)))
        clips += made.spoken(kind, said, LEVELS_DB, 500 + number, every=False)
    kin = list(kin_sentences(KIN, random.Random(510)))
    clips += made.spoken("kin", kin, (10.0,), 510, every=False)
    heard = outcomes(clips, ("own",), None)
    kinds = tuple(made.KINDS)
    found = _right([one for one in heard if one.row != "kin"], by_group=False)
    numbers = [one for one in heard if one.row in {"reading", "kin"}]
    return found | {
        "voices wrong": _wrong(heard, *kinds),
        "wrong readings": _count(numbers, sum(one.wrong_reading for one in numbers), "at most"),
        "wrong without doubt": _count(numbers, sum(one.wrong_sure for one in numbers), "at most"),
    }


def _right(heard: Sequence[Outcome], by_group: bool) -> Measured:
    groups: dict[str, list[Outcome]] = {}
    for one in heard:
        if not one.row.startswith("others"):
            groups.setdefault(f"{one.row} {one.group}" if by_group else one.row, []).append(one)
    return {
        name: _count(some, sum(map(is_right, some)), "at least") for name, some in groups.items()
    }


def _wrong(heard: Sequence[Outcome], *rows: str) -> dict[str, int]:
    some = [one for one in heard if one.row in rows]
    return _count(some, sum(map(is_wrong, some)), "at most")


def _count(some: Sequence[Outcome], count: int, limit: str) -> dict[str, int]:
    allowed = max(0, count - SLACK) if limit == "at least" else count + 1
    return {"of": len(some), "measured": count, limit: allowed}


def floors() -> dict[str, Measured]:
    """What must hold, as it stands in the file."""
    told: dict[str, Measured] = yaml.safe_load(FLOORS.read_text("utf-8"))
    return told


def main() -> None:
    """Print the file anew, keeping its heading."""
    heading = [line for line in FLOORS.read_text("utf-8").splitlines() if line.startswith("#")]
    speech = recordings()
    parts: Mapping[str, Measured] = {
        PEOPLE: real_people(speech) if speech else floors()[PEOPLE],
        VOICES: synthetic_voices(),
    }
    lines = list(heading)
    for name, measured in parts.items():
        lines.append(f"{name}:")
        for what, counts in measured.items():
            inside = ", ".join(f"{key}: {value}" for key, value in counts.items())
            lines.append(f"  {what}: {{{inside}}}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
