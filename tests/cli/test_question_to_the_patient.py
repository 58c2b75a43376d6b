"""In a drill a question that the patient answers is the act itself where a step asks."""

from __future__ import annotations

import io
import re
import sys

import pytest

from coach.cli.main import main

SAID = """hello
what's the saturation
do you have any allergies
finish
"""


def test_an_answered_question_is_done_and_one_for_a_finding_does_nothing(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(SAID))
    drill = ("--typed", "--no-ask-first", "--way", "drill", "--scenario", "pottery-class")
    main(["practice", "medical-assessment", *drill])
    told = capsys.readouterr().out
    assert "Penicillin gave him a rash" in told and "The oximeter shows" in told
    assert re.search(r"^ *(done|out of order) .*the allergies", told, re.MULTILINE)
    assert re.search(r"^ *missed .*the saturation", told, re.MULTILINE)
