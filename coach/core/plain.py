"""Values as JSON has them: what is printed, noted and exchanged with other programs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

Plain: TypeAlias = "str | int | float | bool | Sequence[Plain] | Mapping[str, Plain] | None"
"""A value as JSON has it."""

Fields = Mapping[str, Plain]
"""The fields of a JSON object."""


def one_or_all(values: Sequence[float]) -> Plain:
    """The number of a reading; of a blood pressure both, in a list."""
    return values[0] if len(values) == 1 else list(values)
