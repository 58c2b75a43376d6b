"""The pace of a step as it sounds: it starts on a word, outlives counting and questions, stops."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
from live import QUIET_LEVEL, LivePractice, live_practice, loud_pieces
from rig import running_rig

from coach.core.sound import Samples

pytestmark = pytest.mark.live

SKILL = """id: press
title: Pressing
minutes: 2
table: [a manikin]
sources: {}
steps:
  - id: compress
    name: the compressions
    say: Push on the chest.
    why: It moves the blood.
    how: With straight arms.
    heard-as: {phrases: [i did the compressions], keys: [did compressions]}
    pace:
      low: "{no-fact.100}"
      high: "{no-fact.120}"
      for-s: "{no-fact.60}"
      start: {phrases: [starting compressions], keys: [starting compressions]}
      end: {phrases: [hands off], keys: [hands off]}
      after: Hands off.
    sources: [common]
  - id: breathe
    name: the breaths
    say: Give the breaths.
    why: They bring oxygen.
    how: Watch the chest rise.
    heard-as: {phrases: [the chest rises], keys: [chest rises]}
    sources: [common]
"""
INTERVAL_S = 60 / 110
"""Seconds between the beats of 110 a minute, the middle of 100 to 120."""
WITHIN_S = 0.03
"""How exactly a click's begin is found: a piece of loud_pieces and a half."""


def beats(samples: Samples) -> list[float]:
    """When the clicks begin: what sounds for no more than a tenth of a second."""
    pieces = loud_pieces(samples, quiet_s=0.2)
    return [begin_s for begin_s, end_s in pieces if end_s - begin_s < 0.1]


def begin_pace(practice: LivePractice) -> None:
    """Say the word until it is understood, as people do."""
    since = len(practice.rows)
    for _ in range(3):
        practice.say("starting compressions")
        time.sleep(2.0)
        if any(row.fields.get("name") == "pace-started" for row in practice.rows[since:]):
            return
    raise AssertionError([row.fields for row in practice.rows[since:]])


@pytest.mark.timeout(120)
def test_beats_start_on_a_word_outlive_counting_and_stop_on_a_word(tmp_path: Path) -> None:
    file = tmp_path / "press.yaml"
    file.write_text(SKILL)
    with (
        running_rig() as rig,
        live_practice(rig, tmp_path, str(file), "--headset") as (practice, heard),
    ):
        practice.answer("I'm ready")
        begin_pace(practice)
        from_sample, since = len(heard.samples), len(practice.rows)
        practice.say("one two three four five six seven eight nine ten")
        time.sleep(2.0)
        counted = beats(heard.samples[from_sample:].copy())
        assert len(counted) >= 5, counted
        assert np.diff(counted) == pytest.approx(INTERVAL_S, abs=WITHIN_S)
        rows = [row.fields for row in practice.rows[since:]]
        assert practice.said(since) == [], rows
        assert not [row for row in rows if row.get("name") in {"step-done", "pace-ended"}], rows

        since = len(practice.rows)
        practice.say("what's left")
        practice.wait_for(lambda row: row["type"] == "said", since)
        from_sample = len(heard.samples)
        time.sleep(5.0)
        assert len(beats(heard.samples[from_sample:].copy())) >= 2

        since = len(practice.rows)
        practice.say("stop")
        practice.wait_for(lambda row: row.get("name") == "stop-asked", since)
        practice.wait_until_spoken(len(heard.samples))
        quiet_from = len(heard.samples)
        time.sleep(2.0)
        assert float(np.abs(heard.samples[quiet_from:]).max()) < QUIET_LEVEL
        practice.answer("no")
        begin_pace(practice)
        since = len(practice.rows)
        practice.say("hands off")
        done = practice.wait_for(lambda row: row.get("name") == "step-done", since)
        assert done.fields["step"] == "compress"


@pytest.mark.timeout(120)
def test_in_a_room_the_clicks_are_no_words_and_the_learner_is_heard(tmp_path: Path) -> None:
    file = tmp_path / "press.yaml"
    file.write_text(SKILL)
    with running_rig() as rig:
        rig.echo()
        with live_practice(rig, tmp_path, str(file)) as (practice, heard):
            practice.answer("I'm ready")
            begin_pace(practice)
            since, from_sample = len(practice.rows), len(heard.samples)
            time.sleep(6.0)
            assert [row.fields for row in practice.rows[since:]] == []
            assert len(beats(heard.samples[from_sample:].copy())) >= 10
            practice.say("stop")
            practice.wait_for(lambda row: row.get("name") == "pace-stopped", since)
