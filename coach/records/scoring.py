"""What the records need of the scoring: a journal in, a result out; and which attempt it is."""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable, Sequence
from dataclasses import replace

from coach.dialogue.events import SessionStarted
from coach.records.register_lines import MarkSet
from coach.report.attempt import Result
from coach.session.journal_contents import JournalContents

Scorer = Callable[[JournalContents, Sequence[MarkSet]], Result]
"""Scores a journal with the marks set by hand in it; a CoachError says why it cannot."""


def attempt_of(contents: JournalContents, data: bytes) -> str:
    """The lasting id of the attempt in a journal of these bytes.

    Journals of before ids were kept have the first 32 hex digits of the SHA-256 of their first
    line, which no other journal has: it holds the second in which it was begun.
    """
    if contents.header is not None and contents.header.attempt:
        return contents.header.attempt
    return hashlib.sha256(data.split(b"\n", 1)[0]).hexdigest()[:32]


def learner_of(contents: JournalContents) -> str:
    """The id of whose attempt it is; "" for nobody's."""
    started = next((one for one in contents.events if isinstance(one, SessionStarted)), None)
    return started.learner if started else ""


def refusal_of(contents: JournalContents) -> str:
    """Why a journal gives no attempt; empty if it does."""
    if contents.problems:
        return str(contents.problems[0])
    if contents.header is None or not any(
        isinstance(one, SessionStarted) for one in contents.events
    ):
        return "It broke off before anything was recorded."
    return ""


def scored(
    contents: JournalContents, attempt: str, marks: Sequence[MarkSet], score: Scorer
) -> tuple[Result, Result]:
    """The result with the marks set by hand, and the coach's own without them."""
    coachs = score(contents, ())
    result = score(contents, marks) if marks else coachs
    return replace(result, attempt=attempt), replace(coachs, attempt=attempt)


def marks_crc32(marks: Sequence[MarkSet]) -> int:
    """Tells a change of the marks set by hand."""
    return zlib.crc32("\n".join(map(repr, marks)).encode()) if marks else 0
