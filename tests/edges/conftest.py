"""Puts the folder of shared helpers (the sound rig) on the path of the tests here."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
