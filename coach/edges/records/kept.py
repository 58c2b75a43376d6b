"""What bringing the records up to date tells of itself, while it is at it and in the end."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

Progress = Callable[[int, int], None]
"""Told how many journals of how many are read."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What an update did: journals that were `read`, those of them that gave no attempt and why,
    and how many are `gone`."""

    read: int
    refused: Mapping[str, str]
    gone: int
