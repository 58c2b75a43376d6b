"""Practising from memory, live: silence, a hint after the pause, the debrief, a question."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from live import live_practice
from rig import running_rig

from coach.report.attempt import Verdict

pytestmark = pytest.mark.live

PAUSE_S = 5.0


@pytest.mark.timeout(150)
def test_an_attempt_from_memory_is_hinted_at_judged_and_talked_over(tmp_path: Path) -> None:
    """Nothing is said to right steps; after the pause comes the smallest hint; then the debrief."""
    with (
        running_rig() as rig,
        live_practice(
            rig,
            tmp_path,
            "oral-airway",
            "--headset",
            "--way",
            "recall",
            "--hint-seconds",
            str(PAUSE_S),
            "--learner",
            "Ida Moor",
        ) as (practice, _),
    ):
        practice.wait_for(lambda row: "I keep quiet" in str(row.get("text")))
        practice.answer("I'm ready")
        said_before = len(practice.said())
        practice.say("my gloves and goggles are on")
        practice.wait_for(lambda row: row.get("name") == "step-done")
        assert len(practice.said()) == said_before, "nothing is said to a step that is done"
        hint = practice.wait_for(lambda row: row.get("name") == "hint")
        assert (hint.fields["step"], hint.fields["level"]) == ("unresponsive", 1)
        practice.wait_for(lambda row: "airway that touches a working gag" in str(row.get("text")))
        time.sleep(4.0)
        practice.say("the patient is unresponsive with no gag or cough")
        practice.wait_for(
            lambda row: row.get("step") == "unresponsive" and row.get("name") == "step-done"
        )
        practice.say("stop")
        practice.wait_for(lambda row: "Shall I end here" in str(row.get("text")))
        time.sleep(2.0)
        practice.say("yes")
        result = practice.wait_for(lambda row: row["type"] == "result").fields
        assert result["verdict"] == Verdict.NOT_YET
        assert result["hints"] >= 1
        practice.wait_for(
            lambda row: "say finish" in str(row.get("text")), since=len(practice.rows) - 2
        )
        practice.say("why was the size wrong")
        practice.wait_for(lambda row: str(row.get("text")).startswith("The size: missed."))
        practice.say("finish")
        assert practice.process.wait(timeout=60) == 0
