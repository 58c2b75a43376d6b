"""Killed at any moment, on both databases: no attempt is lost, and none is there twice."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from recorded import EVENING, dump, journal, keeping, register

from coach.edges.journal_file import SUFFIX
from coach.edges.records.bundle import of_data_folder, write_bundle
from coach.edges.records.database import Records
from coach.records.register_lines import MarkSet
from coach.report.attempt import Mark

ROOT = Path(__file__).parents[3]
KILLS = 12
SEED = 20260304

STATION = """
import sys
from datetime import timedelta
from pathlib import Path
sys.path.insert(0, "tests")
from recorded import EVENING, journal, keeping
from coach.edges.records.database import records_of

data, told, run = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
records = records_of({}, told)
print("begun", flush=True)
for number in range(1000):
    attempt = f"{run:04x}{number:04x}" * 4
    at = EVENING + timedelta(minutes=1000 * run + number)
    journal(data / "sessions", attempt, "gloves", "seal", "gauge", at=at)
    print(attempt, flush=True)
    keeping(data, records).update()
    print("kept", attempt, flush=True)
"""
"""Sessions end, one after the other, and after each the database is brought up to date."""

IMPORT = """
import sys
from pathlib import Path
sys.path.insert(0, "tests")
from recorded import keeping, register
from coach.edges.records.bundle import read_bundle
from coach.edges.records.database import records_of
from coach.edges.records.importing import import_bundle

file, data, told = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
records, bundle = records_of({}, told), read_bundle(file)
print("begun", flush=True)
import_bundle(bundle, data, register(data))
print("in", flush=True)
keeping(data, records).update()
print("kept", flush=True)
"""
"""Records of another station come in by file, and the database is brought up to date."""

CARRIED = 60
"""Attempts in that file."""


def station(data: Path, records: Records, run: int) -> subprocess.Popen[str]:
    return program(STATION, str(data), address(records), str(run))


def address(records: Records) -> str:
    told = records.url.set(drivername=records.url.get_backend_name())
    return str(records.path) if records.is_file else told.render_as_string()


def program(text: str, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", text, *words],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )


def test_nothing_is_lost_or_doubled_however_often_it_is_killed(
    tmp_path: Path, database: Callable[[], Records]
) -> None:
    records, chance = database(), random.Random(SEED)
    register(tmp_path).add_learner("Ana")
    recorded: set[str] = set()
    kept: set[str] = set()
    for run in range(KILLS):
        with station(tmp_path, records, run) as child:
            assert child.stdout is not None
            lines = [child.stdout.readline() for _ in range(1 + chance.randint(0, 6))]
            time.sleep(chance.uniform(0, 0.03))
            assert child.poll() is None, "the station failed by itself"
            child.kill()
            lines += [line for line in child.stdout if line.endswith("\n")]
        recorded |= {line.strip() for line in lines if len(line.strip()) == 32}
        kept |= {line.split()[1] for line in lines if line.startswith("kept")}
        there = [str(row[0]) for row in dump(records)["attempts"]]
        assert len(there) == len(set(there))
        assert kept <= set(there)
        whole = {(str(row[0]), 4) for row in dump(records)["attempts"]}
        steps = [str(row[0]) for row in dump(records)["steps"]]
        assert {(attempt, steps.count(attempt)) for attempt in set(steps)} == whole
    keeping(tmp_path, records).update()
    there = [str(row[0]) for row in dump(records)["attempts"]]
    assert len(there) == len(set(there))
    journals = list((tmp_path / "sessions").iterdir())
    assert recorded <= set(there)
    assert len(there) + sum(path.stat().st_size == 0 for path in journals) >= len(journals) - KILLS
    assert len(kept) > KILLS

    other = database()
    keeping(tmp_path, other).rebuild()
    assert dump(other) == dump(records)


def test_two_stations_write_at_once(tmp_path: Path, database: Callable[[], Records]) -> None:
    records = database()
    dump(records)
    several = [station(tmp_path / str(run), records, run) for run in range(2)]
    kept: set[str] = set()
    for child in several:
        assert child.stdout is not None
        for _ in range(25):
            line = child.stdout.readline()
            assert line, "a station failed by itself"
            kept |= {line.split()[1]} if line.startswith("kept") else set()
    for child in several:
        with child:
            child.kill()
            assert child.stdout is not None
            kept |= {line.split()[1] for line in child.stdout if line.startswith("kept ")}
    there = [str(row[0]) for row in dump(records)["attempts"]]
    assert kept <= set(there) and len(there) == len(set(there))
    assert {attempt[:4] for attempt in kept} == {"0000", "0001"}
    for run in range(2):
        keeping(tmp_path / str(run), records).update()
    whole = dump(records)
    assert len(whole["attempts"]) == sum(
        len(list(tmp_path.glob(f"{run}/sessions/*"))) for run in (0, 1)
    )
    for run in range(2):
        keeping(tmp_path / str(run), records).rebuild()
    assert dump(records) == whole


def test_an_import_killed_beside_a_station_that_writes(
    tmp_path: Path, database: Callable[[], Records]
) -> None:
    """Tried again after each kill: in the end all came in, once, and the other lost nothing."""
    records, chance = database(), random.Random(SEED)
    far, here, beside = (tmp_path / name for name in ("far", "here", "beside"))
    learner = register(far).add_learner("Ana")
    for number in range(CARRIED):
        at = EVENING + timedelta(minutes=number)
        attempt = f"{0xF000 + number:08x}" * 4
        journal(far / "sessions", attempt, "gloves", "seal", learner=learner, at=at)
    mark = MarkSet(EVENING.isoformat(), "0000f000" * 4, "gauge", Mark.DONE, "J. Doe")
    register(far).add(lambda _: (mark,))
    file = tmp_path / "far.coach.zip"
    write_bundle(file, of_data_folder(far, False), EVENING.isoformat(), "export")
    register(here).add_learner("Ben")
    dump(records)
    kept: set[str] = set()
    reached: set[str] = set()
    with station(beside, records, 2) as other:
        assert other.stdout is not None
        for _ in range(KILLS):
            with program(IMPORT, str(file), str(here), address(records)) as child:
                assert child.stdout is not None
                lines = [child.stdout.readline()]
                time.sleep(chance.expovariate(10))
                child.kill()
                lines += child.stdout.readlines()
            assert lines[0] == "begun\n"
            reached.add(lines[-1].strip())
            there = [str(row[0]) for row in dump(records)["attempts"]]
            assert len(there) == len(set(there))
            for path in (here / "sessions").glob(f"*{SUFFIX}"):
                assert path.read_bytes() == (far / "sessions" / path.name).read_bytes()
        other.kill()
        kept |= {line.split()[1] for line in other.stdout if line.startswith("kept ")}
    assert "begun" in reached, "no import was ever broken off"
    with program(IMPORT, str(file), str(here), address(records)) as child:
        assert child.stdout is not None and child.stdout.readlines()[-1] == "kept\n"
    keeping(beside, records).update()
    there = [str(row[0]) for row in dump(records)["attempts"]]
    assert len(there) == len(set(there))
    assert kept and kept <= set(there)
    assert sum(attempt.startswith("0000f0") for attempt in there) == CARRIED
    known = register(here).read()
    assert sorted(one.name for one in known.learners.values()) == ["Ana", "Ben"]
    assert known.marks == (mark,)
    again = database()
    for data in (here, beside):
        keeping(data, again).rebuild()
    assert dump(again) == dump(records)
