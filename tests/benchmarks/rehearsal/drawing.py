"""A picture of how well skills are there for the hours of practice, readable without colour."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from .comparing import Outcome, Row, interval
from .schedules import FIXED

PLAN = "the plan"
LINES: Mapping[str, tuple[str, str]] = {
    PLAN: ("o", "-"),
    **dict(zip(FIXED, (("s", "--"), ("^", ":")), strict=True)),
}
"""Marker and dashes of each schedule."""

PANELS: Mapping[str, Callable[[Outcome], float]] = {
    "true chance of a clean attempt, %": lambda outcome: 100 * outcome.chance,
    "time below even odds, %": lambda outcome: 100 * outcome.low,
}


def draw(rows: Sequence[Row], skills: int, path: Path) -> None:
    """A column for each law of forgetting: the mean chance above, time below even odds beneath."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib import pyplot

    matplotlib.rcParams |= {"svg.hashsalt": "rehearsal", "svg.fonttype": "none"}
    kinds = list(dict.fromkeys(row.kind.name for row in rows))
    figure, panels = pyplot.subplots(
        len(PANELS), len(kinds), figsize=(9.0, 5.6), layout="constrained", sharex=True, sharey="row"
    )
    for column, kind in enumerate(kinds):
        of_kind = [row for row in rows if row.kind.name == kind]
        hours = [interval([o.minutes for o in row.plan]).mean / 60 for row in of_kind]
        for line, (title, value) in enumerate(PANELS.items()):
            panel = panels[line][column]
            for name, (marker, dashes) in LINES.items():
                outcomes = [row.plan if name == PLAN else row.fixed[name] for row in of_kind]
                found = [interval([value(one) for one in some]) for some in outcomes]
                means = [one.mean for one in found]
                spans = [
                    [one.mean - one.low for one in found],
                    [one.high - one.mean for one in found],
                ]
                panel.errorbar(
                    hours,
                    means,
                    spans,
                    fmt=dashes,
                    marker=marker,
                    label=name,
                    color="black",
                    capsize=2,
                    markersize=5,
                    linewidth=1.2,
                )
            panel.grid(alpha=0.3)
            panel.set_ylim(0, 100 if line == 0 else 50)
            if column == 0:
                panel.set_ylabel(title, fontsize=9)
            if line == 0:
                panel.set_title(f"{kind}\n({of_kind[0].kind.fitted})", fontsize=9)
        panels[-1][column].set_xlabel(f"hours of practice a year, {skills} skills", fontsize=9)
    panels[0][-1].legend(fontsize=8, loc="lower right")
    figure.savefig(path, format="svg", metadata={"Date": None})
    pyplot.close(figure)
