"""A mistake in a user's file, as a value with its place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake: the file as the user named it, the line (0: the whole file), what to do."""

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        return (
            f"{self.file}:{self.line}: {self.message}"
            if self.line
            else f"{self.file}: {self.message}"
        )
