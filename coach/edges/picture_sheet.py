"""A sheet to draw on in millimetres from its top left corner, in ink alone; by matplotlib.

A picture on it has the same bytes for the same strokes: its settings, fonts and ids are its own,
and it carries no date.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from coach.edges.report_letters import drawable, font

INK, FAINT = "black", "0.6"
PNG_DOTS_PER_INCH = 250
_MM_PER_INCH = 25.4
POINTS_PER_MM = 72 / _MM_PER_INCH


class PictureSheet:
    """The sheet, `wide` by `high` millimetres; sizes of letters and shapes are in points."""

    def __init__(self, wide: float, high: float) -> None:
        with _own_settings():
            self._figure = Figure(figsize=(wide / _MM_PER_INCH, high / _MM_PER_INCH))
            self._axes = self._figure.add_axes((0, 0, 1, 1))
            self._axes.set_xlim(0, wide)
            self._axes.set_ylim(high, 0)
            self._axes.axis("off")

    def text(
        self, x: float, y: float, text: str, size: float = 7.0, bold: bool = False, at: str = "left"
    ) -> None:
        """Letters at the height of `y`; `at` is the side of `x` they begin from."""
        self._axes.text(
            x,
            y,
            drawable(text, bold),
            fontproperties=font(bold),
            fontsize=size,
            ha=at,
            va="center_baseline",
            color=INK,
            # A dollar sign of a person's text is a dollar sign and no formula.
            parse_math=False,
            zorder=5,
        )

    def line(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        style: str = "-",
        wide: float = 0.6,
        color: str = INK,
    ) -> None:
        """A line; `style` as matplotlib names it."""
        self._axes.plot(
            [start[0], end[0]],
            [start[1], end[1]],
            linestyle=style,
            linewidth=wide,
            color=color,
            zorder=1,
        )

    def box(
        self,
        left: float,
        top: float,
        wide: float,
        high: float,
        fill: str,
        hatch: str = "",
        behind: bool = False,
    ) -> None:
        """A framed box, hatched as matplotlib names hatches; `behind` every line."""
        self._axes.add_patch(
            Rectangle(
                (left, top),
                wide,
                high,
                facecolor=fill,
                edgecolor=INK,
                linewidth=0.4,
                hatch=hatch or None,
                zorder=0 if behind else 2,
            )
        )

    def point(self, x: float, y: float, shape: str, filled: bool, size: float) -> None:
        """A shape as matplotlib names markers."""
        self._axes.plot(
            [x],
            [y],
            marker=shape,
            markersize=size,
            markerfacecolor=INK if filled else "white",
            markeredgecolor=INK,
            markeredgewidth=1.2 if shape in "x|" else 0.8,
            linestyle="none",
            zorder=4,
        )

    def svg(self) -> str:
        """The picture as one `<svg>` element, its letters drawn as paths."""
        file = BytesIO()
        with _own_settings():
            FigureCanvasSVG(self._figure)
            nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
            self._figure.savefig(file, format="svg", metadata=nothing)
        text = file.getvalue().decode("utf-8")
        return text[text.index("<svg") :].rstrip()

    def png(self) -> bytes:
        """The picture in dots."""
        file = BytesIO()
        with _own_settings():
            FigureCanvasAgg(self._figure)
            nothing = {"Software": None}
            self._figure.savefig(file, format="png", dpi=PNG_DOTS_PER_INCH, metadata=nothing)
        return file.getvalue()


@contextmanager
def _own_settings() -> Iterator[None]:
    """The library's defaults, whatever the user's own matplotlibrc says."""
    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams["svg.hashsalt"] = "sheet"
        matplotlib.rcParams["svg.fonttype"] = "path"
        matplotlib.rcParams["hatch.linewidth"] = 0.5
        yield
