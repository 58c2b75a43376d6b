"""Attempts as they are written in a file, with the judgement worked out by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

_DATA = Path(__file__).parent.parent / "data"
GOLDEN = _DATA / "golden_attempts.yaml"
FRESH = _DATA / "fresh_attempts.yaml"
FURTHER = _DATA / "further_attempts.yaml"
UNSEEN = _DATA / "unseen_attempts.yaml"
BEGAN = "2026-03-04T19:05:00+01:00"
"""When these attempts are said to have begun."""


@dataclass(frozen=True)
class Written:
    """An attempt as written: what is said (text) and the seconds of silence between (numbers),
    and the judgement worked out by hand."""

    name: str
    skill: str
    turns: Sequence[str | float]
    why: str
    marks: Mapping[str, str]
    verdict: str
    failures: Sequence[str] = ()
    corrected: Sequence[str] = ()
    numbers: Mapping[str, Any] = field(default_factory=dict)
    way: str = "assessed"
    settings: Mapping[str, str] = field(default_factory=dict)
    complications: Sequence[str] = ()
    time_limit: float = 0.0
    safety_failure: str = "counts"
    hints: int = 0


def written_attempts(path: Path = GOLDEN) -> tuple[Written, ...]:
    """The attempts of a file; `-` in its keys is `_` here."""
    return tuple(
        Written(**{key.replace("-", "_"): value for key, value in attempt.items()})
        for attempt in yaml.safe_load(path.read_text(encoding="utf-8"))
    )
