"""Killed at any moment, the program has on file all that it ever acknowledged."""

from __future__ import annotations

import json
import os
import random
import string
import subprocess
import sys
import time
from pathlib import Path

from coach.dialogue.events import Heard
from coach.edges.journal_file import read_journal, unfinished

ROOT = Path(__file__).parents[2]

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


class Practice:
    """A typed practice in a process of its own; what it prints is read row by row."""

    def __init__(self, data: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "coach", "practice", "oral-airway", "--typed", "--json"],
            cwd=ROOT,
            env={**os.environ, "COACH_DATA": str(data), "COACH_CONFIG": os.devnull},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.heard: list[str] = []
        self.said: list[str] = []
        self.done: list[str] = []

    def type(self, *lines: str) -> None:
        """Hand lines over; the input stays open."""
        assert self.process.stdin is not None
        self.process.stdin.write("".join(f"{line}\n" for line in lines))
        self.process.stdin.flush()

    def read_row(self) -> bool:
        """Take in one printed row; False at the end, and for a row that was cut off."""
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line.endswith("\n"):
            return False
        row = json.loads(line)
        match row["type"]:
            case "heard":
                self.heard.append(row["text"])
            case "said":
                self.said.append(row["text"])
            case "summary":
                self.done = row["done"]
        return True

    def kill(self) -> None:
        """End it as a power cut would, then take in what it had printed until then."""
        self.process.kill()
        while self.read_row():
            pass
        self.close()

    def close(self) -> None:
        """Wait for the end and let the pipes go."""
        with self.process:
            pass


def small_talk(run: int, number: int) -> str:
    """Words that name no step and come only once."""
    letters = string.ascii_lowercase
    return f"well then {letters[run % 26]}{letters[run // 26]}k {letters[number]}{letters[number]}k"


def heard_in(path: Path) -> list[str]:
    """The texts of all utterances in a journal, which must be sound but for a torn last line."""
    contents = read_journal(path)
    assert contents.problems == ()
    return [event.meaning.text for event in contents.events if isinstance(event, Heard)]


def test_every_utterance_shown_outlives_fifty_kills_and_the_session_goes_on(
    tmp_path: Path,
) -> None:
    """One session, broken off fifty times: each time it is offered, and gone on with."""
    chance = random.Random(SEED)
    shown: list[str] = []
    for run in range(KILLS):
        practice = Practice(tmp_path)
        if run == 0:
            practice.type("I'm ready", "gloves on")
        else:
            practice.type("go on")
        practice.type(*(small_talk(run, number) for number in range(20)))
        awaited = (2 if run == 0 else 0) + chance.randint(0, 12)
        while len(practice.heard) < awaited:
            assert practice.read_row(), "the practice ended by itself"
        time.sleep(chance.uniform(0, 0.3 if awaited == 0 else 0.006))
        assert practice.process.poll() is None, "the practice failed by itself"
        practice.kill()
        shown += practice.heard
        if run > 0 and practice.said:
            assert "broke off after one step" in practice.said[0]
        path = unfinished(tmp_path / "sessions", "oral-airway")
        assert path is not None
        kept = heard_in(path)
        assert [text for text in kept if text in set(shown)] == shown
    assert len(shown) > KILLS

    practice = Practice(tmp_path)
    practice.type("go on")
    assert practice.process.stdin is not None
    practice.process.stdin.close()
    while practice.read_row():
        pass
    practice.close()
    assert "broke off after one step" in practice.said[0]
    assert practice.done == ["gloves"]
    assert practice.process.returncode == 0
    assert unfinished(tmp_path / "sessions", "oral-airway") is None
    (journal,) = (tmp_path / "sessions").glob("*.journal.jsonl")
    assert read_journal(journal).closed is not None
