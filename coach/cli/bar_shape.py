"""How wide a progress bar is, and how many rows there are, where the terminal does not say."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
from typing import TypedDict


class BarShape(TypedDict):
    """Columns and rows that a bar may use; None: as many as the terminal has."""

    ncols: int | None
    nrows: int | None


def bar_shape() -> BarShape:
    """The shape of a bar on a terminal that tells none, such as a serial line, where it would not
    be drawn at all: as COLUMNS and LINES say, else 80 and 24."""
    told = True
    with contextlib.suppress(OSError, ValueError, AttributeError):
        told = all(os.get_terminal_size(sys.stderr.fileno()))
    if told:
        return BarShape(ncols=None, nrows=None)
    columns, rows = shutil.get_terminal_size()
    return BarShape(ncols=columns, nrows=rows)
