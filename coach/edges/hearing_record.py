"""Keeps the last hearing check: levels and margins only, never sound or words."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from coach.core.errors import InputError
from coach.edges.folders import DATA_VARIABLE, user_data_folder
from coach.edges.lasting import make_owned_folder, replace_owned

FILE = "hearing.json"

MOST_DECIBELS = 200.0
"""No level of 16 or 24 bits lies beyond (a bit gives 6.02 dB)."""


@dataclass(frozen=True, slots=True)
class HearingRecord:
    """One hearing check as it is kept.

    `day` is an ISO date; levels are in dBFS and dB, None where there was nothing to measure;
    `margins` is for each phrase how much surer than needed the recogniser was (-1 to 1).
    """

    day: str
    microphone: str
    recogniser: str
    level_dbfs: float | None
    noise_dbfs: float | None
    signal_to_noise_db: float | None
    clipped_share: float
    understood: int
    asked: int
    margins: Mapping[str, float] = field(default_factory=dict)


def record_path(environ: Mapping[str, str]) -> Path:
    """The file of the last hearing check; it need not exist."""
    return user_data_folder(environ) / FILE


def last_check(environ: Mapping[str, str]) -> HearingRecord | None:
    """The last hearing check; None where there is none that can be read."""
    try:
        tree: Any = json.loads(record_path(environ).read_text(encoding="utf-8"))
        record = HearingRecord(**tree)
    except (OSError, ValueError, TypeError):
        return None
    return record if _whole(record) else None


def _whole(record: HearingRecord) -> bool:
    """Whether a file that somebody may have edited holds what it should."""
    levels = (record.level_dbfs, record.noise_dbfs, record.signal_to_noise_db)
    return (
        all(isinstance(text, str) for text in (record.day, record.microphone))
        and all(isinstance(count, int) for count in (record.understood, record.asked))
        and all(level is None or _is_level(level) for level in levels)
    )


def _is_level(value: object) -> bool:
    return isinstance(value, int | float) and -MOST_DECIBELS <= value <= MOST_DECIBELS


def keep_check(record: HearingRecord, environ: Mapping[str, str]) -> Path:
    """Keep this check instead of the last one; InputError where it cannot be written."""
    path = record_path(environ)
    try:
        make_owned_folder(path.parent)
        replace_owned(path, (json.dumps(asdict(record), indent=2) + "\n").encode("utf-8"))
    except OSError as error:
        raise InputError(
            f"{path} cannot be written ({(error.strerror or str(error)).lower()}): free it, or "
            f"name another folder in {DATA_VARIABLE}."
        ) from error
    return path
