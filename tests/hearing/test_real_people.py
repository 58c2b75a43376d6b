"""The ear never grows worse unseen: real people and synthetic voices, with floors.

Real people: Speech Commands v0.02 test files (Warden 2018, CC BY 4.0) and the Free Spoken Digit
Dataset (CC BY-SA 4.0) in the folder COACH_SPEECH, else ../shared/speech; skipped where they are
absent. Synthetic voices: those of espeak-ng and flite kept from training, in a made noise.
The floors are in tests/data/hearing_floors.yaml, which says how to set them anew.
"""

from __future__ import annotations

import shutil
from functools import lru_cache

import pytest
from benchmarks.hearing.guard import (
    PEOPLE,
    SLACK,
    VOICES,
    Measured,
    floors,
    real_people,
    recordings,
    synthetic_voices,
)

SPEECH = recordings()
MUST_HOLD = floors()

pytestmark = pytest.mark.timeout(900)
"""All clips are heard in the first test; the rest only compare."""

needs_recordings = pytest.mark.skipif(
    SPEECH is None, reason="no recordings: set COACH_SPEECH to the folder that has words/yes"
)
needs_voices = pytest.mark.skipif(
    not all(shutil.which(program) for program in ("espeak-ng", "flite")),
    reason="needs the programs espeak-ng and flite",
)


@lru_cache(maxsize=1)
def people() -> Measured:
    assert SPEECH is not None
    return real_people(SPEECH)


@lru_cache(maxsize=1)
def voices() -> Measured:
    return synthetic_voices()


def shortfall(name: str, limits: dict[str, int], measured: Measured) -> str:
    """What is wrong with a count; empty when it is within its limits."""
    now = measured[name]
    if now["of"] != limits["of"]:
        return f"{name}: {now['of']} clips, the limits were set with {limits['of']}"
    least, most = limits.get("at least", 0), limits.get("at most", now["of"])
    right = least <= now["measured"] <= most
    return "" if right else f"{name}: {now['measured']} of {now['of']}"


@needs_recordings
@pytest.mark.parametrize("name", MUST_HOLD[PEOPLE])
def test_real_people_are_heard_no_worse_than_before(name: str) -> None:
    assert not shortfall(name, MUST_HOLD[PEOPLE][name], people())


@needs_voices
@pytest.mark.parametrize("name", MUST_HOLD[VOICES])
def test_new_voices_are_heard_no_worse_than_before(name: str) -> None:
    assert not shortfall(name, MUST_HOLD[VOICES][name], voices())


@pytest.mark.parametrize("part", [PEOPLE, VOICES])
def test_every_floor_lies_just_under_what_was_measured(part: str) -> None:
    for name, counts in MUST_HOLD[part].items():
        limit = counts.get("at least", counts.get("at most"))
        assert limit is not None and abs(counts["measured"] - limit) <= SLACK, name
