"""Files written for the user: never over one that is there; some for the owner's eyes only."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coach.core.errors import InputError, MissingError
from coach.edges.new_files import write_new, write_owned


def test_nothing_is_written_over_and_then_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "b").write_text("mine", "utf-8")
    with pytest.raises(InputError, match="is there already"):
        write_new({tmp_path / "a": "1", tmp_path / "b": b"2"})
    assert [path.name for path in tmp_path.iterdir()] == ["b"]
    assert (tmp_path / "b").read_text("utf-8") == "mine"


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such modes")
def test_what_is_owned_is_for_the_owner_only(tmp_path: Path) -> None:
    file = tmp_path / "reports" / "new" / "a.html"
    write_owned({file: b"a name"})
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700


def test_the_same_bytes_may_be_written_again_and_others_may_not(tmp_path: Path) -> None:
    file, other = tmp_path / "a", tmp_path / "b"
    write_owned({file: b"same"})
    write_owned({file: b"same", other: b"new"})
    assert other.read_bytes() == b"new"
    with pytest.raises(InputError, match="is there already"):
        write_owned({file: b"changed"})
    assert file.read_bytes() == b"same"


def test_a_folder_that_is_none_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises((InputError, MissingError)):
        write_owned({tmp_path / "file" / "a": b"x"})
