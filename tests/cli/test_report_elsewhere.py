"""A report is the same bytes whatever the language, time zone and hash seed of the machine."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from coach.cli.main import main

SAID = """I'm ready
regulator is on and hand tight
one thousand seven hundred psi
yes
I felt for it, ninety millimeters
I'm finished
yes
"""

ELSEWHERE = {
    "as it comes": {},
    "plain letters, far east, another seed": {
        "LC_ALL": "C",
        "TZ": "Asia/Kathmandu",
        "PYTHONHASHSEED": "4711",
        "PYTHONUTF8": "0",
    },
    "far west, a third seed, optimised": {
        "LC_ALL": "C.UTF-8",
        "LANG": "de_DE.UTF-8",
        "TZ": "Pacific/Marquesas",
        "PYTHONHASHSEED": "1",
        "PYTHONOPTIMIZE": "1",
    },
}


@pytest.fixture
def journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An attempt with numbers and things left out, by a learner whose name is no ASCII."""
    monkeypatch.setattr("sys.stdin", io.StringIO(SAID))
    words = ["practice", "oxygen-delivery", "--typed", "--way", "recall", "--learner", "Žofie Ölm"]
    assert main(words) == 0
    [path] = (tmp_path / "data" / "sessions").glob("*.jsonl")
    return path


def test_the_bytes_are_the_same_elsewhere(journal: Path, tmp_path: Path) -> None:
    data = tmp_path / "data"
    kept = {name: value for name, value in os.environ.items() if not name.startswith("LC_")}
    written: dict[str, dict[str, bytes]] = {}
    for number, (name, variables) in enumerate(ELSEWHERE.items()):
        folder = tmp_path / f"elsewhere-{number}"
        folder.mkdir()
        command = [sys.executable, "-m", "coach", "report", str(journal), "--to", str(folder)]
        done = subprocess.run(
            [*command, "--as", "json,csv,html,pdf"],
            env={**kept, **variables, "COACH_DATA": str(data)},
            cwd=folder,
            capture_output=True,
        )
        assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
        written[name] = {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
    first, *others = written.values()
    assert len(first) == 4
    for other in others:
        assert other.keys() == first.keys()
        assert [name for name in first if first[name] != other[name]] == []
