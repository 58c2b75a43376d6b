"""What only live sessions show: seconds aloud, calls into the coach's voice, a lost microphone."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
from live import QUIET_LEVEL, LivePractice, live_practice, loud_pieces
from rig import running_rig

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import convert
from coach.edges.synthesiser import SystemSynthesiser

pytestmark = pytest.mark.live

COUNTED = ("one", "two", "three", "four")
STANDS = {"step-done", "reading-stands"}
BEFORE_SUCTION = (
    ({"gloves"}, "my gloves, goggles and mask are on"),
    ({"assemble", "power"}, "the tubing and the rigid tip are connected and the power is on"),
    ({"vacuum"}, "three hundred fifty"),
    ({"vacuum"}, "eighty"),
    ({"depth", "open-mouth"}, "the mouth is open and I only go as far as I can see"),
    ({"insert"}, "the tip is in the mouth with no suction"),
)
TRIES = 3


def do(practice: LivePractice, steps: set[str], words: str) -> None:
    """Say that steps are done, or a reading of one, until it stands, as people do."""
    left = set(steps)
    for _ in range(TRIES):
        rows = practice.answer(words)
        if rows[-1].get("expect") == "yes-no":
            rows += practice.answer("yes")
        left -= {row["step"] for row in rows if row.get("name") in STANDS}
        if not left:
            return
    raise AssertionError((left, words, practice.said()[-TRIES:]))


def peak(samples: Samples) -> float:
    return float(np.abs(samples).max(initial=0.0))


def likeness(piece: Samples, word: str) -> float:
    """How like a piece is to the coach's voice saying the word, 0 to 1: their best correlation."""
    said = convert(*SystemSynthesiser().render(word, 1.6))
    norm = float(np.linalg.norm(piece) * np.linalg.norm(said))
    return float(np.abs(np.correlate(piece, said, "full")).max()) / max(norm, 1e-9)


@pytest.mark.timeout(120)
def test_the_seconds_of_suction_are_counted_aloud(tmp_path: Path) -> None:
    with (
        running_rig() as rig,
        live_practice(
            rig, tmp_path, "suction", "--headset", "--set", "patient=infant", "--rate", "1.6"
        ) as (practice, heard),
    ):
        practice.answer("I'm ready")
        for steps, words in BEFORE_SUCTION:
            do(practice, steps, words)
        practice.say("suctioning")
        began = practice.wait_for(lambda row: row.get("name") == "clock-started")
        # "Suctioning" has just been understood: the first second is counted a second from now.
        from_sample = len(heard.samples)
        time.sleep(len(COUNTED) + 0.7)
        counted = heard.samples[from_sample:].copy()
        practice.say("out")
        ended = practice.wait_for(lambda row: row.get("name") == "clock-ended")
    pieces = loud_pieces(counted, quiet_s=0.2)
    begins_s = [begin_s for begin_s, _ in pieces]
    assert len(pieces) == len(COUNTED), pieces
    # A wall clock's second, within a syllable: the learner takes the time from what is heard.
    assert np.diff(begins_s) == pytest.approx(1.0, abs=0.2)
    lone = [counted[round((at - 0.1) * SAMPLE_RATE_HZ) :][:11_200] for at in begins_s]
    assert [max(COUNTED, key=lambda word: likeness(piece, word)) for piece in lone] == list(COUNTED)
    assert ended.fields["seconds"] == pytest.approx(ended.at_s - began.at_s, abs=0.3)


@pytest.mark.timeout(120)
def test_the_coach_is_interrupted_and_silenced(tmp_path: Path) -> None:
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, "oral-airway", "--headset") as (practice, heard),
    ):
        practice.answer("I'm ready")
        since = len(practice.rows)
        _call_into(practice, heard.samples, "stop")
        practice.wait_for(lambda row: row.get("name") == "stop-asked", since)
        practice.wait_until_spoken(len(heard.samples))
        practice.answer("no")
        since = len(practice.rows)
        _call_into(practice, heard.samples, "this is real")
        practice.wait_for(lambda row: row.get("name") == "silenced", since)
        practice.wait_until_spoken(len(heard.samples))
        since, quiet_from = len(practice.rows), len(heard.samples)
        practice.say("what's next")
        practice.wait_for(lambda row: row["type"] == "heard", since)
        time.sleep(1.5)
        assert practice.said(since) == []
        assert peak(heard.samples[quiet_from:]) < QUIET_LEVEL
        assert practice.process.poll() is None


def _call_into(practice: LivePractice, heard: Samples, words: str) -> None:
    """Have the coach say something long, and call `words` into it."""
    since = len(practice.rows)
    practice.say("tell me more")
    practice.wait_for(lambda row: row["type"] == "said", since)
    practice.wait_until_loud(len(heard))
    time.sleep(0.8)
    practice.say(words)


@pytest.mark.timeout(120)
def test_a_microphone_that_goes_is_told_and_the_session_goes_on(tmp_path: Path) -> None:
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, "oral-airway", "--headset") as (practice, _),
    ):
        practice.answer("I'm ready")
        do(practice, {"gloves"}, "my gloves and goggles are on")
        since = len(practice.rows)
        rig.unplug()
        practice.wait_for(lambda row: "microphone is gone" in row.get("text", ""), since)
        rig.plug()
        practice.wait_for(lambda row: "microphone is back" in row.get("text", ""), since)
        # Whether the loudspeaker was missed too depends on when the coach wanted to speak.
        since = len(practice.rows)
        practice.say("he does not respond and has no gag")
        done = practice.wait_for(lambda row: row.get("name") == "step-done", since)
        assert done.fields["step"] == "unresponsive"


@pytest.mark.timeout(120)
def test_a_microphone_that_gives_nothing_is_told(tmp_path: Path) -> None:
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, "oral-airway", "--headset", muted=True) as (practice, _),
    ):
        practice.wait_for(lambda row: "gives nothing at all" in row.get("text", ""))
        assert practice.process.poll() is None


PEDAL = "\x1b[5~"
"""Page up: a pedal's second switch, which has the coach repeat itself."""


@pytest.mark.timeout(120)
def test_in_a_class_the_word_or_the_pedal_opens_the_ear_for_one_turn(tmp_path: Path) -> None:
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, "oxygen-cylinder", "--headset", "--wake", "coach") as (
            practice,
            heard,
        ),
    ):
        practice.answer("coach, I'm ready")
        since, quiet_from = len(practice.rows), len(heard.samples)
        practice.say("my gloves are on")
        time.sleep(2.0)
        assert practice.rows[since:] == []
        assert peak(heard.samples[quiet_from:]) < QUIET_LEVEL
        practice.press(PEDAL)
        practice.wait_until_spoken(quiet_from)
        assert [row.fields for row in practice.rows[since:] if row.fields["type"] == "heard"] == []
        rows = practice.answer("my gloves are on")
        assert [row["step"] for row in rows if row.get("name") == "step-done"] == ["gloves"]
        since = len(practice.rows)
        practice.say("what's left")
        time.sleep(2.0)
        unmeant = [row.fields for row in practice.rows[since:] if row.fields["type"] == "heard"]
        assert unmeant == [], [row.fields for row in practice.rows][-12:]
        practice.answer("coach, what's left")
        assert any(row.fields["type"] == "heard" for row in practice.rows[since:])
