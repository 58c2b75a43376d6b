"""Wires the records: where the database is, how journals are scored, what is kept in step."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from coach.core.errors import CoachError
from coach.edges.folders import kept_skills_folder, sessions_folder, user_data_folder
from coach.edges.records.database import WAIT_SECONDS, Records, records_of
from coach.edges.records.keeping import Keeping
from coach.edges.records.kept import Progress
from coach.edges.register_file import RegisterFile
from coach.edges.settings import load_settings
from coach.records.register_lines import MarkSet
from coach.records.scoring import Scorer
from coach.report.attempt import Result
from coach.session.journal_contents import JournalContents


@dataclass(frozen=True, slots=True)
class RecordsHere:
    """The records of this data folder: all that the commands about them need."""

    data: Path
    sessions: Path
    register: RegisterFile
    records: Records
    keeping: Keeping


def scorer_by_hand(environ: Mapping[str, str]) -> Scorer:
    """Scores a journal as the coach does, with the marks that people set in place of its own.

    Of several marks for one step the last counts; what the learner said of a step counts nothing.
    """

    @cache
    def coachs() -> Callable[[JournalContents], Result]:
        # All of a session is loaded with it; who only looks at the records scores nothing.
        from coach.app.judging import scorer

        return scorer(environ)

    def scored(contents: JournalContents, marks: Sequence[MarkSet]) -> Result:
        from coach.app.judging import rule_in_force
        from coach.assessment.by_hand import ByHand, with_marks
        from coach.assessment.rule import rule_of_text

        result = coachs()(contents)
        header = contents.header
        rule = rule_of_text(header.rule) if header and header.rule else rule_in_force()
        judged = (one for one in marks if not one.own_word)
        by_hand = {one.step: ByHand(one.mark, one.by, one.because) for one in judged}
        return with_marks(result, by_hand, rule)

    return scored


def records_here(environ: Mapping[str, str], wait_seconds: float = WAIT_SECONDS) -> RecordsHere:
    """The records of the data folder; nothing is opened yet.

    `wait_seconds` is the longest wait for another program that writes the database.
    """
    data, sessions = user_data_folder(environ), sessions_folder(environ)
    register = RegisterFile.of(environ)
    told = records_of(environ, load_settings({}, environ).records)
    records = Records(told.url, wait_seconds)
    score = scorer_by_hand(environ)
    keeping = Keeping(records, sessions, kept_skills_folder(environ), register, score)
    return RecordsHere(data, sessions, register, records, keeping)


def up_to_date(
    environ: Mapping[str, str],
    tell: Callable[[str], None] = lambda _: None,
    progress: Progress | None = None,
) -> RecordsHere:
    """The records, what was practised since the last time taken in.

    Where that fails what is in the database is shown nevertheless, and `tell` is told why;
    MissingError where it cannot be reached at all.
    """
    here = records_here(environ)
    try:
        here.keeping.update(progress)
    except CoachError as error:
        with here.records.reading():
            tell(f"The latest attempts are not taken in: {error}")
    return here
