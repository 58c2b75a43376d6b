"""Attempts judged by hand: by text, the program must agree in every step."""

from __future__ import annotations

import pytest
from attempt_play import played
from benchmarks.written_attempts import Written, written_attempts

ATTEMPTS = written_attempts()


@pytest.mark.parametrize("written", ATTEMPTS, ids=lambda written: written.name)
def test_the_judgement_is_the_one_worked_out_by_hand(written: Written) -> None:
    """Marks, safety failures, numbers, hints and verdict, all of them."""
    result = played(written)
    marks = {step.step: str(step.mark) for step in result.steps if step.mark != "done"}
    assert marks == dict(written.marks), {s.step: s.why for s in result.steps}
    assert sorted(f.about for f in result.failures if not f.corrected) == sorted(written.failures)
    assert sorted(f.about for f in result.failures if f.corrected) == sorted(written.corrected)
    said = {f"{number.step}/{number.name}": list(number.values) for number in result.numbers}
    for place, wanted in written.numbers.items():
        assert said.get(place) == (wanted if isinstance(wanted, list) else [wanted]), said
    assert result.hints == written.hints
    assert result.verdict == written.verdict, result.why
