"""How fast the records answer and are made anew: python -m tests.benchmarks.records

Attempts of 500 invented learners at 24 skills, drawn by a seed, are put into an empty database,
and the class table, today's plan and one learner's page are asked for, each five times: the median
is printed, in seconds of the wall and of this program's processor (the server's is its own). Then
the whole commands, from their start to their end. Then a database is made anew from real journals:
the written attempts of the tests, each many times. Alone on a machine; about ten minutes, with
--postgres twice that.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from datetime import datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from postgres import running_postgres

from coach.app.class_of import class_table
from coach.app.records import scorer_by_hand
from coach.app.rehearsing import RecordedPractice, Whose, page_of_learner
from coach.edges.records.database import Records, records_of
from coach.edges.records.keeping import Keeping
from coach.edges.register_file import RegisterFile
from coach.records.register import Register
from coach.rehearsal.outlook import outlooks
from coach.rehearsal.today import plan_today

from .invented import DAYS, FIRST_DAY, SKILLS, fill, learner_id
from .rebuilding import register_learners, write_journals

SIZES = (1_000, 10_000, 100_000)
AIM = 0.8
GOALS_S = {"class": 1.0, "today": 1.0, "learner's page": 0.3}
COMMANDS = {
    "coach class": ("class",),
    "coach today": ("today", "--learner", "Learner 007"),
    "coach learner": ("learner", "Learner 007"),
}
TIMES = 5
SEED = 20260304
FASTER = 2000
"""So many times faster than they took to perform, attempts are to be read again."""


def main(arguments: Sequence[str]) -> int:
    """Print the tables; 1 if the largest size misses a goal."""
    parser = argparse.ArgumentParser(prog="records", description="The speed of the records.")
    parser.add_argument("--sizes", type=int, nargs="*", default=SIZES)
    parser.add_argument("--journals", type=int, default=10_000)
    parser.add_argument("--postgres", action="store_true", help="PostgreSQL as well.")
    asked = parser.parse_args(arguments)
    missed = False
    with (
        tempfile.TemporaryDirectory() as folder,
        running_postgres() if asked.postgres else nullcontext() as server,
    ):
        databases: list[tuple[str, Callable[[str], str]]] = [
            ("SQLite", lambda name: str(Path(folder) / f"{name}.sqlite"))
        ]
        if server is not None:
            databases.append(("PostgreSQL", lambda _: server.new_database()))
        for called, address in databases:
            for size in asked.sizes:
                told = address(str(size))
                data = Path(folder) / f"{called}-{size}"
                with opened(told) as records:
                    missed |= _answers(called, records, size, data) and size == max(asked.sizes)
                _whole_commands(told, data)
            if asked.journals:
                with opened(address("rebuilt")) as records:
                    missed |= _rebuild(called, records, Path(folder) / called, asked.journals)
    return 1 if missed else 0


@contextmanager
def opened(told: str) -> Iterator[Records]:
    """A database, closed in the end."""
    records = records_of({}, told)
    try:
        yield records
    finally:
        records.close()


def _answers(called: str, records: Records, size: int, data: Path) -> bool:
    """Print how long each question takes; whether one takes too long."""
    station = register_learners(data)
    began = time.perf_counter()
    fill(records, size, SEED, station)
    _tell(f"{called}, {size:,} attempts (written in {time.perf_counter() - began:.0f} s):")
    now = FIRST_DAY + timedelta(days=DAYS + 3)
    practice, register = RecordedPractice(records), Register()
    minutes_of = {f"skill-{number:02}": 5 for number in range(SKILLS)}
    learner = Whose(learner_id(7), "Learner 007")

    def today() -> object:
        known = outlooks(practice.attempts_of(learner.id), now, AIM)
        return plan_today(known, (), minutes_of, now, AIM, 15)

    questions: dict[str, Callable[[], object]] = {
        "class": lambda: class_table(records, now, AIM),
        "today": today,
        "learner's page": lambda: page_of_learner(register, practice, learner, now, AIM),
    }
    missed = False
    for name, ask in questions.items():
        wall, processor = _median(ask)
        missed |= wall > GOALS_S[name]
        _tell(f"  {name:14} {_seconds(wall, processor)} (goal {GOALS_S[name]:g} s)")
    return missed


def _whole_commands(told: str, data: Path) -> None:
    """Print how long the commands take, from their start to their end, imports and all."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environ = {**kept, "COACH_DATA": str(data), "COACH_RECORDS": told}
    for name, words in COMMANDS.items():

        def run(words: tuple[str, ...] = words) -> None:
            whole = [sys.executable, "-m", "coach", *words]
            subprocess.run(whole, check=True, capture_output=True, env=environ)

        # The first run takes the register in; in three seconds the folder counts as settled.
        run()
        time.sleep(4)
        _tell(f"  {name:14} {_seconds(*_median(run))}, the whole command")


def _seconds(wall: float, processor: float) -> str:
    return f"{wall:.3f} s, {processor:.3f} s of the processor"


def _processor_s() -> float:
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def _median(ask: Callable[[], object]) -> tuple[float, float]:
    """Seconds of the wall and of this program's processor, after one time that does not count."""
    ask()
    walls, processors = [], []
    for _ in range(TIMES):
        wall, processor = time.perf_counter(), _processor_s()
        ask()
        walls.append(time.perf_counter() - wall)
        processors.append(_processor_s() - processor)
    return statistics.median(walls), statistics.median(processors)


def _rebuild(called: str, records: Records, data: Path, count: int) -> bool:
    """Print how long a database takes to be made anew; whether that is too long."""
    performed = write_journals(data, count)
    register = RegisterFile(data / "register.jsonl", lambda: datetime.now().astimezone())
    score = scorer_by_hand({"COACH_DATA": str(data)})
    keeping = Keeping(records, data / "sessions", data / "skills", register, score)
    began, before = time.perf_counter(), _processor_s()
    kept = keeping.rebuild()
    seconds, processor = time.perf_counter() - began, _processor_s() - before
    began = time.perf_counter()
    keeping.update()
    nothing_s = time.perf_counter() - began
    times = performed.spoken_s / seconds
    _tell(
        f"{called}, made anew from {count:,} journals of {performed.patterns} patterns: "
        f"{_seconds(seconds, processor)}, {1000 * seconds / count:.1f} ms each; said without a "
        f"pause they take {performed.spoken_s / 3600:,.0f} hours, {times:,.0f} times as long (goal "
        f"{FASTER:,}), by their skills' own minutes {performed.minutes / 60:,.0f} hours, "
        f"{60 * performed.minutes / seconds:,.0f} times; {len(kept.refused)} gave no attempt; then "
        f"an update of nothing new: {nothing_s:.3f} s"
    )
    return times < FASTER or bool(kept.refused)


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
