"""Killed at any moment, on both databases: no attempt is lost, and none is there twice."""

from __future__ import annotations

import multiprocessing
import random
import time
from collections.abc import Callable
from datetime import timedelta
from multiprocessing.connection import Connection
from pathlib import Path

from recorded import EVENING, dump, journal, keeping, register

from coach.edges.journal_file import SUFFIX
from coach.edges.records.bundle import of_data_folder, read_bundle, write_bundle
from coach.edges.records.database import Records, records_of
from coach.edges.records.importing import import_bundle
from coach.records.register_lines import MarkSet
from coach.report.attempt import Mark

PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload([__name__, "coach.edges.records.taking_in", "psycopg"])

KILLS = 12
SEED = 20260304


def write_and_keep(tell: Connection, data: Path, told: str, run: int) -> None:
    """Sessions end, one after the other, and after each the database is brought up to date."""
    records = records_of({}, told)
    tell.send("begun")
    for number in range(1000):
        attempt = f"{run:04x}{number:04x}" * 4
        at = EVENING + timedelta(minutes=1000 * run + number)
        journal(data / "sessions", attempt, "gloves", "seal", "gauge", at=at)
        tell.send(attempt)
        keeping(data, records).update()
        tell.send(f"kept {attempt}")


def take_in(tell: Connection, file: Path, data: Path, told: str) -> None:
    """Records of another station come in by file, and the database is brought up to date."""
    records, bundle = records_of({}, told), read_bundle(file)
    tell.send("begun")
    import_bundle(bundle, data, register(data))
    tell.send("in")
    keeping(data, records).update()
    tell.send("kept")


CARRIED = 60
"""Attempts in that file."""


class Child:
    """A process of its own, which can be killed, and what it told until then.

    It is forked off a process that has all modules loaded, and is as much a process as any.
    """

    def __init__(self, target: Callable[..., None], *arguments: object) -> None:
        self._heard, tell = PROCESSES.Pipe(duplex=False)
        self.process = PROCESSES.Process(target=target, args=(tell, *arguments))
        self.process.start()
        tell.close()

    def line(self) -> str:
        """The next thing it tells; "" once it is gone."""
        try:
            return str(self._heard.recv())
        except EOFError:
            return ""

    def kill(self) -> list[str]:
        """Kill it (SIGKILL), whatever it is doing; what it had told."""
        self.process.kill()
        return self.rest()

    def rest(self) -> list[str]:
        """All that it tells until it is gone."""
        told = list(iter(self.line, ""))
        self.process.join()
        return told


def station(data: Path, records: Records, run: int) -> Child:
    return Child(write_and_keep, data, address(records), run)


def address(records: Records) -> str:
    told = records.url.set(drivername=records.url.get_backend_name())
    return str(records.path) if records.is_file else told.render_as_string()


def test_nothing_is_lost_or_doubled_however_often_it_is_killed(
    tmp_path: Path, database: Callable[[], Records]
) -> None:
    records, chance = database(), random.Random(SEED)
    register(tmp_path).add_learner("Ana")
    recorded: set[str] = set()
    kept: set[str] = set()
    for run in range(KILLS):
        child = station(tmp_path, records, run)
        lines = [child.line() for _ in range(1 + chance.randint(0, 6))]
        time.sleep(chance.uniform(0, 0.03))
        assert child.process.is_alive(), "the station failed by itself"
        lines += child.kill()
        recorded |= {line for line in lines if len(line) == 32}
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
        for _ in range(25):
            line = child.line()
            assert line, "a station failed by itself"
            kept |= {line.split()[1]} if line.startswith("kept") else set()
    for child in several:
        kept |= {line.split()[1] for line in child.kill() if line.startswith("kept ")}
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
    other = station(beside, records, 2)
    for _ in range(KILLS):
        child = Child(take_in, file, here, address(records))
        lines = [child.line()]
        time.sleep(chance.expovariate(10))
        lines += child.kill()
        assert lines[0] == "begun"
        reached.add(lines[-1])
        there = [str(row[0]) for row in dump(records)["attempts"]]
        assert len(there) == len(set(there))
        for path in (here / "sessions").glob(f"*{SUFFIX}"):
            assert path.read_bytes() == (far / "sessions" / path.name).read_bytes()
    kept |= {line.split()[1] for line in other.kill() if line.startswith("kept ")}
    assert "begun" in reached, "no import was ever broken off"
    assert Child(take_in, file, here, address(records)).rest()[-1] == "kept"
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
