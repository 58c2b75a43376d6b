"""What is recorded can be read by its owner only, and is never half there."""

from __future__ import annotations

import os
import stat
from datetime import UTC, datetime
from pathlib import Path

import pytest

from coach.edges import lasting
from coach.edges.journal_file import JournalFile
from coach.edges.lasting import make_owned_folder, replace_owned

pytestmark = pytest.mark.skipif(os.name != "posix", reason="only POSIX has these modes")


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_journals_are_for_their_owner_only(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        folder = tmp_path / "data" / "sessions"
        with JournalFile.create(
            folder, "suction", datetime(2026, 3, 4, tzinfo=UTC), "1"
        ) as journal:
            assert mode(journal.path) == 0o600
    finally:
        os.umask(before)
    assert (mode(folder), mode(folder.parent)) == (0o700, 0o700)


def test_a_folder_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    make_owned_folder(tmp_path)
    assert mode(tmp_path) == 0o755


def test_a_file_written_anew_is_the_old_one_until_it_is_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    replace_owned(path, b"old")
    assert (path.read_bytes(), mode(path)) == (b"old", 0o600)
    with monkeypatch.context() as trouble:
        trouble.setattr(lasting, "flush", lambda file: (_ for _ in ()).throw(OSError(28, "full")))
        with pytest.raises(OSError, match="full"):
            replace_owned(path, b"new")
    assert path.read_bytes() == b"old"
    replace_owned(path, b"new")
    assert path.read_bytes() == b"new"
