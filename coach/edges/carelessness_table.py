"""Reads the table by which careless tellings are doubted: models/carelessness.json."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from coach.core.errors import InputError, MissingError
from coach.edges.data_files import data_folder
from coach.language.carelessness import Carelessness, parse_carelessness

FILE = "carelessness.json"


@cache
def read_carelessness(path: Path | None = None) -> Carelessness:
    """The table of the program, or of `path`; MissingError when it is gone or damaged."""
    path = path or data_folder("models") / FILE
    try:
        return parse_carelessness(json.loads(path.read_text(encoding="utf-8")), str(path))
    except (OSError, ValueError, InputError) as why:
        raise MissingError(
            f"The table of weights {path} is missing or damaged ({why}): install the program again."
        ) from why
