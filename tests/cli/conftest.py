"""Each command is tried with nobody's settings, in a folder and with data of its own."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _nobodys_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [name for name in os.environ if name.startswith("COACH_")]:
        if name != "COACH_SPEECH":
            monkeypatch.delenv(name)
    monkeypatch.setenv("COACH_CONFIG", os.devnull)
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.chdir(tmp_path)
