"""Invented journals, and a plain scorer of them, for the tests of the records."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import select

from coach.core.errors import MissingError
from coach.core.meaning import Meaning
from coach.dialogue.events import Heard, SessionStarted
from coach.edges.journal_file import SUFFIX
from coach.edges.records.database import Records
from coach.edges.records.keeping import Keeping
from coach.edges.records.tables import metadata
from coach.edges.register_file import RegisterFile
from coach.records.register_lines import MarkSet
from coach.report.attempt import (
    Evidence,
    Mark,
    NumberResult,
    Result,
    SafetyFailure,
    StepResult,
    Tells,
    Verdict,
    Way,
)
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened, Record, encode

EVENING = datetime(2026, 3, 4, 21, 40, 3, tzinfo=UTC)
STEPS = ("gloves", "seal", "gauge", "flow")


def journal_bytes(records: Iterable[Record]) -> bytes:
    """The lines of a journal."""
    return "".join(f"{encode(one, number)}\n" for number, one in enumerate(records)).encode()


def journal(
    folder: Path,
    attempt: str,
    *heard: str,
    learner: str = "",
    skill: str = "steam-tea",
    at: datetime = EVENING,
    way: str = "recall",
    ended: bool = True,
    name: str = "",
) -> Path:
    """A journal in which these sentences were heard, ten seconds from one to the next."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name or f'{at:%Y-%m-%dT%H-%M-%S}-{skill}-{attempt[:8]}'}{SUFFIX}"
    records: list[Record] = [
        JournalOpened(skill, at.isoformat(timespec="seconds"), "0.1.0", attempt, "ab" * 32),
        SessionStarted(0.0, skill, way=way, learner=learner),
    ]
    records += [Heard(10.0 * n, Meaning(text)) for n, text in enumerate(heard, start=1)]
    if ended:
        over = at + timedelta(seconds=10 * len(heard))
        records.append(JournalClosed(over.isoformat(timespec="seconds")))
    path.write_bytes(journal_bytes(records))
    return path


def score(contents: JournalContents, marks: Sequence[MarkSet]) -> Result:
    """A step is done when its name is heard; marks by hand go before. "refuse" refuses."""
    header = contents.header
    assert header is not None
    started = contents.events[0]
    assert isinstance(started, SessionStarted)
    heard = [event for event in contents.events if isinstance(event, Heard)]
    if any(event.meaning.text == "refuse" for event in heard):
        raise MissingError("The content of the skill is not there.")
    by_hand = {mark.step: mark.mark for mark in marks}
    steps = tuple(_step(step, heard, by_hand.get(step)) for step in STEPS)
    points = sum(step.points for step in steps)
    verdict = Verdict.READY if points >= 6 else Verdict.NOT_YET
    if any(step.mark is Mark.UNCLEAR for step in steps):
        verdict = Verdict.UNCLEAR
    return Result(
        attempt=header.attempt,
        learner=started.learner,
        skill=header.skill,
        title=header.skill.replace("-", " "),
        skill_sha256=header.skill_sha256,
        choices=started.choices,
        way=Way(started.way),
        scenario="",
        program="",
        started=header.started,
        seconds=heard[-1].at_s if heard else 0.0,
        limit_s=0.0,
        rule="plain, version 1",
        verdict=verdict,
        why="So it was heard.",
        points=points,
        out_of=8.0,
        passed_from=0.75,
        hints=0,
        steps=steps,
        numbers=tuple(
            NumberResult("gauge", "pressure", (1700.0,), "psi", 500, 2200, True, False, one.at_s)
            for one in heard
            if one.meaning.text == "gauge"
        ),
        failures=tuple(
            SafetyFailure("lid", "the lid was lifted by hand", "it is hot\0", one.at_s, False)
            for one in heard
            if one.meaning.text == "lid"
        ),
        timed=(),
        oxygen_minutes=None,
        spoken=(),
        cautions=("Never with a real kettle.",),
        judged_by=", ".join(dict.fromkeys(mark.by for mark in marks)) or "coach",
    )


def _step(step: str, heard: Sequence[Heard], by_hand: Mark | None) -> StepResult:
    found = next((one for one in heard if one.meaning.text == step), None)
    perhaps = any(one.meaning.text == f"perhaps {step}" for one in heard)
    coachs = Mark.DONE if found else Mark.UNCLEAR if perhaps else Mark.MISSED
    mark = by_hand or coachs
    evidence = (Evidence(found.at_s, Tells.DONE, step, 0.9),) if found else ()
    points = 2.0 if mark is Mark.DONE else 0.0
    at_s = found.at_s if found else None
    return StepResult(step, step.title(), mark, points, 2.0, at_s, "", step == "seal", 0, evidence)


def keeping(data: Path, records: Records) -> Keeping:
    """The records of a data folder, kept in this database."""
    return Keeping(records, data / "sessions", data / "skills", register(data), score)


def register(data: Path) -> RegisterFile:
    """The register of a data folder."""
    return RegisterFile(data / "register.jsonl", lambda: EVENING)


def dump(records: Records) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table but the notes for the next update, in the order of their keys."""
    with records.reading() as connection:
        return {
            table.name: [
                tuple(row) for row in connection.execute(select(table).order_by(*table.primary_key))
            ]
            for table in metadata.sorted_tables
            if table.name != "stations"
        }
