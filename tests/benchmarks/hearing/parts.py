"""One report of several: rows that were measured in runs of their own."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coach.core.errors import InputError

from .rows import ROWS

Report = dict[str, Any]
SAME = ("machine", "python", "onnxruntime")


def read_report(path: Path) -> Report:
    """What --json wrote; InputError names a file that is none of those."""
    try:
        report: Report = json.loads(path.read_text(encoding="utf-8"))
        keys = [row["key"] for row in report["rows"]]
    except (OSError, ValueError, KeyError, TypeError) as why:
        raise InputError(f"{path} is no report of this benchmark ({why!r}): name one.") from why
    if keys != [row.key for row in ROWS]:
        raise InputError(f"{path} has other rows than there are now: measure it anew.")
    return report


def merged(reports: Sequence[Report]) -> Report:
    """The rows of all reports together, of one row the last; InputError for several machines."""
    last = reports[-1]
    for told in SAME:
        if len({report[told] for report in reports}) > 1:
            raise InputError(f"The reports come from more than one {told}: measure them on one.")
    rows = [
        {**row, "figures": _joined(report["rows"][number]["figures"] for report in reports)}
        for number, row in enumerate(last["rows"])
    ]
    names = [name for report in reports for name in report["plan"]["rows"]]
    return {
        **last,
        "commit": ", ".join(dict.fromkeys(report["commit"] for report in reports)),
        "plan": {**_plan(reports), "rows": list(dict.fromkeys(names))},
        "rows": rows,
        "details": [one for report in reports for one in report["details"]],
        "false_actions": [one for report in reports for one in report["false_actions"]],
        "dialogues": next((r["dialogues"] for r in reversed(reports) if r["dialogues"]), None),
        **{
            key: _joined(report[key] for report in reports)
            for key in (
                "reliability",
                "calibration_by_words",
                "false_actions_with_wake_word",
                "questions_put_to_talk",
                "left_out",
                "seconds",
            )
        },
    }


def _plan(reports: Sequence[Report]) -> Report:
    """Sizes of the reports that have the rows they are about."""
    plan: Report = dict(reports[-1]["plan"])
    for name, size in (("talk", "minutes"), ("dialogues", "dialogues")):
        for report in reports:
            if name in report["plan"]["rows"]:
                plan[size] = report["plan"][size]
    return plan


def _joined(several: Any) -> Report:
    """Mappings in one, of one key the last."""
    found: Report = {}
    for one in several:
        assert isinstance(one, Mapping)
        found |= one
    return found
