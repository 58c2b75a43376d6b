"""The program's own features, CTC decoding and recogniser, for the scripts beside this file."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from coach.hearing.ctc import beam_search, encode, greedy, greedy_score, score_phrases  # noqa: E402 - after the path
from coach.hearing.features import BANDS, HOP, SAMPLE_RATE, WINDOW, framed, log_mel, mel_filters  # noqa: E402 - after the path

__all__ = [
    "BANDS", "HOP", "SAMPLE_RATE", "WINDOW", "beam_search", "encode", "framed", "greedy",
    "greedy_score", "log_mel", "mel_filters", "score_phrases",
]  # fmt: skip
