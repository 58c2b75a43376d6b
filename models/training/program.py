"""The program's own features, CTC decoding and recogniser, for the scripts beside this file."""

import sys
from pathlib import Path
from typing import Any

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from coach.hearing.ctc import beam_search, encode, greedy, greedy_score, score_phrases  # noqa: E402 - after the path
from coach.hearing.features import BANDS, HOP, SAMPLE_RATE, WINDOW, framed, log_mel, mel_filters  # noqa: E402 - after the path

__all__ = [
    "BANDS", "HOP", "SAMPLE_RATE", "WINDOW", "beam_search", "development", "encode", "framed", "greedy",
    "greedy_score", "log_mel", "mel_filters", "score_phrases",
]  # fmt: skip


def development() -> dict[str, Any]:
    """The speakers and noises that training leaves out (development.yaml)."""
    result: dict[str, Any] = yaml.safe_load(
        Path(__file__).with_name("development.yaml").read_text()
    )
    return result
