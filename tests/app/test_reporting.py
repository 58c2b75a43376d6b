"""Finding an attempt, what came before it and its marks, and making the files of its report."""

from __future__ import annotations

import hashlib
import json
from datetime import timedelta, timezone
from pathlib import Path

import pytest
from recorded import EVENING, journal, register, score

from coach.app.reporting import FORMS, file_of, gather, journal_named
from coach.core.errors import InputError
from coach.edges.register_file import RegisterFile
from coach.records.register_lines import LearnersJoined, MarkSet
from coach.report.attempt import Mark

FIRST, SECOND, THIRD = "a1" * 16, "a2" * 16, "b3" * 16


@pytest.fixture
def sessions(tmp_path: Path) -> Path:
    """Three attempts of one learner: two at the same skill, a day apart, and another."""
    learner = register(tmp_path).add_learner("Ana Invented")
    folder = tmp_path / "sessions"
    journal(folder, FIRST, "gloves", learner=learner, at=EVENING - timedelta(days=1))
    journal(folder, SECOND, "gloves", "perhaps flow", "gauge", learner=learner)
    journal(folder, THIRD, "gloves", learner=learner, skill="tea")
    return folder


@pytest.fixture
def names(tmp_path: Path) -> RegisterFile:
    """The register beside them."""
    return register(tmp_path)


def test_an_attempt_is_found_by_the_beginning_of_its_id_or_by_its_file(sessions: Path) -> None:
    path = journal_named(SECOND[:8], sessions)
    assert SECOND[:8] in path.name
    assert journal_named(str(path), sessions) == path
    assert journal_named(SECOND.upper(), sessions) == path


def test_a_journal_of_before_ids_is_found_by_what_its_first_line_gives(tmp_path: Path) -> None:
    path = journal(tmp_path, "", "gloves")
    attempt = hashlib.sha256(path.read_bytes().split(b"\n", 1)[0]).hexdigest()[:32]
    journal(tmp_path, FIRST, "gloves", at=EVENING - timedelta(days=1))
    assert journal_named(attempt[:9], tmp_path) == path


def test_what_is_no_attempt_or_several_is_told(sessions: Path) -> None:
    journal(sessions, "a2" * 6 + "c4" * 10, "gloves", at=EVENING + timedelta(days=1))
    with pytest.raises(InputError, match=r"2 attempts .*: give more of it"):
        journal_named("a2a2a2", sessions)
    with pytest.raises(InputError, match="There is no attempt d00d00 in"):
        journal_named("d00d00", sessions)
    with pytest.raises(InputError, match="at least 6 digits"):
        journal_named("a1", sessions)
    with pytest.raises(InputError, match=r"gone\.journal\.jsonl cannot be read"):
        gather(sessions / "gone.journal.jsonl", sessions, register(sessions).read(), score)


def test_the_learners_name_and_earlier_attempts_at_the_same_skill_come_along(
    sessions: Path, names: RegisterFile
) -> None:
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    assert gathered.learner == "Ana Invented"
    assert [each.attempt for each in gathered.earlier] == [FIRST]
    assert gathered.name == "2026-03-04-steam-tea-a2a2a2a2"
    first = gather(journal_named(FIRST, sessions), sessions, names.read(), score)
    assert first.earlier == ()


def test_attempts_under_an_id_of_before_belong_to_the_same_learner(
    sessions: Path, names: RegisterFile
) -> None:
    now = names.read().named("Ana Invented")
    assert now is not None
    joined = LearnersJoined(names.now(), "0f" * 16, now.id)
    journal(sessions, "d7" * 16, "gloves", learner="0f" * 16, at=EVENING - timedelta(days=9))
    names.add(lambda _register: (joined,))
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    assert [each.attempt for each in gathered.earlier] == ["d7" * 16, FIRST]


def test_instants_are_ordered_not_their_spelling(sessions: Path, names: RegisterFile) -> None:
    """22:10 in Kathmandu (UTC+05:45) is before 21:40 in Greenwich."""
    learner = names.read().named("Ana Invented")
    assert learner is not None
    there = timezone(timedelta(hours=5, minutes=45))
    early = EVENING.astimezone(there).replace(hour=22, minute=10, day=EVENING.day)
    journal(sessions, "e5" * 16, "gloves", learner=learner.id, at=early)
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    assert [each.attempt for each in gathered.earlier] == [FIRST, "e5" * 16]


def test_an_earlier_attempt_that_cannot_be_scored_is_left_out_and_told(
    sessions: Path, names: RegisterFile
) -> None:
    learner = names.read().named("Ana Invented")
    assert learner is not None
    at = EVENING - timedelta(days=3)
    journal(sessions, "f6" * 16, "refuse", learner=learner.id, at=at)
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    assert [each.attempt for each in gathered.earlier] == [FIRST]
    [told] = gathered.left_out
    assert "f6f6f6f6" in told and "The content of the skill is not there." in told


def test_marks_set_by_hand_stand_beside_the_coachs(sessions: Path, names: RegisterFile) -> None:
    mark = MarkSet(names.now(), SECOND, "flow", Mark.DONE, "Rhea Madeup", "I saw it.")
    names.add(lambda _register: (mark,))
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    [by_hand] = gathered.by_hand
    assert (by_hand.coachs_mark, by_hand.mark, by_hand.by) == (
        Mark.UNCLEAR,
        Mark.DONE,
        "Rhea Madeup",
    )
    assert gathered.result.judged_by == "Rhea Madeup"


def test_every_file_is_the_same_bytes_again_and_none_names_the_learner(
    sessions: Path, names: RegisterFile
) -> None:
    gathered = gather(journal_named(SECOND, sessions), sessions, names.read(), score)
    begins = {"html": b"<!DOCTYPE html>", "pdf": b"%PDF-", "json": b"{", "csv": b"\xef\xbb\xbf"}
    for form in FORMS:
        content = file_of(gathered, form, "a4")
        assert content.startswith(begins[form])
        assert content == file_of(gathered, form, "a4")
    assert "ana" not in gathered.name
    assert b"Ana Invented" in file_of(gathered, "html", "a4")
    assert json.loads(file_of(gathered, "json", "a4"))["attempt"] == SECOND


def test_nobodys_attempt_has_no_name_and_nothing_before_it(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    journal(folder, FIRST, "gloves", at=EVENING - timedelta(days=1))
    path = journal(folder, SECOND, "gloves")
    gathered = gather(path, folder, register(tmp_path).read(), score)
    assert (gathered.learner, gathered.earlier) == ("", ())


def test_names_of_files_are_plain_whatever_the_journal_says(tmp_path: Path) -> None:
    path = journal(tmp_path, "../../..", "gloves", skill="a/../b", name="x")
    gathered = gather(path, tmp_path, register(tmp_path).read(), score)
    assert gathered.name == "2026-03-04-a-b"
