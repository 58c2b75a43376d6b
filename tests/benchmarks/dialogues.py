"""How numbers come through, in whole dialogues: python -m tests.benchmarks.dialogues

A simulated learner gives a reading in noise, hears it read back, agrees or contradicts through the
same noise, up to six utterances. What may not happen is a wrong number that stands. The learner
never errs; the ear, the language and the conversation are the real ones.

Needs espeak-ng and flite, and recordings in the folder COACH_SPEECH (unset: ../shared/speech
beside the checkout): noise/test, noise/rir, digits, words; for --cast train the train folders.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from coach.edges.engines import open_recogniser
from coach.session.ports import Recogniser

from .learner import MOST_UTTERANCES, Outcome, Scene
from .recognisers import speech_folder
from .surroundings import surroundings
from .voices import CASTS, RATIOS_DB, Cast, Studio

RESAMPLES = 1000
Row = dict[str, Any]

MEASURES: dict[str, tuple[Callable[[Outcome], float], Callable[[Outcome], float]]] = {
    "stands_right": (lambda o: o.stood == "right", lambda o: 1),
    "stands_wrong": (lambda o: o.stood == "wrong", lambda o: 1),
    "never_stood": (lambda o: o.stood == "never", lambda o: 1),
    "turns": (lambda o: o.turns if o.stood == "right" else 0, lambda o: o.stood == "right"),
    "stands_in_two": (lambda o: o.stood == "right" and o.turns <= 2, lambda o: 1),
    "first_read_back_wrong": (lambda o: o.first_wrong, lambda o: o.first_read_back),
    "wrong_without_doubt": (lambda o: o.wrong_sure, lambda o: 1),
    "kin_without_doubt": (lambda o: o.kin_sure, lambda o: 1),
    "false_yes": (lambda o: o.false_yes, lambda o: o.contradictions),
    "missed_yes": (lambda o: o.missed_yes, lambda o: o.agreements),
    "silenced_or_paused": (lambda o: o.ended_as in {"silenced", "paused"}, lambda o: 1),
}
"""Each is the sum of the first over the sum of the second, over dialogues.

`wrong_without_doubt`: a wrong number was read back that two seconds of silence would have let
stand; `kin` those that differ by a teen taken for its ten, or the other way.
"""

TITLES = {
    "stands_right": "stands right",
    "stands_wrong": "**stands wrong**",
    "never_stood": "never stood",
    "turns": "utterances until it stood",
    "stands_in_two": "stood within two",
    "first_read_back_wrong": "first read-back wrong",
    "wrong_without_doubt": "wrong without doubt",
    "kin_without_doubt": "fifteen/fifty without doubt",
    "false_yes": "no taken for yes",
    "missed_yes": "yes missed",
    "silenced_or_paused": "ended silenced or paused",
}


def measured(outcomes: Sequence[Outcome], what: str) -> Row:
    """One row: for each measure its count, what it is out of, and the bootstrap interval."""
    rng = np.random.default_rng(1)
    draws = rng.integers(len(outcomes), size=(RESAMPLES, len(outcomes)))
    row: Row = {"what": what, "dialogues": len(outcomes)}
    for name, (over, under) in MEASURES.items():
        above = np.array([over(outcome) for outcome in outcomes], dtype=float)
        below = np.array([under(outcome) for outcome in outcomes], dtype=float)
        ratios = above[draws].sum(1) / np.maximum(below[draws].sum(1), 1.0)
        low, high = np.percentile(ratios, (2.5, 97.5))
        row[name] = {
            "count": int(above.sum()),
            "of": int(below.sum()),
            "ratio": round(float(above.sum() / max(below.sum(), 1.0)), 4),
            "low": round(float(low), 4),
            "high": round(float(high), 4),
        }
    return row


def rows(outcomes: Sequence[Outcome]) -> list[Row]:
    """All dialogues, then by quantity, by noise and by voice."""
    chosen = {"all": list(outcomes)}
    for quantity in sorted({o.quantity for o in outcomes}):
        chosen[quantity] = [o for o in outcomes if o.quantity == quantity]
    for ratio in RATIOS_DB:
        chosen[f"{ratio:g} dB"] = [o for o in outcomes if o.speaker.ratio_db == ratio]
    for program in sorted({o.speaker.program for o in outcomes}):
        chosen[program] = [o for o in outcomes if o.speaker.program == program]
    return [measured(members, name) for name, members in chosen.items() if members]


def table(found: Sequence[Row]) -> str:
    """The rows as markdown: shares in percent, with 95 % intervals in the first row."""
    lines = [
        "| | dialogues | " + " | ".join(TITLES.values()) + " |",
        "|---|---|" + "---|" * len(TITLES),
    ]
    for row in found:
        cells = [_cell(name, row[name], row["what"] == "all") for name in TITLES]
        lines.append(f"| {row['what']} | {row['dialogues']} | {' | '.join(cells)} |")
    return "\n".join(lines)


def _cell(name: str, measure: Row, in_full: bool) -> str:
    scale, unit = (1.0, "") if name == "turns" else (100.0, " %")
    shown = f"{measure['ratio'] * scale:.{2 if name == 'turns' else 1}f}{unit}"
    if name != "turns":
        shown += f" ({measure['count']})"
    if in_full:
        shown += f", {measure['low'] * scale:.2f} to {measure['high'] * scale:.2f}"
    return shown


def played(cast: Cast, recogniser: Recogniser, speech: Path, seeds: Sequence[int]) -> list[Outcome]:
    """The dialogues of those seeds."""
    scene = Scene(Studio(speech, cast), cast, recogniser)
    return [scene.dialogue(seed) for seed in seeds]


def report(outcomes: Sequence[Outcome], cast: Cast, seeds: Sequence[int]) -> dict[str, Any]:
    """Everything for programs: rows, and the dialogues that stood wrong or never."""
    return {
        **surroundings(),
        "cast": cast.name,
        "seeds": [seeds[0], seeds[-1]],
        "most_utterances": MOST_UTTERANCES,
        "rows": rows(outcomes),
        "not_right": [o.as_json() for o in outcomes if o.stood != "right"],
        "wrong_without_doubt": [o.as_json() for o in outcomes if o.wrong_sure],
    }


def main() -> None:
    """Play the dialogues and print a table, or JSON."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--count", type=int, default=2000, help="how many dialogues")
    parser.add_argument("--seed", type=int, default=0, help="the seed of the first one")
    parser.add_argument("--cast", choices=sorted(CASTS), default="test", help="voices and noises")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    if chosen.count < 1:
        parser.error("--count must be at least 1")
    seeds = range(chosen.seed, chosen.seed + chosen.count)
    cast = CASTS[chosen.cast]
    begin = time.perf_counter()
    outcomes = played(cast, open_recogniser("own", None), speech_folder(), seeds)
    seconds = time.perf_counter() - begin
    result = report(outcomes, cast, seeds)
    if chosen.json:
        sys.stdout.write(json.dumps({**result, "seconds": round(seconds, 1)}, indent=1) + "\n")
        return
    sys.stdout.write(table(result["rows"]) + "\n\n")
    sys.stdout.write(
        f"Commit {result['commit']}, {result['machine']}; voices and noises: {cast.name}; seeds "
        f"{seeds[0]} to {seeds[-1]}; {seconds:.0f} s. First row: 95 % bootstrap intervals.\n"
    )


if __name__ == "__main__":
    main()
