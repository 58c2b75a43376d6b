"""A scored attempt as rows of the tables of the records (`coach.edges.records.tables`)."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from coach.rehearsal.instants import instant_of
from coach.report.attempt import Result, result_bytes

Row = Mapping[str, Any]
"""The values of a row, by the names of the columns."""


@dataclass(frozen=True, slots=True)
class AttemptRows:
    """The rows of one attempt: its own, and those of the tables that go with it, by their names."""

    attempt: Row
    others: Mapping[str, Sequence[Row]]


def instant_s(when: str) -> float:
    """Seconds since 1970 of a wall clock (ISO 8601); one without an offset is taken for UTC.

    ValueError for a text that is no time.
    """
    return instant_of(when).timestamp()


def attempt_rows(
    result: Result, coachs: Result, learner: str, ended: bool, events: int
) -> AttemptRows:
    """The rows of a result; `coachs` is the same without marks set by hand, `learner` who it is
    known by now. ValueError if its start is no time."""
    attempt = {
        "id": result.attempt,
        "learner": learner,
        "skill": result.skill,
        "title": stored(result.title),
        "skill_sha256": result.skill_sha256,
        "choices": _json(dict(result.choices)),
        "way": result.way.value,
        "scenario": stored(result.scenario),
        "program": stored(result.program),
        "started": result.started,
        "started_s": instant_s(result.started),
        "seconds": float(result.seconds),
        "limit_s": float(result.limit_s),
        "rule": stored(result.rule),
        "verdict": result.verdict.value,
        "coach_verdict": coachs.verdict.value,
        "why": stored(result.why),
        "points": float(result.points),
        "out_of": float(result.out_of),
        "share": float(result.share),
        "passed_from": float(result.passed_from),
        "hints": result.hints,
        "oxygen_minutes": result.oxygen_minutes,
        "judged_by": stored(result.judged_by),
        "ended": ended,
        "events": events,
        "oxygen_assumed": result.oxygen_assumed,
    }
    others: dict[str, Sequence[Row]] = {
        "results": [{"attempt": result.attempt, "content": result_bytes(result)}],
        "steps": _steps(result, coachs),
        "numbers": _numbers(result),
        "failures": _failures(result),
    }
    return AttemptRows(attempt, others)


def stored(text: str) -> str:
    """The text as every database can keep it: no NUL, which PostgreSQL refuses, and no half of a
    surrogate pair, which is in no UTF-8."""
    return text.replace("\0", "\ufffd").encode("utf-8", "replace").decode("utf-8")


def _steps(result: Result, coachs: Result) -> list[Row]:
    coach_marks = {step.step: step.mark.value for step in coachs.steps}
    return [
        {
            "attempt": result.attempt,
            "position": position,
            "step": step.step,
            "name": stored(step.name),
            "mark": step.mark.value,
            "coach_mark": coach_marks.get(step.step, step.mark.value),
            "points": float(step.points),
            "out_of": float(step.out_of),
            "at_s": None if step.at_s is None else float(step.at_s),
            "safety": step.safety,
            "hints": step.hints,
        }
        for position, step in enumerate(result.steps)
    ]


def _numbers(result: Result) -> list[Row]:
    return [
        {
            "attempt": result.attempt,
            "position": position,
            "step": number.step,
            "name": stored(number.name),
            "said": " ".join(f"{value:.10g}" for value in number.values),
            "unit": number.unit,
            "low": float(number.low),
            "high": float(number.high),
            "in_range": number.in_range,
            "corrected": number.corrected,
            "at_s": float(number.at_s),
            "assumed": number.assumed,
        }
        for position, number in enumerate(result.numbers)
    ]


def _failures(result: Result) -> list[Row]:
    return [
        {
            "attempt": result.attempt,
            "position": position,
            "about": failure.about,
            "what": stored(failure.what),
            "because": stored(failure.because),
            "at_s": float(failure.at_s),
            "corrected": failure.corrected,
        }
        for position, failure in enumerate(result.failures)
    ]


def _json(value: object) -> str:
    return stored(json.dumps(value, sort_keys=True, ensure_ascii=False))
