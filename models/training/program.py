"""The program's own features, CTC decoding and recogniser, for the scripts beside this file."""

import sys
from pathlib import Path
from typing import Any

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from coach.hearing.ctc import beam_search, encode, greedy, greedy_score, score_phrases  # noqa: E402 - after the path
from coach.core.sound import SAMPLE_RATE_HZ as SAMPLE_RATE  # noqa: E402 - after the path
from coach.hearing.features import BANDS, HOP, WINDOW, framed, log_mel, mel_filters  # noqa: E402 - after the path

__all__ = [
    "BANDS", "HOP", "SAMPLE_RATE", "WINDOW", "accepted_commands", "beam_search", "development", "encode", "framed", "greedy",
    "greedy_score", "log_mel", "mel_filters", "score_phrases",
]  # fmt: skip


def development() -> dict[str, Any]:
    """The speakers and noises that training leaves out (development.yaml)."""
    result: dict[str, Any] = yaml.safe_load(
        Path(__file__).with_name("development.yaml").read_text()
    )
    return result


def accepted_commands() -> list[list[str]]:
    """Every wording of each command and answer that the program accepts, a list for each.

    Only where texts are drawn: the GPU machine lacks what this imports.
    """
    from coach.language.command_words import (
        COMMAND_TEMPLATES,
        NO_TEMPLATES,
        QUIET_PHRASES,
        YES_TEMPLATES,
    )
    from coach.language.commands import phrases_of

    told = [*COMMAND_TEMPLATES.values(), YES_TEMPLATES, NO_TEMPLATES]
    return [*(sorted(phrases_of(templates)) for templates in told), sorted(QUIET_PHRASES)]
