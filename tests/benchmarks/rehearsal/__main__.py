"""Whether the plan beats fixed intervals at equal time: python -m tests.benchmarks.rehearsal

Invented learners (`learners.py`: three laws of forgetting fitted to published figures, and others)
practise for a year after a course in which they were led once through each skill: by the plan at
several aims, then with the same minutes all skills in turn at one interval, then at intervals that
widen alike for all. Printed: the true chance of a clean attempt, mean of all skills and days, what
was foretold and true on the days of rehearsals, and by how much the plan is higher, with 95 %
bootstrap intervals over learners. The picture goes to .readme/rehearsal.svg. About ten minutes.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from coach.edges.skill_files import load_skill

from .comparing import Interval, Row, compare, difference, interval
from .drawing import draw
from .learners import MAIN, OTHER
from .schedules import FIXED

SKILLS = (
    "suction",
    "cpr",
    "oral-airway",
    "bag-valve-mask",
    "oxygen-delivery",
    "bleeding-control",
    "vital-signs",
    "naloxone-nasal",
)
AIMS = (0.6, 0.7, 0.8, 0.9)
USUAL = 0.8
PICTURE = Path(__file__).parents[3] / ".readme" / "rehearsal.svg"


def main(arguments: Sequence[str]) -> int:
    """Print the tables, draw the picture."""
    parser = argparse.ArgumentParser(prog="rehearsal", description="The plan of rehearsals.")
    parser.add_argument("--learners", type=int, default=40)
    seeds = range(parser.parse_args(arguments).learners)
    minutes_of = {skill: load_skill(skill).minutes for skill in SKILLS}
    began = time.monotonic()
    main_rows = [compare(kind, minutes_of, aim, seeds, False) for kind in MAIN for aim in AIMS]
    draw(main_rows, len(SKILLS), PICTURE)
    other_rows = [compare(kind, minutes_of, USUAL, seeds, False) for kind in OTHER]
    few = seeds[: max(2, len(seeds) // 2)]
    slots = [compare(kind, minutes_of, USUAL, few, True) for kind in MAIN]
    lines = [
        f"{len(SKILLS)} skills, {len(seeds)} learners, a year: {time.monotonic() - began:.0f} s"
    ]
    lines += _table("Each skill on its day", main_rows)
    lines += _table("Other laws", other_rows)
    lines += _table(f"A quarter of an hour twice a week, {len(few)} learners", slots)
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


def _table(title: str, rows: Sequence[Row]) -> list[str]:
    head = ["law", "aim", "hours a year", "plan: chance, %", "foretold, true on the day, %"]
    for name in FIXED:
        head += [f"less {name}", "time below even odds", "last day"]
    return ["", title, "", _line(head), _line(["---"] * len(head)), *map(_line, map(_cells, rows))]


def _cells(row: Row) -> list[str]:
    hours = interval([one.minutes / 60 for one in row.plan]).mean
    told = 100 * interval([one.foretold for one in row.plan]).mean
    true = 100 * interval([one.came_true for one in row.plan]).mean
    cells = [
        row.kind.name,
        f"{row.aim:g}",
        f"{hours:.0f}",
        _percent(interval([one.chance for one in row.plan])),
        "" if row.slots else f"{told:.0f}, {true:.0f}",
    ]
    for name in FIXED:
        differences = (difference(row, name, what) for what in ("chance", "low", "last_day"))
        cells += [_percent(each, sign="+") for each in differences]
    return cells


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _percent(found: Interval, sign: str = "") -> str:
    low, high = 100 * found.low, 100 * found.high
    return f"{100 * found.mean:{sign}.1f} ({low:{sign}.1f} to {high:{sign}.1f})"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
