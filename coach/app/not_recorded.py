"""A session that cannot be recorded any more says so aloud: nobody looks at a screen."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager

from coach.app.senses import Senses
from coach.edges.journal_file import NotRecordedError
from coach.session.loop import Observer

NOT_RECORDED = (
    "I have to stop: the disk is full or fails, and nothing more can be recorded. "
    "All until now is kept: make room and start again."
)
"""Said, where the voice can still say anything: it is rendered ahead."""

LONGEST_S = 20.0
"""Longest wait until that is said."""


@contextmanager
def saying_so(senses: Senses, observer: Observer) -> Iterator[None]:
    """Say it before the error goes on its way, after which the voice drops what is not said."""
    try:
        yield
    except NotRecordedError:
        senses.voice.cut_off()
        senses.say(NOT_RECORDED, observer)
        until_s = time.monotonic() + LONGEST_S
        while senses.voice.busy() and time.monotonic() < until_s:
            time.sleep(0.05)
        raise
