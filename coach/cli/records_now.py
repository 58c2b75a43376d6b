"""The records, with what was practised since the last time taken in, for every command."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

from tqdm import tqdm

from coach.app.records import RecordsHere, up_to_date
from coach.cli.bar_shape import bar_shape
from coach.cli.observers import tell_beside
from coach.edges.records.kept import Progress


def records_now() -> RecordsHere:
    """The records as they are now; a bar shows how far that is, where it takes long."""
    with progress("journals") as told:
        return up_to_date(os.environ, tell_beside, told)


@contextmanager
def progress(what: str) -> Iterator[Progress]:
    """A bar on a terminal, for what takes longer than a second."""
    with tqdm(unit=f" {what}", disable=None, leave=False, delay=1.0, **bar_shape()) as bar:

        def told(done: int, of: int) -> None:
            bar.total = of
            bar.update(done - bar.n)

        yield told
