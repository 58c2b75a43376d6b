"""From a journal to the files of a report: finding the attempt, what came before it, its marks."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from coach.core.errors import CoachError, InputError
from coach.dialogue.events import SessionStarted
from coach.edges.journal_file import SUFFIX, read_journal
from coach.records.register import Register
from coach.records.register_lines import MarkSet
from coach.records.scoring import Scorer, refusal_of, scored
from coach.rehearsal.instants import instant_of
from coach.report.attempt import Mark, Result, result_bytes
from coach.report.attempt_csv import csv_bytes
from coach.report.attempt_page import BEFORE_SHOWN, page_of
from coach.report.by_hand import SetByHand
from coach.report.timeline import timeline_of
from coach.session.journal_contents import (
    JournalContents,
    decode_bytes,
    first_line_sha256,
)
from coach.session.journal_lines import JournalOpened, LineError

FORMS = ("html", "pdf", "json", "csv")
"""The files of a report, by their endings."""

LEAST_OF_AN_ID = 6
"""Digits of an attempt's id that are taken for it: fewer are soon shared."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """All that a report is made of: `learner` is the name for people, "" for none; `earlier` are
    the same learner's attempts at the same skill, oldest first; `left_out` says why others of them
    are not there."""

    result: Result
    learner: str
    earlier: tuple[Result, ...]
    by_hand: tuple[SetByHand, ...]
    left_out: tuple[str, ...]

    @property
    def name(self) -> str:
        """What its files are called, without ending: day, skill and id, but not who."""
        parts = (self.result.started[:10], self.result.skill, self.result.attempt[:8])
        plain = (re.sub(r"[^a-z0-9]+", "-", part.lower()).strip("-") for part in parts)
        return "-".join(part for part in plain if part)


@dataclass(frozen=True, slots=True)
class _Beginning:
    """The first two lines of a journal."""

    path: Path
    attempt: str
    skill: str
    learner: str
    started: datetime


def journal_named(told: str, folder: Path) -> Path:
    """The journal of an attempt: a file, or the beginning of an attempt's id in `folder`.

    InputError where there is none, or several.
    """
    if told.endswith(".jsonl") or Path(told).is_file():
        return Path(told)
    wanted = told.lower().replace("-", "")
    found: dict[str, Path] = {}
    if len(wanted) >= LEAST_OF_AN_ID:
        for each in _beginnings(folder, lambda first, _second: _may_be(first, wanted)):
            if each.attempt.lower().replace("-", "").startswith(wanted):
                found.setdefault(each.attempt, each.path)
    if len(found) == 1:
        return next(iter(found.values()))
    if found:
        ids = ", ".join(sorted(found))
        raise InputError(f"{told} begins the id of {len(found)} attempts ({ids}): give more of it.")
    raise InputError(
        f"There is no attempt {told} in {folder}: give a journal's file, or at least "
        f"{LEAST_OF_AN_ID} digits of an attempt's id, which `coach learner NAME` shows."
    )


def attempt_in(folder: Path, attempt: str) -> Path | None:
    """The journal in `folder` that holds the attempt of that id; None if there is none."""
    found = _beginnings(folder, lambda first, _: _may_be(first, attempt))
    return next((each.path for each in found if each.attempt == attempt), None)


def gather(path: Path, folder: Path, register: Register, score: Scorer) -> Gathered:
    """The attempt in a journal, with what `folder` has of the same learner and skill before it.

    InputError for a journal that holds no attempt or whose learner was wiped.
    """
    contents = read_journal(path)
    refused = refusal_of(contents)
    if refused:
        raise InputError(refused if contents.problems else f"{path}: {refused}")
    result, by_hand = _judged(contents, register, score)
    learner = register.learners.get(register.known_by(result.learner))
    if register.is_wiped(result.learner):
        raise InputError(f"{path}: its learner was wiped from the records.")
    earlier, left_out = _earlier(result, folder, register, score)
    return Gathered(result, learner.called if learner else "", earlier, by_hand, left_out)


def file_of(gathered: Gathered, form: str, paper: str) -> bytes:
    """The bytes of one of FORMS; `paper` is that of the PDF."""
    result = gathered.result
    if form == "json":
        return result_bytes(result)
    if form == "csv":
        return csv_bytes(result, gathered.by_hand)
    page = page_of(result, gathered.learner, gathered.earlier, gathered.by_hand)
    timeline = timeline_of(result)
    # matplotlib and ReportLab take a second to load.
    from coach.edges.attempt_picture import png_timeline, svg_timeline

    if form == "html":
        from coach.edges.attempt_html import html_report

        return html_report(page, svg_timeline(timeline)).encode("utf-8")
    from coach.edges.attempt_pdf import pdf_report

    return pdf_report(page, *png_timeline(timeline), paper)


def _judged(
    contents: JournalContents, register: Register, score: Scorer
) -> tuple[Result, tuple[SetByHand, ...]]:
    marks = register.marks_of(contents.attempt)
    result, coachs = scored(contents, marks, score)
    coachs_marks = {step.step: step.mark for step in coachs.steps}
    coachs_marks |= dict.fromkeys(coachs.acts, Mark.DONE)
    known = (mark for mark in marks if mark.step in coachs_marks)
    return result, tuple(_by_hand(mark, coachs_marks) for mark in known)


def _by_hand(mark: MarkSet, coachs_marks: dict[str, Mark]) -> SetByHand:
    return SetByHand(mark.step, mark.mark, coachs_marks[mark.step], mark.by, mark.at, mark.because)


def _earlier(
    result: Result, folder: Path, register: Register, score: Scorer
) -> tuple[tuple[Result, ...], tuple[str, ...]]:
    """The last of the attempts before this one, and why some of them could not be scored."""
    if not result.learner:
        return (), ()
    before: dict[str, _Beginning] = {}
    now, learner = _moment(result.started), register.known_by(result.learner)
    skill, ids = _written(result.skill), [_written(one) for one in register.ids_of(learner)]

    def may_be(first: bytes, second: bytes) -> bool:
        return skill in first and any(one in second for one in ids)

    for each in _beginnings(folder, may_be):
        same = each.skill == result.skill and register.known_by(each.learner) == learner
        if same and each.started < now and each.attempt != result.attempt:
            before.setdefault(each.attempt, each)
    results: list[Result] = []
    left_out: list[str] = []
    for each in sorted(before.values(), key=lambda one: (one.started, one.attempt), reverse=True):
        if len(results) == BEFORE_SHOWN:
            break
        try:
            contents = read_journal(each.path)
            if refused := refusal_of(contents):
                raise InputError(refused)
            results.append(_judged(contents, register, score)[0])
        except CoachError as error:
            left_out.append(f"{each.path.name} is left out: {error}")
    return tuple(reversed(results)), tuple(left_out)


def _may_be(first: bytes, wanted: str) -> bool:
    """Whether the first line of a journal may be of an attempt whose id begins so."""
    kept = _ATTEMPT.search(first)
    if kept is None or not kept[1]:
        return True
    return kept[1].lower().replace(b"-", b"").startswith(wanted.encode())


_ATTEMPT = re.compile(rb'"attempt":"([^"]*)"')


def _written(text: str) -> bytes:
    """A text as it stands in the lines of a journal."""
    return json.dumps(text).encode("ascii")


def _beginnings(folder: Path, may_be: Callable[[bytes, bytes], bool]) -> Iterator[_Beginning]:
    """The attempts in a folder, of those journals whose first two lines are sound.

    Of thousands few are wanted: what `may_be` rules out by its bytes is not decoded.
    """
    for path in sorted(folder.glob(f"*{SUFFIX}")):
        try:
            with path.open("rb") as file:
                lines = [file.readline(), file.readline()]
            if not may_be(*lines):
                continue
            opened, started = (decode_bytes(line.removesuffix(b"\n"))[1] for line in lines)
        except (OSError, LineError):
            continue
        if isinstance(opened, JournalOpened) and isinstance(started, SessionStarted):
            sha256 = first_line_sha256(lines[0])
            contents = JournalContents(opened, (started,), None, False, (), 0, sha256)
            attempt = contents.attempt
            moment = _moment(opened.started)
            yield _Beginning(path, attempt, opened.skill, started.learner, moment)


def _moment(iso: str) -> datetime:
    """The instant, whatever zone it was written in; the beginning of time for none."""
    try:
        return instant_of(iso)
    except ValueError:
        return datetime.min.replace(tzinfo=UTC)
