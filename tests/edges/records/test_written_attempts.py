"""Real attempts, scored for real: the same rows on both databases, however often made anew."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from benchmarks.records.rebuilding import write_journals
from recorded import dump
from sqlalchemy import select

from coach.app.judging import scorer
from coach.app.records import scorer_by_hand
from coach.edges.folders import DATA_VARIABLE
from coach.edges.journal_file import read_journal
from coach.edges.records.database import Records
from coach.edges.records.keeping import Keeping
from coach.edges.records.tables import attempts, results
from coach.edges.register_file import RegisterFile
from coach.records.register_lines import MarkSet
from coach.report.attempt import Mark, result_bytes

JOURNALS = 40
"""More than there are written attempts: some are there twice, under other ids."""


@pytest.fixture(scope="module")
def practised(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the journals of all written attempts."""
    data = tmp_path_factory.mktemp("practised") / "data"
    write_journals(data, JOURNALS)
    return data


def real(data: Path, records: Records) -> Keeping:
    """The records of a data folder, scored by the program's own scorer."""
    register = RegisterFile(data / "register.jsonl")
    score = scorer_by_hand({DATA_VARIABLE: str(data)})
    return Keeping(records, data / "sessions", data / "skills", register, score)


def test_results_are_kept_to_the_byte_and_made_anew_the_same(
    tmp_path: Path, database: Callable[[], Records], practised: Path
) -> None:
    data, records = tmp_path / "data", database()
    shutil.copytree(practised, data)
    kept = real(data, records).update()
    assert (kept.read, kept.refused) == (JOURNALS, {})
    expected = {}
    score = scorer({DATA_VARIABLE: str(data)})
    for path in (data / "sessions").iterdir():
        result = score(read_journal(path))
        expected[result.attempt] = result_bytes(result)
    with records.reading() as connection:
        asked = select(results.c.attempt, results.c.content)
        found = {attempt: bytes(content) for attempt, content in connection.execute(asked)}
    assert found == expected
    first = dump(records)
    assert first["standings"] and first["last_steps"] and first["numbers"]
    real(data, records).rebuild()
    assert dump(records) == first
    if records.is_file:
        return
    plain = Records(records.url.create("sqlite", database=str(tmp_path / "plain.sqlite")))
    real(data, plain).rebuild()
    assert dump(plain) == first
    plain.close()


def test_a_mark_set_by_hand_changes_what_it_should_and_nothing_else(
    tmp_path: Path, records: Records
) -> None:
    data = tmp_path / "data"
    write_journals(data, 3)
    keeping = real(data, records)
    keeping.update()
    before = dump(records)
    judged = str(before["attempts"][0][0])
    register = RegisterFile(data / "register.jsonl")
    at = register.now()
    register.add(lambda _: (MarkSet(at, judged, "gloves", Mark.MISSED, "J. Doe"),))
    assert keeping.update().read == 1
    after = dump(records)
    assert [row for row in after["attempts"] if row[0] != judged] == [
        row for row in before["attempts"] if row[0] != judged
    ]
    with records.reading() as connection:
        row = connection.execute(select(attempts).where(attempts.c.id == judged)).one()
    assert (row.verdict, row.judged_by) == ("not-yet", "J. Doe")
    assert row.coach_verdict == before["attempts"][0][17]
