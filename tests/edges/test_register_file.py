"""The register on the disk: what was acknowledged stays, whoever writes, whatever breaks."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import time
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest
from filelock import FileLock

from coach.core.errors import InputError, MissingError
from coach.edges import register_file
from coach.edges.register_file import RegisterFile
from coach.records.register import Register
from coach.records.register_lines import CertificateHeld, LearnerAdded, RegisterRecord

ROOT = Path(__file__).parents[2]


def opened(folder: Path) -> RegisterFile:
    return RegisterFile(folder / "register.jsonl", lambda: datetime(2026, 3, 4, tzinfo=UTC))


def test_a_learner_is_found_again_by_name(tmp_path: Path) -> None:
    register = RegisterFile.of({"COACH_DATA": str(tmp_path / "new")})
    assert register.learner_named("Ana Silva") is None
    ana = register.add_learner("Ana  Silva")
    assert len(ana) == 32 and int(ana, 16)
    assert register.learner_named("ana silva") == ana
    other = register.add_learner("Ana Silva", "evening")
    assert register.learner_named("Ana Silva (evening)") == other
    with pytest.raises(InputError, match="2 people"):
        register.learner_named("Ana Silva")
    with pytest.raises(InputError, match="another note"):
        register.add_learner("ANA SILVA", "Evening")
    assert len(register.read().learners) == 2


@pytest.mark.skipif(os.name != "posix", reason="only POSIX has these modes")
def test_only_the_owner_reads_it(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        register = opened(tmp_path / "data")
        register.add_learner("Ana")
    finally:
        os.umask(before)
    assert stat.S_IMODE(register.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(register.path.parent.stat().st_mode) == 0o700


def test_a_name_of_any_script_is_kept_as_ascii(tmp_path: Path) -> None:
    register = opened(tmp_path)
    for name in ("محمد علي", 'Ana "Annie" O\'Neill', "李小龙", "A" * 300):
        register.add_learner(name)
    text = register.path.read_text("ascii")
    assert text.count("\n") == 5
    assert [one.name for one in register.read().learners.values()][2] == "李小龙"


@pytest.mark.parametrize("lost", [1, 2, 30, 100])
def test_a_torn_last_line_is_set_aside_and_all_before_it_stays(tmp_path: Path, lost: int) -> None:
    register = opened(tmp_path)
    ana = register.add_learner("Ana")
    register.add_learner("Ben")
    whole = register.path.read_bytes()
    register.path.write_bytes(whole[:-lost])
    names = {one.name for one in register.read().learners.values()}
    assert names == ({"Ana", "Ben"} if lost == 1 else {"Ana"})
    assert register.path.read_bytes() == whole[:-lost]
    register.add_learner("Cem")
    assert {one.name for one in register.read().learners.values()} == {*names, "Cem"}
    assert register.learner_named("Ana") == ana
    aside = tmp_path / "register.jsonl.torn"
    assert aside.exists() == (lost > 1)
    if lost > 1:
        assert aside.read_bytes().rstrip(b"\n") in whole


def test_a_damaged_line_is_told_and_nothing_is_written_over_it(tmp_path: Path) -> None:
    register = opened(tmp_path)
    register.add_learner("Ana")
    register.add_learner("Ben")
    harmed = register.path.read_bytes().replace(b'"Ana"', b'"Ena"')
    register.path.write_bytes(harmed)
    with pytest.raises(InputError, match=r"register.jsonl:2: The checksum does not fit"):
        register.read()
    with pytest.raises(InputError, match="restore"):
        register.add_learner("Cem")
    assert register.path.read_bytes() == harmed


def test_what_cannot_be_decided_adds_nothing(tmp_path: Path) -> None:
    register = opened(tmp_path)

    def refuses(_: Register) -> Sequence[RegisterRecord]:
        raise InputError("no")

    with pytest.raises(InputError):
        register.add(refuses)
    assert not register.path.exists()


def test_a_full_disk_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    """The limit of the file size makes a real write fail half-way, as a full disk does."""
    resource = pytest.importorskip("resource", reason="only POSIX limits the size of a file")
    register = opened(tmp_path)
    register.add_learner("Ana")
    before = register.path.read_bytes()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 10, hard))
    try:
        with pytest.raises(MissingError, match="COACH_DATA"):
            register.add_learner("Ben")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert register.path.read_bytes() == before
    register.add_learner("Ben")
    assert len(register.read().learners) == 2


def test_a_register_in_use_is_waited_for_and_then_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(register_file, "_WAIT_SECONDS", 0.1)
    with (
        FileLock(f"{tmp_path / 'register.jsonl'}.lock"),
        pytest.raises(InputError, match="another"),
    ):
        opened(tmp_path).add_learner("Ana")


def test_a_folder_that_is_a_file_is_named_with_its_variable(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputError, match="COACH_DATA"):
        opened(tmp_path / "file").add_learner("Ana")


def test_rewriting_leaves_nothing_of_what_is_left_out(tmp_path: Path) -> None:
    register = opened(tmp_path)
    ana = register.add_learner("Ana Silva")
    register.add_learner("Ben")
    (tmp_path / "register.jsonl.torn").write_bytes(b'{"name":"Ana Silva"')

    def without_ana(records: tuple[RegisterRecord, ...]) -> Sequence[RegisterRecord]:
        return [one for one in records if getattr(one, "learner", "") != ana]

    assert [one.name for one in register.rewrite(without_ana).learners.values()] == ["Ben"]
    assert [one.name for one in register.read().learners.values()] == ["Ben"]
    for path in tmp_path.iterdir():
        data = path.read_bytes()
        assert b"Ana Silva" not in data and ana.encode() not in data
    register.add_learner("Cem")
    assert len(register.read().learners) == 2


WRITING = """
import sys
from pathlib import Path
from coach.edges.register_file import RegisterFile
register = RegisterFile(Path(sys.argv[1]))
for number in range(1000):
    register.add_learner(f"Learner {sys.argv[2]} {number}")
    print(number, flush=True)
"""


def writer(path: Path, name: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITING, str(path), name],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )


def test_two_programs_write_at_once_and_are_killed_and_nothing_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "register.jsonl"
    acknowledged: set[str] = set()
    for run in range(5):
        two = [writer(path, f"{run}{name}") for name in "ab"]
        for child, name in zip(two, "ab", strict=True):
            assert child.stdout is not None
            acknowledged |= {
                f"Learner {run}{name} {int(child.stdout.readline())}" for _ in range(3 + run)
            }
        time.sleep(0.01 * run)
        for child, name in zip(two, "ab", strict=True):
            child.kill()
            assert child.stdout is not None
            acknowledged |= {
                f"Learner {run}{name} {int(line)}" for line in child.stdout if line.endswith("\n")
            }
            child.stdout.close()
            child.wait()
        names = [one.name for one in RegisterFile(path).read().learners.values()]
        assert acknowledged <= set(names)
        assert len(names) == len(set(names))
        assert len(set(names) - acknowledged) <= 2 * (run + 1)


def test_records_of_all_kinds_are_added_together(tmp_path: Path) -> None:
    register = opened(tmp_path)
    at = register.now()
    register.add(
        lambda _: (
            LearnerAdded(at, "a" * 32, "Ana"),
            CertificateHeld(at, "a" * 32, "CPR card", "2027-03-31"),
        )
    )
    assert [one.name for one in register.read().certificates.values()] == ["CPR card"]
