"""The recorded hypotheses: where they come from, and that they can be made again."""

from __future__ import annotations

import os
import random
import shutil
from collections import Counter
from pathlib import Path

import pytest

from benchmarks.hypotheses import (
    HeldOut,
    Recording,
    all_understood,
    as_line,
    choices,
    from_line,
    recorded,
    settled,
    tally,
    told,
)
from benchmarks.situations import OTHERS, PEOPLES_WORDS, Line, Meant, Place, lines
from benchmarks.voices import MEASURING, TUNING
from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.dialogue.turn import expectation
from coach.edges.engines import open_recogniser
from coach.session.costs import LIMITS

SPEECH = Path(os.environ.get("COACH_SPEECH") or Path(__file__).parents[3] / "shared" / "speech")
GAUGE = Place("oxygen-cylinder", "pressure", "pressure")

needs_sound = pytest.mark.skipif(
    not (SPEECH / "noise" / "train").is_dir()
    or not all(shutil.which(program) for program in ("espeak-ng", "flite")),
    reason=f"needs espeak-ng, flite and recordings in COACH_SPEECH (now {SPEECH})",
)


def test_a_recorded_turn_comes_back_from_its_line() -> None:
    turns = recorded()
    assert len(turns) > 500
    assert [from_line(as_line(turn)) for turn in turns[::25]] == turns[::25]


def test_nobody_and_nothing_of_the_test_casts_was_recorded() -> None:
    voices = {turn.who.split()[1] for turn in recorded() if not turn.who.startswith("people")}
    assert voices <= {*TUNING.espeak, *TUNING.flite}
    assert not voices & {*MEASURING.espeak, *MEASURING.flite}


def test_a_place_is_the_moment_it_says() -> None:
    assert expectation(GAUGE.state()) is Quantity.PRESSURE
    asked = Place(GAUGE.skill, GAUGE.step, GAUGE.reading, read_back=True).state()
    assert expectation(asked) == YES_NO
    assert expectation(Place("oral-airway", "gloves").state()) is None


def test_half_of_what_is_said_is_not_meant_for_the_coach() -> None:
    said = list(lines(random.Random(1)))
    talk = [line for line in said if line.meant.nothing]
    assert 0.35 < len(talk) / len(said) < 0.65
    assert {line.text for line in said if line.by_people} <= {*PEOPLES_WORDS, *OTHERS}
    assert set(Counter(line.kind for line in said)) >= {"number", "neighbour", "own words"}


@needs_sound
def test_lines_are_said_cut_and_heard() -> None:
    studio = HeldOut(SPEECH)
    recording = Recording(studio, open_recogniser("own", None))
    dice = random.Random(2)
    said = [
        Line("number", "seventeen hundred", GAUGE, Meant((1700.0,))),
        Line("answer", "yes", GAUGE, Meant(answer="yes"), by_people=True),
        Line("noise", "", GAUGE),
    ]
    turns = [turn for line in said for turn in recording.turns(line, dice)]
    assert {turn.kind for turn in turns} >= {"number"}
    assert all(turn.hypothesis.level_dbfs is not None for turn in turns)
    assert sum(recording.came_to.values()) == len(said)


def test_the_tables_name_every_limit_and_a_settled_limit_stays() -> None:
    items = all_understood(recorded()[::10])
    found = choices(items)
    assert all(f"| {choice.name} |" in told(found) for choice in found)
    assert tally(items, LIMITS).count("\n") >= 6
    limits = settled(items)
    assert settled(items, limits) == limits
