"""Records carried to another station, put away and put back: nothing lost, nothing twice."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import stat
import zipfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from recorded import EVENING, dump, journal, keeping, register

from coach.core.errors import InputError
from coach.edges.journal_file import SUFFIX, JournalFile
from coach.edges.records.bundle import of_data_folder, read_bundle, write_bundle
from coach.edges.records.database import Records, records_of
from coach.edges.records.importing import Imported, import_bundle, restore
from coach.records.register import digest_of
from coach.records.register_lines import CertificateHeld, LearnerWiped, MarkSet
from coach.report.attempt import Mark

ONE, TWO, THREE = ("1" * 32, "2" * 32, "3" * 32)
MADE = "2026-03-05T08:00:00+01:00"
SKILL = b'{"written":{}}\n'
SKILL_NAME = f"{hashlib.sha256(SKILL).hexdigest()}.json"


def station(data: Path, *attempts: str, name: str = "Ana") -> str:
    """A station with these attempts of one learner, whose id it gives."""
    learner = register(data).add_learner(name)
    for number, attempt in enumerate(attempts):
        at = EVENING + timedelta(days=number)
        journal(data / "sessions", attempt, "gloves", "seal", learner=learner, at=at)
    (data / "skills").mkdir(mode=0o700)
    (data / "skills" / SKILL_NAME).write_bytes(SKILL)
    now = register(data).now()
    register(data).add(
        lambda _: (
            CertificateHeld(now, learner, "CPR card", "2027-03-31"),
            MarkSet(now, attempts[0], "seal", Mark.MISSED, "J. Doe"),
        )
    )
    return learner


def exported(data: Path, target: Path, torn: bool = False) -> Path:
    write_bundle(target, of_data_folder(data, torn), MADE, "export")
    return target


def taken(file: Path, data: Path) -> Imported:
    return import_bundle(read_bundle(file), data, register(data))


def rows(data: Path, folder: Path) -> dict[str, list[tuple[object, ...]]]:
    """The rows of the records of a data folder, without what tells its station."""
    path = folder / f"{data.name}.sqlite"
    path.unlink(missing_ok=True)
    records = records_of({}, str(path))
    keeping(data, records).rebuild()
    found = dump(records)
    records.close()
    station_id = register(data).read().station
    return {
        table: [tuple("" if value == station_id else value for value in row) for row in some]
        for table, some in found.items()
        if table not in ("journals", "imports")
    }


def test_what_comes_in_is_what_went_out_and_comes_in_once(tmp_path: Path) -> None:
    there, here = tmp_path / "there", tmp_path / "here"
    station(there, ONE, TWO)
    file = exported(there, tmp_path / "station.coach.zip")
    first = taken(file, here)
    assert (first.new, first.there, first.learners, first.left_out) == (2, 0, 1, {})
    assert rows(here, tmp_path) == rows(there, tmp_path)
    assert (here / "skills" / SKILL_NAME).read_bytes() == SKILL
    before = {path: path.read_bytes() for path in here.rglob("*") if path.is_file()}
    for _ in range(3):
        again = taken(file, here)
        assert (again.new, again.longer, again.there, again.learners) == (0, 0, 2, 0)
    assert {path: path.read_bytes() for path in here.rglob("*") if path.is_file()} == before
    (note,) = register(here).read().imports
    assert (note.file, note.attempts, note.learners) == ("station.coach.zip", 2, 1)


def test_a_folder_comes_in_as_a_file_does(tmp_path: Path) -> None:
    there = tmp_path / "there"
    learner = station(there, ONE, TWO)
    assert taken(there, tmp_path / "here").new == 2
    assert register(tmp_path / "here").learner_named("Ana") == learner
    only = taken(there / "sessions", tmp_path / "only-journals")
    assert (only.new, only.learners) == (2, 0)
    with pytest.raises(InputError, match="holds no journals"):
        read_bundle(tmp_path)


def test_an_attempt_that_went_on_goes_on_here(tmp_path: Path) -> None:
    there, here = tmp_path / "there", tmp_path / "here"
    sessions = there / "sessions"
    journal(sessions, ONE, "gloves", ended=False, name="one")
    assert taken(there, here).new == 1
    journal(sessions, ONE, "gloves", "seal", name="one")
    assert taken(there, here).longer == 1
    assert (here / "sessions" / f"one{SUFFIX}").read_bytes() == next(
        sessions.iterdir()
    ).read_bytes()
    journal(sessions, ONE, "gloves", ended=False, name="one")
    assert taken(there, here).there == 1
    journal(sessions, ONE, "flow", name="one")
    assert taken(there, here).longer == 1
    assert len(list((here / "sessions").glob(f"*{SUFFIX}"))) == 2
    assert taken(there, here).there == 1


def test_an_attempt_that_goes_on_here_is_left_to_its_session(tmp_path: Path) -> None:
    """What came is kept beside it, and no half line of the session is set aside."""
    there, here = tmp_path / "there", tmp_path / "here"
    journal(there / "sessions", ONE, "gloves", ended=False, name="one")
    assert taken(there, here).new == 1
    journal(there / "sessions", ONE, "gloves", "seal", name="one")
    mine = here / "sessions" / f"one{SUFFIX}"
    recording, _ = JournalFile.resume(mine)
    before = mine.read_bytes()
    assert taken(there, here).longer == 1
    assert mine.read_bytes() == before
    assert len(list((here / "sessions").glob(f"*{SUFFIX}"))) == 2
    recording.close()


def test_a_journal_that_cannot_be_read_is_named_and_no_half_file_stays(tmp_path: Path) -> None:
    station(tmp_path / "there", ONE)
    (tmp_path / "there" / "sessions" / f"z{SUFFIX}").mkdir()
    target = tmp_path / "station.coach.zip"
    with pytest.raises(InputError, match=rf"z{SUFFIX} cannot be read"):
        exported(tmp_path / "there", target)
    assert [path.name for path in tmp_path.iterdir()] == ["there"]


def test_a_session_being_recorded_is_left_alone(tmp_path: Path) -> None:
    there, here = tmp_path / "there", tmp_path / "here"
    path = journal(here / "sessions", ONE, "gloves", ended=False, name="one")
    journal(there / "sessions", ONE, "gloves", "seal", name="one")
    session, _ = JournalFile.resume(path)
    before = path.read_bytes()
    taken(there, here)
    assert path.read_bytes() == before
    session.close()
    assert len(list((here / "sessions").glob(f"*{SUFFIX}"))) == 2


def test_two_people_of_one_name_stay_two_until_somebody_says_they_are_one(tmp_path: Path) -> None:
    there, here = tmp_path / "there", tmp_path / "here"
    other, mine = station(there, ONE), station(here, TWO)
    came = taken(there, here)
    assert "coach records join" in came.remarks[0]
    people = register(here).read().learners
    assert {one.id: one.name for one in people.values()} == {mine: "Ana", other: "Ana"}
    assert len({one.called for one in people.values()}) == 2
    assert taken(there, here).remarks == ()
    assert register(here).read().learners == people
    back = taken(here, there)
    assert back.learners == 1 and len(register(there).read().learners) == 2


def test_what_somebody_wiped_here_does_not_come_back(tmp_path: Path) -> None:
    there, here = tmp_path / "there", tmp_path / "here"
    ana = station(there, ONE, TWO)
    register(here).add(lambda _: (LearnerWiped(MADE, digest_of(ana)),))
    came = taken(there, here)
    assert (came.new, came.learners) == (0, 0)
    assert set(came.left_out.values()) == {"Its learner was wiped here."}
    assert ana.encode() not in (here / "register.jsonl").read_bytes()


def test_a_damaged_journal_is_told_and_the_others_come(tmp_path: Path) -> None:
    there = tmp_path / "there"
    station(there, ONE, TWO)
    path = next((there / "sessions").iterdir())
    path.write_bytes(path.read_bytes().replace(b"gloves", b"glovez"))
    came = taken(there, tmp_path / "here")
    assert came.new == 1
    assert "damaged" in came.left_out[path.name]


def test_a_backup_is_put_back_byte_for_byte(tmp_path: Path) -> None:
    data, back = tmp_path / "data", tmp_path / "back"
    station(data, ONE, TWO)
    (data / "sessions" / f"one{SUFFIX}.torn").write_bytes(b'{"v":1')
    (data / "register.jsonl.torn").write_bytes(b'{"v"')
    file = exported(data, tmp_path / "backup.zip", torn=True)
    assert restore(read_bundle(file), back) == 6
    kept = {path.relative_to(data): path.read_bytes() for path in data.rglob("*") if path.is_file()}
    found = {
        path.relative_to(back): path.read_bytes() for path in back.rglob("*") if path.is_file()
    }
    assert found == {path: content for path, content in kept.items() if path.suffix != ".lock"}
    assert restore(read_bundle(file), back) == 6
    register(back).add_learner("Ben")
    with pytest.raises(InputError, match="coach records import"):
        restore(read_bundle(file), back)


@pytest.mark.skipif(os.name != "posix", reason="only POSIX has these modes")
def test_it_is_for_its_owner_only_and_so_is_what_comes_of_it(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        station(tmp_path / "data", ONE)
        file = exported(tmp_path / "data", tmp_path / "file.zip")
        taken(file, tmp_path / "here" / "data")
    finally:
        os.umask(before)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    for path in (tmp_path / "here" / "data").rglob("*"):
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path


def changed(file: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """The file with other things in it."""
    with zipfile.ZipFile(file) as archive:
        content = {name: archive.read(name) for name in archive.namelist()}
    change(content)
    with zipfile.ZipFile(file, "w") as archive:
        for name, data in content.items():
            archive.writestr(name, data)
    return file


def listed(content: dict[str, bytes], name: str, data: bytes) -> None:
    about = json.loads(content["about.json"])
    about["files"][name] = hashlib.sha256(data).hexdigest()
    content["about.json"] = json.dumps(about).encode()
    content[name] = data


def newer(content: dict[str, bytes]) -> None:
    content["about.json"] = content["about.json"].replace(b'"format": 1', b'"format": 2')


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda content: content.pop("about.json"), "is not in it"),
        (lambda content: content.update({"about.json": b"[1]"}), "cannot be read"),
        (newer, "newer version"),
        (lambda content: content.update({"register.jsonl": b"{}"}), "was changed"),
        (lambda content: content.pop("register.jsonl"), "is missing"),
        (lambda content: listed(content, "../evil.journal.jsonl", b""), "no part of records"),
        (lambda content: listed(content, "/etc/passwd", b""), "no part of records"),
        (lambda content: listed(content, "sessions/../x.journal.jsonl", b""), "no part of records"),
        (lambda content: listed(content, "register.jsonl", b"{}\n"), "register.jsonl:1"),
    ],
)
def test_a_file_that_is_not_what_it_should_be_is_refused_whole(
    tmp_path: Path, change: Callable[[dict[str, bytes]], None], message: str
) -> None:
    station(tmp_path / "there", ONE)
    file = changed(exported(tmp_path / "there", tmp_path / "file.zip"), change)
    with pytest.raises(InputError, match=message):
        taken(file, tmp_path / "here")
    assert not (tmp_path / "here" / "sessions").exists()


def test_other_files_are_refused(tmp_path: Path) -> None:
    (tmp_path / "text.zip").write_text("no archive")
    station(tmp_path / "there", ONE)
    cut = exported(tmp_path / "there", tmp_path / "cut.zip")
    cut.write_bytes(cut.read_bytes()[:-40])
    for name in ("text.zip", "cut.zip", "nowhere.zip"):
        with pytest.raises(InputError, match=name):
            read_bundle(tmp_path / name)
    with pytest.raises(InputError, match="is there already"):
        exported(tmp_path / "there", tmp_path / "cut.zip")


def test_a_skill_that_is_not_what_its_name_says_is_left_out(tmp_path: Path) -> None:
    there = tmp_path / "there"
    station(there, ONE)
    (there / "skills" / f"{'0' * 64}.json").write_bytes(b"{}")
    came = taken(there, tmp_path / "here")
    assert list(came.left_out) == [f"{'0' * 64}.json"]
    assert not (tmp_path / "here" / "skills" / f"{'0' * 64}.json").exists()


def test_two_stations_come_together_in_any_order(tmp_path: Path, records: Records) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    station(one, ONE, TWO)
    station(other, THREE, name="Ben")
    for here in (tmp_path / "a", tmp_path / "b"):
        for data in (one, other) if here.name == "a" else (other, one, other):
            taken(data, here)
    assert rows(tmp_path / "a", tmp_path) == rows(tmp_path / "b", tmp_path)
    keeping(tmp_path / "a", records).update()
    assert len(dump(records)["attempts"]) == 3
    shutil.rmtree(tmp_path / "a" / "sessions")
    keeping(tmp_path / "a", records).update()
    assert dump(records)["attempts"] == []
