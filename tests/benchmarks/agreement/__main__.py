"""Agreement with attempts that nothing is fitted to: python -m tests.benchmarks.agreement

Each attempt of the sets of tests/benchmarks/agreement/unfitted.py is played word for word, and its
result held against the judgement by hand: steps right, unclear and wrong, safety failures told,
told as possible, unnoticed and told where none was, and verdicts. No sentence is shown, so that a
set stays unseen. `--each` gives a line an attempt, `--write` writes the files of differences anew.
The exit code is 1 below a floor.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

import yaml

sys.path.insert(0, str(Path(__file__).parents[2]))

from coach.report.attempt import Result

from ..written_attempts import Written
from .unfitted import SETS, Agreement, UnfittedSet, agreement, all_played, differences

WIDTH = 100


def told(found: Agreement) -> str:
    """The figures in a line."""
    steps, attempts = found.steps, sum(found.verdicts.values())
    counts = (("right", found.right), ("unclear", found.unclear), ("wrong", found.wrong))
    shares = ", ".join(f"{n} {name} ({100 * n / steps:.1f} %)" for name, n in counts)
    return (
        f"{steps} steps: {shares}; safety failures: {found.told} told, {found.possible} told as "
        f"possible, {found.unnoticed} unnoticed, {found.needless} told that were none; "
        f"{found.passed} unsafe called ready; {found.right_verdicts} of {attempts} verdicts right"
    )


def write_differences(of: UnfittedSet, judged: Sequence[tuple[Written, Result]]) -> None:
    """The file of differences anew, under the comment that it begins with."""
    path = of.differences_path
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    comment = [line for line in lines if line.startswith("#")]
    found = {written.name: differences(written, result) for written, result in judged}
    differing = {name: each for name, each in found.items() if each}
    text = yaml.safe_dump(differing, sort_keys=False, default_flow_style=None, width=WIDTH)
    path.write_text("\n".join([*comment, "", text]), encoding="utf-8")


def within(of: UnfittedSet, found: Agreement) -> bool:
    """Whether the program agrees as far as it has to."""
    return (
        found.right >= of.least_right * found.steps
        and found.wrong <= of.most_wrong * found.steps
        and found.unnoticed <= of.most_unnoticed
        and not found.passed
    )


def main() -> int:
    """Measure all sets."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", action="store_true")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    good = True
    for of in SETS:
        judged = all_played(of.attempts)
        if options.each:
            for written, result in judged:
                sys.stdout.write(
                    f"{written.name}: {written.verdict} by hand, {result.verdict}: "
                    f"{told(agreement([(written, result)]))}\n"
                )
        found = agreement(judged)
        sys.stdout.write(f"{of.path.name}: {told(found)}\n")
        for (by_hand, program), count in sorted(found.verdicts.items()):
            sys.stdout.write(f"  {by_hand} by hand, {program} of the program: {count}\n")
        if options.write:
            write_differences(of, judged)
        good = good and within(of, found)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
