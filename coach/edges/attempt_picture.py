"""The timeline of an attempt as SVG, or as PNG for a PDF: the same bytes for the same result.

Nothing is told by colour: every mark has its own shape, every span its own hatch.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from coach.edges.picture_sheet import FAINT, POINTS_PER_MM, PictureSheet
from coach.edges.report_letters import cut_to, drawable, width
from coach.report.attempt import Mark
from coach.report.attempt_words import MARKS
from coach.report.shown_text import clock
from coach.report.timeline import Row, Stretch, Timeline

WIDE_MM = 186.0
"""Millimetres between the margins of an A4 page."""

NAMES_MM = 52.0
"""Millimetres left of the time axis, for the names."""

RIGHT_MM = 10.0
"""Millimetres right of it, for the marks."""

ROW_MM, LEAST_ROW_MM = 4.6, 2.0
MOST_ROWS_MM = 115.0
"""Millimetres that the rows may take before they are made lower."""

TOP_MM, LANE_MM, AXIS_MM, LEGEND_MM = 5.0, 4.2, 7.0, 8.5
LETTERS = 7.0
SMALL_LETTERS = 6.0

TICKS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400)
MOST_TICKS = 11

SHAPES = {Mark.DONE: "o", Mark.LATE: ">", Mark.OUT_OF_ORDER: "D", Mark.MISSED: "x"}
"""The shape of each mark as matplotlib names it; an unclear one is a question mark."""

LANES = ("coach talks", "learner talks", "silence", "safety failure")


def svg_timeline(timeline: Timeline) -> str:
    """The picture as one `<svg>` element."""
    return _Drawing(timeline).drawn().svg()


def png_timeline(timeline: Timeline) -> tuple[bytes, float]:
    """The picture in dots, and its height as a share of its width."""
    drawing = _Drawing(timeline)
    return drawing.drawn().png(), drawing.high / WIDE_MM


class _Drawing:
    """Where seconds and rows stand on the sheet."""

    def __init__(self, timeline: Timeline) -> None:
        self.timeline = timeline
        wanted = MOST_ROWS_MM / max(len(timeline.rows), 1)
        self.row_mm = min(ROW_MM, max(LEAST_ROW_MM, wanted))
        self.letters = min(LETTERS, self.row_mm * POINTS_PER_MM * 0.75)
        self.rows_top = TOP_MM + LANE_MM * len(LANES) + 1.5
        self.rows_end = self.rows_top + self.row_mm * len(timeline.rows) + 0.5
        self.high = self.rows_end + AXIS_MM + LEGEND_MM
        self.sheet = PictureSheet(WIDE_MM, self.high)
        self.right = WIDE_MM - RIGHT_MM

    def x(self, second: float) -> float:
        return NAMES_MM + (self.right - NAMES_MM) * second / self.timeline.end_s

    def y(self, row: int) -> float:
        return self.rows_top + self.row_mm * (row + 0.5)

    def lane(self, place: int) -> float:
        """The top of a lane."""
        return TOP_MM + LANE_MM * place

    def drawn(self) -> PictureSheet:
        self._limit()
        self._axis()
        self._talk()
        self._failures()
        self._path()
        for place, row in enumerate(self.timeline.rows):
            self._row(self.y(place), row)
        self._legend()
        return self.sheet

    def _limit(self) -> None:
        limit = self.timeline.limit_s
        if limit is None:
            return
        left = self.x(limit)
        if self.right > left:
            high = self.rows_end - TOP_MM
            self.sheet.box(left, TOP_MM, self.right - left, high, "0.93", behind=True)
        self.sheet.line((left, TOP_MM - 1), (left, self.rows_end), wide=1.8)
        label = f"time limit {clock(limit)}"
        at = "right" if left + width(label, SMALL_LETTERS) / POINTS_PER_MM > WIDE_MM else "left"
        self.sheet.text(left, TOP_MM - 2.6, label, SMALL_LETTERS, at=at)

    def _axis(self) -> None:
        end = self.timeline.end_s
        self.sheet.line((NAMES_MM, self.rows_end), (self.right, self.rows_end), wide=0.8)
        every = next((tick for tick in TICKS_S if end / tick <= MOST_TICKS), TICKS_S[-1])
        for second in range(0, int(end) + 1, every):
            x = self.x(second)
            self.sheet.line((x, self.rows_end), (x, self.rows_end + 1.2), wide=0.8)
            self.sheet.text(x, self.rows_end + 3.2, clock(second), SMALL_LETTERS, at="center")
        over = self.x(self.timeline.over_s)
        self.sheet.line((over, TOP_MM), (over, self.rows_end), ":", 0.9)
        self.sheet.text(
            NAMES_MM - 6, self.rows_end + 3.2, "minutes:seconds", SMALL_LETTERS, at="right"
        )
        self.sheet.text(WIDE_MM - 4.5, self.rows_top - 1.0, "mark", SMALL_LETTERS, at="center")

    def _talk(self) -> None:
        for place, name in enumerate(LANES):
            middle = self.lane(place) + LANE_MM / 2
            self.sheet.text(NAMES_MM - 2, middle, name, SMALL_LETTERS, at="right")
        spans = ((self.timeline.coach, "0.75", ""), (self.timeline.learner, "0.25", ""))
        for place, (stretches, fill, hatch) in enumerate(spans):
            for each in stretches:
                self._span(each, self.lane(place) + 0.5, LANE_MM - 1.0, fill, hatch)
        top = self.lane(LANES.index("silence")) + 0.6
        high = LANE_MM - 1.2
        for each in self.timeline.silences:
            self._span(each, top, high, "white", "-----")
            left, right = self.x(each.start_s), self.x(each.end_s)
            length = each.end_s - each.start_s
            label = f"{length:.0f} s" if length < 60 else clock(length)
            wide = width(label, SMALL_LETTERS) / POINTS_PER_MM + 1.0
            if wide + 0.5 < right - left:
                centre = (left + right) / 2
                self.sheet.box(centre - wide / 2, top, wide, high, "white")
                self.sheet.text(centre, top + high / 2, label, SMALL_LETTERS, at="center")

    def _span(self, span: Stretch, top: float, high: float, fill: str, hatch: str) -> None:
        left = self.x(span.start_s)
        wide = max(self.x(span.end_s) - left, 0.4)
        self.sheet.box(left, top, wide, high, fill, hatch)

    def _failures(self) -> None:
        top = self.lane(LANES.index("safety failure"))
        for each in self.timeline.failures:
            x = self.x(each.at_s)
            self.sheet.line((x, top), (x, self.rows_end), "--", 0.9)
            self.sheet.point(x, top + LANE_MM / 2, "v", not each.corrected, 6.5)

    def _path(self) -> None:
        points = [(self.x(second), self.y(row)) for second, row in self.timeline.path]
        for start, end in pairwise(points):
            self.sheet.line(start, end, "-", 0.5, FAINT)

    def _row(self, y: float, row: Row) -> None:
        self.sheet.line((NAMES_MM, y), (self.right, y), ":", 0.35, FAINT)
        room = (NAMES_MM - 11.0) * POINTS_PER_MM
        name = cut_to(drawable(row.name, row.safety), room, self.letters, row.safety)
        self.sheet.text(NAMES_MM - 8, y, name, self.letters, row.safety, at="right")
        self.sheet.text(NAMES_MM - 2, y, str(row.number), self.letters, row.safety, at="right")
        for span in row.under_way:
            self._span(span, y - self.row_mm * 0.22, self.row_mm * 0.44, "white", "//////")
        for second in row.tries_s:
            self.sheet.point(self.x(second), y, "o", False, 3.6)
        for second in row.helped_s:
            self.sheet.point(self.x(second), y, "v", False, 4.6)
        if row.done_s is not None:
            self._mark(self.x(row.done_s), y, row.mark)
        self._readings(y, row)
        self._mark(WIDE_MM - 4.5, y, row.mark)

    def _readings(self, y: float, row: Row) -> None:
        free = NAMES_MM
        for reading in row.readings:
            text = reading.text if reading.in_range else f"{reading.text} (!)"
            x = self.x(reading.at_s)
            self.sheet.point(x, y, "|", True, 4.2)
            bold = not reading.in_range
            wide = width(drawable(text, bold), SMALL_LETTERS, bold) / POINTS_PER_MM
            left = max(x + 1.6, free)
            if left + wide > self.right and x - 1.6 - wide > free:
                left = x - 1.6 - wide
            self.sheet.text(left, y - 0.4 * self.row_mm, text, SMALL_LETTERS, bold)
            free = left + wide + 2.0

    def _mark(self, x: float, y: float, mark: Mark) -> None:
        if mark is Mark.UNCLEAR:
            self.sheet.text(x, y, "?", self.letters + 1.5, bold=True, at="center")
        else:
            self.sheet.point(x, y, SHAPES[mark], True, 4.8)

    def _legend(self) -> None:
        x, y = 1.5, self.rows_end + AXIS_MM + 2.0
        for item in _LEGEND:
            wide = 4.0 + width(item.label, SMALL_LETTERS, item.bold) / POINTS_PER_MM
            if x + wide > WIDE_MM:
                x, y = 1.5, y + 4.0
            self._sample(item, x + 1.5, y)
            indent = 0.0 if item.bold else 4.0
            self.sheet.text(x + indent, y, item.label, SMALL_LETTERS, item.bold)
            x += wide + indent + 0.5

    def _sample(self, item: _Item, x: float, y: float) -> None:
        if item.mark is not None:
            self._mark(x, y, item.mark)
        elif item.shape:
            self.sheet.point(x, y, item.shape, item.filled, item.size)
        elif item.fill:
            self.sheet.box(x - 1.5, y - 1.1, 3.0, 2.2, item.fill, item.hatch)
        elif not item.bold:
            self.sheet.line((x - 1.5, y), (x + 1.5, y), ":", 0.9)


@dataclass(frozen=True, slots=True)
class _Item:
    """One sample of the legend and what it means."""

    label: str
    mark: Mark | None = None
    shape: str = ""
    filled: bool = False
    size: float = 4.6
    fill: str = ""
    hatch: str = ""
    bold: bool = False


_LEGEND = (
    *(_Item(words, mark=mark) for mark, words in MARKS.items()),
    _Item("safety step", bold=True),
    _Item("hint or prompt", shape="v"),
    _Item("heard, but not as done", shape="o", size=3.6),
    _Item("number said; (!) out of range", shape="|", filled=True, size=5.5),
    _Item("under way", fill="white", hatch="//////"),
    _Item("silence of 10 s or more", fill="white", hatch="-----"),
    _Item("safety failure", shape="v", filled=True, size=6.5),
    _Item("put right in time", shape="v", size=6.5),
    _Item("end of the attempt"),
)
