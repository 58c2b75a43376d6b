"""A picture of right and wrong against noise, readable without colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from .judged_clips import Outcome
from .rows import is_right, is_wrong

LEVELS_DB: tuple[float | None, ...] = (None, 20.0, 10.0, 5.0, 0.0)
LABELS = ("none added", "20 dB", "10 dB", "5 dB", "0 dB")
LINES: Mapping[str, tuple[str, str, str]] = {
    "word in noise": ("yes, no, stop, go, on, off (real people)", "o", "-"),
    "command": ("commands", "s", "-"),
    "reading": ("readings", "^", "--"),
    "step": ("step phrases", "D", "-."),
    "paraphrase": ("paraphrases", "x", ":"),
}
"""Title, marker and dashes of each kind of clip."""


def draw(found: Sequence[Outcome], engine: str, path: Path, note: str) -> None:
    """Two panels, shares in percent over the noise, of one engine, as a vector picture."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib import pyplot

    matplotlib.rcParams |= {"svg.hashsalt": "hearing", "svg.fonttype": "none"}
    figure, panels = pyplot.subplots(1, 2, figsize=(9.0, 4.2), layout="constrained")
    places = range(len(LEVELS_DB))
    titles = ("right, and nothing else done", "taken for something else")
    for panel, title, counts in zip(panels, titles, (is_right, is_wrong), strict=True):
        for row, (label, marker, dashes) in LINES.items():
            shares = []
            for level in LEVELS_DB:
                some = [o for o in found if (o.engine, o.row, o.noise_db) == (engine, row, level)]
                shares.append(100 * sum(map(counts, some)) / len(some) if some else float("nan"))
            panel.plot(places, shares, dashes, marker=marker, label=label, color="black")
        panel.set_title(title, fontsize=10)
        panel.set_xticks(places, LABELS)
        panel.set_xlabel("noise: ratio of speech to noise")
        panel.set_ylim(bottom=0)
        panel.grid(alpha=0.3)
    panels[0].set_ylabel("% of utterances")
    panels[0].set_ylim(0, 102)
    panels[0].legend(fontsize=8, loc="lower left")
    figure.suptitle(note, fontsize=8)
    figure.savefig(path, format="svg", metadata={"Date": None})
    pyplot.close(figure)
