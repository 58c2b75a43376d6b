"""Killed at any moment, the program has on file all that it ever acknowledged."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

from coach.dialogue.events import Heard
from coach.edges.journal_file import read_journal, unfinished

KILLS = 50
SEED = 20260304

RECORDING = """
import random, sys
from datetime import UTC, datetime
from pathlib import Path
from coach.core.meaning import Meaning
from coach.dialogue.events import Heard
from coach.edges.journal_file import JournalFile, unfinished

folder, run = Path(sys.argv[1]), int(sys.argv[2])
chance = random.Random(run)
path = unfinished(folder, "suction")
if path is None:
    journal = JournalFile.create(folder, "suction", datetime(2026, 3, 4, tzinfo=UTC), "test")
else:
    journal, _ = JournalFile.resume(path)
number = 0
while True:
    number += 1
    # Some lines are long: a kill can fall into the middle of writing them.
    words = "word " * chance.choice((1, 20, 5_000))
    journal.append(Heard(float(number), Meaning(f"{run} {number} {words}")))
    print(f"{run} {number}", flush=True)
"""
"""Goes on with the unfinished session, or begins one; prints each event once it is safe."""


def acknowledged_before_kill(folder: Path, run: int, chance: random.Random) -> list[str]:
    """The names of the events that one recording process acknowledged before it was killed."""
    with subprocess.Popen(
        [sys.executable, "-c", RECORDING, str(folder), str(run)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout is not None
        # One in five is killed while it starts or opens the journal, the others while they write.
        starting = chance.random() < 0.2
        awaited = 0 if starting else chance.randint(1, 12)
        lines = [child.stdout.readline() for _ in range(awaited)]
        time.sleep(chance.uniform(0, 0.3 if starting else 0.01))
        assert child.poll() is None, "the recording process failed by itself"
        child.kill()
        lines += child.stdout.readlines()
    return [line.removesuffix("\n") for line in lines if line.endswith("\n")]


def test_every_acknowledged_event_outlives_fifty_kills(tmp_path: Path) -> None:
    """All runs go on with one session, so each also mends what the kill before it left."""
    chance = random.Random(SEED)
    acknowledged: list[str] = []
    for run in range(KILLS):
        acknowledged += acknowledged_before_kill(tmp_path, run, chance)
        path = unfinished(tmp_path, "suction")
        if path is None:
            assert acknowledged == []
            continue
        contents = read_journal(path)
        assert contents.problems == ()
        names = [
            " ".join(event.meaning.text.split()[:2])
            for event in contents.events
            if isinstance(event, Heard)
        ]
        assert len(set(names)) == len(names)
        kept = set(names)
        assert [name for name in names if name in set(acknowledged)] == acknowledged
        # Each kill can leave at most one event that was written but no longer acknowledged.
        assert len(kept - set(acknowledged)) <= run + 1
    assert len(list(tmp_path.glob("*.journal.jsonl"))) <= 2
    assert len(acknowledged) > KILLS
