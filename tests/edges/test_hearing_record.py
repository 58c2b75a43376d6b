"""What is kept of a hearing check: levels and margins, in a file that its owner can read."""

from __future__ import annotations

import json
import stat
from pathlib import Path

import pytest

from coach.core.errors import InputError
from coach.edges.hearing_record import HearingRecord, keep_check, last_check, record_path

RECORD = HearingRecord(
    "2026-03-01", "Desk", "auto", -26.0, -60.0, 34.0, 0.0, 9, 10, {"yes": 0.6, "fifteen": 0.1}
)


def test_the_last_check_is_found_again(tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path / "new")}
    assert last_check(environ) is None
    path = keep_check(RECORD, environ)
    assert last_check(environ) == RECORD
    assert [item.name for item in path.parent.iterdir()] == ["hearing.json"]
    modes = [stat.S_IMODE(item.stat().st_mode) for item in (path.parent, path)]
    assert modes == [0o700, 0o600]


@pytest.mark.parametrize("text", ["", "[1]", "{}", '{"day": 1}', "\x00"])
def test_a_file_that_is_no_check_counts_as_none(text: str, tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path)}
    record_path(environ).write_text(text, encoding="utf-8")
    assert last_check(environ) is None


def test_a_wrong_number_counts_as_none(tmp_path: Path) -> None:
    environ = {"COACH_DATA": str(tmp_path)}
    path = keep_check(RECORD, environ)
    path.write_text(json.dumps({**json.loads(path.read_text()), "understood": "nine"}))
    assert last_check(environ) is None


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="COACH_DATA"):
        keep_check(RECORD, {"COACH_DATA": str(blocked)})
