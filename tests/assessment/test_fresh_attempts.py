"""Attempts judged by hand by somebody who had read no phrase of their skills.

`fresh_attempts.yaml` has twenty attempts at twenty skills that no golden attempt is of. Nothing is
fitted to it. When it was first measured 196 of 252 steps (77.8 %) got the mark worked out by hand,
31 (12.3 %) were unclear and 25 (9.9 %) wrong. Of the 7 unsafe attempts none was called ready; 3
failures were told as they are, 1 under another step's name and 3 only as possible. Of the 11 that
should be ready 3 were, 5 were unclear and 3 not yet, for what their learners had said. When the
causes that reach beyond one sentence were mended, 205 (81.3 %), 23 (9.1 %) and 24 (9.5 %): since
then they prove only that it stays so.
`fresh_attempts_differences.yaml` has what differs today, so nothing differs unseen.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from attempt_play import played
from benchmarks.written_attempts import FRESH, Written, written_attempts

from coach.report.attempt import Mark, Result

ATTEMPTS = written_attempts(FRESH)
DATA = FRESH.parent
DIFFERENCES: Mapping[str, Mapping[str, Any]] = yaml.safe_load(
    (DATA / "fresh_attempts_differences.yaml").read_text(encoding="utf-8")
)
ROOT = DATA.parent.parent

LEAST_RIGHT = 0.81
MOST_WRONG = 0.096
"""Shares of all steps: as judged by hand; neither so nor unclear."""


def differences(written: Written, result: Result) -> dict[str, Any]:
    """What a result has otherwise than the judgement by hand, as the file of differences has it."""
    marks = {
        step.step: str(step.mark)
        for step in result.steps
        if step.mark != written.marks.get(step.step, "done")
    }
    said = {f"{number.step}/{number.name}": list(number.values) for number in result.numbers}
    numbers = {
        place: said.get(place)
        for place, wanted in written.numbers.items()
        if said.get(place) != (wanted if isinstance(wanted, list) else [wanted])
    }
    failures = sorted(each.about for each in result.failures if not each.corrected)
    found = {
        "marks": marks,
        "numbers": numbers,
        "failures": failures if failures != sorted(written.failures) else None,
        "verdict": str(result.verdict) if result.verdict != written.verdict else None,
    }
    return {name: value for name, value in found.items() if value or value == []}


@pytest.mark.parametrize("written", ATTEMPTS, ids=lambda written: written.name)
def test_an_attempt_differs_from_the_judgement_by_hand_only_as_is_known(written: Written) -> None:
    """A difference that is gone is to be taken out of the file, a new one to be looked at."""
    assert differences(written, played(written)) == DIFFERENCES.get(written.name, {})


def test_of_all_steps_as_many_agree_as_before(
    record_property: Callable[[str, object], None],
) -> None:
    """And no attempt with a safety failure is called ready."""
    marks: Counter[str] = Counter()
    for written in ATTEMPTS:
        result = played(written)
        for step in result.steps:
            wanted = written.marks.get(step.step, "done")
            unclear = "unclear" if step.mark is Mark.UNCLEAR else "wrong"
            marks["right" if step.mark == wanted else unclear] += 1
        assert not (written.failures and result.verdict == "ready"), written.name
    for name, count in marks.items():
        record_property(name, count)
    assert marks["right"] >= LEAST_RIGHT * marks.total(), marks
    assert marks["wrong"] <= MOST_WRONG * marks.total(), marks


def test_differences_are_of_attempts_that_there_are() -> None:
    """One that is named otherwise would be looked for nowhere."""
    assert not set(DIFFERENCES) - {written.name for written in ATTEMPTS}


def sentences(value: object) -> set[str]:
    """All texts anywhere in what a file holds."""
    if isinstance(value, str):
        return {value}
    if isinstance(value, Mapping):
        value = [*value, *value.values()]
    return set().union(*map(sentences, value)) if isinstance(value, list) else set()


def read(path: Path) -> set[str]:
    """All texts of a file."""
    return sentences(yaml.safe_load(path.read_text(encoding="utf-8")))


def test_nothing_is_fitted_to_these_attempts() -> None:
    """No program of the training reads them, and no telling of theirs stands in what they read.

    What is as short as "pupils are equal and they react" may well be said twice.
    """
    training = ROOT / "models" / "training"
    for program in training.glob("*.py"):
        assert FRESH.stem not in program.read_text(encoding="utf-8"), program
    turns = {turn for written in ATTEMPTS for turn in written.turns if isinstance(turn, str)}
    long = {turn for turn in turns if len(turn.split()) > 6}
    learned = [*training.glob("*.yaml"), *(ROOT / "procedures").glob("*.dialogues.yaml")]
    learned += [path for path in DATA.glob("*.yaml") if path.stem not in {FRESH.stem}]
    assert len(long) > 150
    for path in learned:
        assert not long & read(path), path
