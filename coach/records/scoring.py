"""What the records need of the scoring: a journal in, a result out."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Sequence

from coach.dialogue.events import SessionStarted
from coach.records.register_lines import MarkSet
from coach.report.attempt import Result
from coach.session.journal_contents import JournalContents
from coach.session.student_events import StudentDrillStarted

Scorer = Callable[[JournalContents, Sequence[MarkSet]], Result]
"""Scores a journal with the marks set by hand in it; a CoachError says why it cannot."""


def learner_of(contents: JournalContents) -> str:
    """The id of whose attempt it is; "" for nobody's."""
    began = (*contents.events, *contents.drilled)
    started = (one for one in began if isinstance(one, SessionStarted | StudentDrillStarted))
    return next((one.learner for one in started), "")


def refusal_of(contents: JournalContents) -> str:
    """Why a journal gives no attempt; empty if it does."""
    if contents.problems:
        return str(contents.problems[0])
    if contents.drilled:
        return "It holds a drill with a student who makes mistakes, and no attempt."
    if contents.header is None or not any(
        isinstance(one, SessionStarted) for one in contents.events
    ):
        return "It broke off before anything was recorded."
    return ""


def scored(
    contents: JournalContents, marks: Sequence[MarkSet], score: Scorer
) -> tuple[Result, Result]:
    """The result with the marks set by hand, and the coach's own without them."""
    coachs = score(contents, ())
    return score(contents, marks) if marks else coachs, coachs


def marks_crc32(marks: Sequence[MarkSet]) -> int:
    """Tells a change of the marks set by hand."""
    return zlib.crc32("\n".join(map(repr, marks)).encode()) if marks else 0
