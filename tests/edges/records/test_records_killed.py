"""Killed at any moment, on both databases: no attempt is lost, and none is there twice."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from recorded import dump, keeping, register

from coach.edges.records.database import Records

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


def station(data: Path, records: Records, run: int) -> subprocess.Popen[str]:
    told = records.url.set(drivername=records.url.get_backend_name())
    where = str(records.path) if records.is_file else told.render_as_string()
    return subprocess.Popen(
        [sys.executable, "-c", STATION, str(data), where, str(run)],
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
