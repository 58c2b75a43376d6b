"""Text that runs from right to left, in a PDF: its letters joined and ordered by matplotlib.

ReportLab sets letters in the order they are stored. A line in which some run the other way (UAX #9)
is therefore drawn as outlines: it cannot be searched, but it can be read.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_left
from collections.abc import Iterator

from matplotlib.path import Path as Outline
from matplotlib.textpath import text_to_path
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from coach.edges.report_letters import drawable, font, width

LEADING = 1.2

MOST_LINES = 40
"""Lines of one text; more would not fit on a page."""

_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})


def runs_both_ways(text: str) -> bool:
    """Whether some letters of the text run from right to left."""
    return any(unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT for letter in text)


class ShapedLines(Flowable):
    """A text of `size` points, broken at its spaces, each line shaped as a whole."""

    def __init__(self, text: str, size: float, bold: bool = False) -> None:
        super().__init__()
        self._text, self._size, self._bold = drawable(text, bold), size, bold
        self._lines: tuple[str, ...] = ()

    def wrap(self, wide: float, _high: float) -> tuple[float, float]:
        """Break into lines; as ReportLab asks it, points."""
        self._lines = tuple(self._broken(wide))[:MOST_LINES]
        return wide, len(self._lines) * self._size * LEADING

    def draw(self) -> None:
        """Draw on the canvas that ReportLab has set."""
        baseline = len(self._lines) * self._size * LEADING - self._size
        for line in self._lines:
            _fill_outline(self.canv, line, self._size, self._bold, baseline)
            baseline -= self._size * LEADING

    def _broken(self, wide: float) -> Iterator[str]:
        line = ""
        for word in self._text.split():
            longer = f"{line} {word}".strip()
            if line and self._too_wide(longer, wide):
                yield line
                longer = word
            while len(longer) > 1 and self._too_wide(longer, wide):
                fitting = self._letters_within(longer, wide)
                yield longer[:fitting]
                longer = longer[fitting:]
            line = longer
        if line:
            yield line

    def _letters_within(self, word: str, wide: float) -> int:
        """How many letters of a word that is too long stand on a line, at least one."""
        ends = range(1, len(word))
        return max(1, bisect_left(ends, True, key=lambda end: self._too_wide(word[:end], wide)))

    def _too_wide(self, line: str, wide: float) -> bool:
        return width(line, self._size, self._bold) > wide


def _fill_outline(canvas: Canvas, line: str, size: float, bold: bool, baseline: float) -> None:
    points, codes = text_to_path.get_text_path(font(bold), line, ismath=False)
    scale = size / text_to_path.FONT_SCALE
    path = canvas.beginPath()
    here = (0.0, 0.0)
    for flat, code in Outline(points, codes).iter_segments(simplify=False):
        at = [(x * scale, y * scale + baseline) for x, y in zip(flat[::2], flat[1::2], strict=True)]
        if code == Outline.MOVETO:
            path.moveTo(*at[0])
        elif code == Outline.LINETO:
            path.lineTo(*at[0])
        elif code == Outline.CURVE3:
            path.curveTo(*_between(here, at[0]), *_between(at[1], at[0]), *at[1])
        elif code == Outline.CURVE4:
            path.curveTo(*at[0], *at[1], *at[2])
        else:
            path.close()
        here = at[-1]
    canvas.drawPath(path, stroke=0, fill=1)


def _between(end: tuple[float, float], control: tuple[float, float]) -> tuple[float, float]:
    """A control point of the cubic curve that is the same as a quadratic one."""
    return (
        end[0] + 2 / 3 * (control[0] - end[0]),
        end[1] + 2 / 3 * (control[1] - end[1]),
    )
