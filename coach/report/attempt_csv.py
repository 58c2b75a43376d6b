"""The steps of an attempt as CSV (RFC 4180), one row a step, for spreadsheets and statistics."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from io import StringIO

from coach.report.attempt import Evidence, NumberResult, Result, StepResult
from coach.report.by_hand import SetByHand
from coach.report.cells import safe_cell

COLUMNS = (
    "attempt",
    "learner",
    "skill",
    "way",
    "scenario",
    "program",
    "started",
    "verdict",
    "number",
    "step",
    "name",
    "safety",
    "mark",
    "points",
    "out_of",
    "at_s",
    "hints",
    "why",
    "evidence",
    "marks_by_hand",
    "assumed",
)
"""The first line, in this order; a column is only ever added at the end."""


def csv_bytes(result: Result, by_hand: Sequence[SetByHand] = ()) -> bytes:
    """The table in UTF-8 with a byte order mark, by which spreadsheets know the encoding.

    A text that a spreadsheet would run as a formula has an apostrophe before it.
    """
    file = StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for place, step in enumerate(result.steps, start=1):
        writer.writerow([_cell(value) for value in _row(result, place, step, by_hand)])
    return file.getvalue().encode("utf-8-sig", errors="replace")


def _row(
    result: Result, place: int, step: StepResult, by_hand: Sequence[SetByHand]
) -> tuple[str | int | float | None, ...]:
    return (
        result.attempt,
        result.learner,
        result.skill,
        result.way.value,
        result.scenario,
        result.program,
        result.started,
        result.verdict.value,
        place,
        step.step,
        step.name,
        "yes" if step.safety else "no",
        step.mark.value,
        step.points,
        step.out_of,
        step.at_s,
        step.hints,
        step.why,
        "; ".join(map(_evidence, step.evidence)),
        "; ".join(_by_hand(each) for each in by_hand if each.step == step.step),
        "; ".join(_assumed(each) for each in result.numbers if _stands(each, step)),
    )


def _stands(number: NumberResult, step: StepResult) -> bool:
    return number.assumed and number.step == step.step


def _assumed(number: NumberResult) -> str:
    values = "/".join(f"{value:.10g}" for value in number.values)
    return f"{number.name} {values} {number.unit}"


def _evidence(evidence: Evidence) -> str:
    sure = f"{round(evidence.sure, 3):g}"
    doubt = f" (in doubt for {evidence.doubted})" if evidence.doubted else ""
    return f"{round(evidence.at_s, 3):g} s {evidence.tells.value} {sure}: {evidence.text}{doubt}"


def _by_hand(each: SetByHand) -> str:
    because = f": {each.because}" if each.because else ""
    return f"{each.mark.value} by {each.by} at {each.when}{because}"


def _cell(value: str | int | float | None) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{round(value, 3):.15g}"
    if isinstance(value, int):
        return str(value)
    # A NUL ends a cell, or the file, for some readers.
    return safe_cell(value.replace("\0", "\ufffd"))
