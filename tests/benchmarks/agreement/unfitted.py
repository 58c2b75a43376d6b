"""Sets of attempts that nothing is fitted to, and what is otherwise than the judgement by hand."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from attempt_play import played

from coach.report.attempt import Mark, Result, Verdict

from ..written_attempts import FRESH, FURTHER, UNSEEN, Written, written_attempts


@dataclass(frozen=True, slots=True)
class UnfittedSet:
    """A file of attempts, and how far the program has to agree with it.

    `least_right` and `most_wrong` are shares of all steps (as judged by hand; neither so nor
    unclear), `most_unnoticed` is the number of safety failures that are neither told nor told as
    possible, each by its own id. `as_written` is the SHA-256 of what was said, as first written.
    """

    path: Path
    least_right: float
    most_wrong: float
    most_unnoticed: int
    as_written: str

    @property
    def attempts(self) -> tuple[Written, ...]:
        """The attempts, in the order of the file."""
        return written_attempts(self.path)

    @property
    def differences_path(self) -> Path:
        """The file of what the program has otherwise."""
        return self.path.with_name(f"{self.path.stem}_differences.yaml")

    @property
    def differences(self) -> Mapping[str, Mapping[str, Any]]:
        """What the program has otherwise, by the name of the attempt."""
        known: Mapping[str, Mapping[str, Any]] | None = yaml.safe_load(
            self.differences_path.read_text(encoding="utf-8")
        )
        return known or {}

    @property
    def sentences(self) -> str:
        """The SHA-256 of all that is said in it, and at which skill."""
        said = [[each.name, each.skill, list(each.turns)] for each in self.attempts]
        return hashlib.sha256(json.dumps(said).encode()).hexdigest()


SETS = (
    UnfittedSet(
        FRESH,
        least_right=0.89,
        most_wrong=0.05,
        most_unnoticed=1,
        as_written="44e63fd65ae9c08913f9f683dd56ae1368f16ee160f0747fd8105880dc784107",
    ),
    UnfittedSet(
        FURTHER,
        least_right=0.89,
        most_wrong=0.04,
        most_unnoticed=1,
        as_written="67ea45c9df1153546c962f50352bf52e08198e89aa7711c967ce562b1ae8a66b",
    ),
    UnfittedSet(
        UNSEEN,
        least_right=0.82,
        most_wrong=0.1,
        most_unnoticed=2,
        as_written="27240a13a7c78b34d87550b238c303cacc15196e7d2ce8e3f7f016318b02252f",
    ),
)


@dataclass(frozen=True, slots=True)
class Agreement:
    """How far the results of attempts are as judged by hand.

    Steps: `right`, `unclear` that were not to be, or `wrong`; a step that the program alone opened
    counts as one that was done. Safety failures judged by hand: `told`, told as `possible`,
    `unnoticed`; `needless` were told where none was. `passed` are unsafe attempts called ready,
    `verdicts` counts attempts by the verdict by hand and the program's.
    """

    right: int
    unclear: int
    wrong: int
    told: int
    possible: int
    unnoticed: int
    needless: int
    passed: int
    verdicts: Mapping[tuple[str, str], int]

    @property
    def steps(self) -> int:
        """All steps."""
        return self.right + self.unclear + self.wrong

    @property
    def right_verdicts(self) -> int:
        """Attempts whose verdict is the one by hand."""
        return sum(count for (by_hand, found), count in self.verdicts.items() if by_hand == found)


def agreement(judged: Iterable[tuple[Written, Result]]) -> Agreement:
    """How far results agree with the judgement by hand."""
    counts: Counter[str] = Counter()
    verdicts: Counter[tuple[str, str]] = Counter()
    for written, result in judged:
        counts.update(_marks(written, result))
        counts.update(_failures(written, result))
        counts["passed"] += bool(written.failures) and result.verdict is Verdict.READY
        verdicts[written.verdict, str(result.verdict)] += 1
    return Agreement(
        right=counts["right"],
        unclear=counts["unclear"],
        wrong=counts["wrong"],
        told=counts["told"],
        possible=counts["possible"],
        unnoticed=counts["unnoticed"],
        needless=counts["needless"],
        passed=counts["passed"],
        verdicts=dict(verdicts),
    )


def all_played(attempts: Iterable[Written]) -> tuple[tuple[Written, Result], ...]:
    """Each attempt with the result that it comes to, typed word for word."""
    return tuple((written, played(written)) for written in attempts)


def _marks(written: Written, result: Result) -> Iterable[str]:
    for step in result.steps:
        otherwise = "unclear" if step.mark is Mark.UNCLEAR else "wrong"
        yield "right" if step.mark == _by_hand(written, step.step) else otherwise


def _failures(written: Written, result: Result) -> Iterable[str]:
    told = [failure.about for failure in result.failures if not failure.corrected]
    possible = {failure.about for failure in result.possible}
    for about in written.failures:
        if about in told:
            yield "told"
        else:
            yield "possible" if about in possible else "unnoticed"
    yield from ("needless" for about in told if about not in written.failures)


def _by_hand(written: Written, step: str) -> str:
    return written.marks.get(step, "done")


def differences(written: Written, result: Result) -> dict[str, Any]:
    """What a result has otherwise than the judgement by hand, as the file of differences has it."""
    marks = {
        step.step: str(step.mark)
        for step in result.steps
        if step.mark != _by_hand(written, step.step)
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
