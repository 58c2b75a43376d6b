"""Whose plan it is, and when to rehearse again after an attempt."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from attempts import NOT_YET as RESULT
from recorded import journal, register, score

from coach.app.rehearsing import next_time, practice_at_hand, whose
from coach.core.errors import InputError, MissingError
from coach.records.register import Learner, Register
from coach.rehearsal.practised import Practised, practised_from
from coach.report.attempt import Result, Verdict, Way

ANA, BEN = (Learner(mark * 32, name, "", "") for mark, name in (("a", "Ana"), ("b", "Ben")))


class Remembered:
    """Practice that stands in a list."""

    def __init__(self, *attempts: Practised) -> None:
        self._attempts = attempts

    def attempts_of(self, learner: str) -> tuple[Practised, ...]:
        return self._attempts


class Gone:
    """A database that is not there."""

    def attempts_of(self, learner: str) -> tuple[Practised, ...]:
        raise MissingError("locked")


def attempted(days_ago: float, way: Way = Way.RECALL) -> Result:
    when = NOW - timedelta(days=days_ago)
    return replace(RESULT, started=when.isoformat(), way=way, verdict=Verdict.READY, hints=0)


NOW = datetime(2026, 11, 26, 18, 0, tzinfo=UTC)


def test_the_only_learner_need_not_be_named() -> None:
    assert whose(Register(), None).id == ""
    assert whose(Register(learners={ANA.id: ANA}), None).called == "Ana"
    both = Register(learners={ANA.id: ANA, BEN.id: BEN})
    assert whose(both, "ben").id == BEN.id
    with pytest.raises(InputError, match=r"say whose by --learner \(Ana, Ben\)"):
        whose(both, None)
    many = Register(learners={str(n): Learner(str(n), f"L{n:03}", "", "") for n in range(500)})
    with pytest.raises(InputError, match=r"There are 500 learners.*L007, \.\.\.\)\.$"):
        whose(many, None)
    with pytest.raises(InputError, match=r"no learners yet.*--learner.*coach records roster"):
        whose(Register(), "Ana")


def test_the_next_time_comes_later_the_more_was_recalled() -> None:
    earlier = [practised_from(attempted(days)) for days in (60, 55, 45, 30)]
    first = next_time(attempted(0), Remembered(), NOW, 0.8)
    assert first == "tomorrow"
    told = next_time(attempted(0), Remembered(*earlier), NOW, 0.8)
    assert told.startswith("on ") and told.endswith((" December 2026", " January 2027"))
    in_step = Remembered(*earlier, practised_from(attempted(0)))
    assert next_time(attempted(0), in_step, NOW, 0.8) == told


def test_records_that_cannot_be_reached_keep_nothing_from_being_said() -> None:
    assert next_time(attempted(0), Gone(), NOW, 0.8) == ""


def test_attempts_that_may_be_missing_are_told() -> None:
    told = next_time(attempted(0), Remembered(), NOW, 0.8, all_counted=False)
    assert told == "tomorrow; earlier attempts are not all counted yet"


def test_what_was_just_practised_is_counted_and_too_much_is_left_for_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Records that lag are brought up to date; with more to read than there is time, nothing is
    half taken in."""
    environ = {"COACH_DATA": str(tmp_path)}
    monkeypatch.setattr("coach.app.records.scorer_by_hand", lambda _environ: score)
    ana = register(tmp_path).add_learner("Ana")
    journal(tmp_path / "sessions", "1" * 32, "gloves", learner=ana)
    practice, all_counted = practice_at_hand(environ)
    assert all_counted and len(practice.attempts_of(ana)) == 1
    for number in (2, 3):
        journal(tmp_path / "sessions", f"{number}" * 32, "gloves", learner=ana, at=NOW)
    monkeypatch.setattr("coach.app.rehearsing._BRIEF_WAIT_SECONDS", -1.0)
    practice, all_counted = practice_at_hand(environ)
    assert not all_counted and len(practice.attempts_of(ana)) == 1
    monkeypatch.setattr("coach.app.rehearsing._BRIEF_WAIT_SECONDS", 60.0)
    practice, all_counted = practice_at_hand(environ)
    assert all_counted and len(practice.attempts_of(ana)) == 3
