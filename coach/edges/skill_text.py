"""The text of a file that people write, and how its mistakes are told."""

from __future__ import annotations

import json
import stat
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.data_files import data_folder
from coach.trade.wording import counted

LARGEST_BYTES = 1_000_000
"""Size of the largest file that is read; a skill file has some thousand bytes."""


class BrokenFileError(InputError):
    """A file with mistakes; the message holds a line for each."""

    def __init__(self, file: str, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        lines = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{file} has {counted(len(self.problems), 'problem')}:\n{lines}")


class UnreadableFileError(InputError):
    """A file whose text cannot be got at; `problem` says so of the whole file."""

    def __init__(self, path: Path, reason: str) -> None:
        self.problem = Problem(shown(path), 0, f"the file {reason}")
        super().__init__(f"{shown(path)} {reason}")


@cache
def published_schema(name: str) -> dict[str, Any]:
    """A schema that lies beside the program's skill files."""
    schema: dict[str, Any] = json.loads((data_folder("procedures") / name).read_text("utf-8"))
    return schema


def read_text(path: Path) -> str:
    """The text of a file in UTF-8.

    UnreadableFileError with the reason if it cannot be read, BrokenFileError with the line if it
    is not UTF-8.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise UnreadableFileError(path, "is a folder: name a file in it.")
        # A pipe or device could keep the program waiting for ever.
        if not stat.S_ISREG(status.st_mode):
            raise UnreadableFileError(path, "is not an ordinary file: name a YAML file.")
        if status.st_size > LARGEST_BYTES:
            size = f"has {status.st_size:,} bytes, more than the {LARGEST_BYTES:,} that are read"
            raise UnreadableFileError(path, f"{size}: is it the right one?")
        content = path.read_bytes()
    except FileNotFoundError:
        raise UnreadableFileError(path, "does not exist: check the name.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise UnreadableFileError(path, f"cannot be read ({reason}): check the file.") from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "the file is not UTF-8 text here: save it as UTF-8 in your editor."
        raise BrokenFileError(shown(path), [Problem(shown(path), line, message)]) from None


def shown(path: Path) -> str:
    """A path as a person at this place would write it: relative if it is below, else in full."""
    try:
        return str(path.absolute().relative_to(Path.cwd()))
    except ValueError:
        return str(path)
