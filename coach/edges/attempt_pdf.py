"""The report of an attempt as a PDF, by ReportLab: the same bytes for the same page.

Letters that the fonts of every reader have stand in Helvetica, others in DejaVu Sans, which goes
into the file; what that lacks is shown as a box, and a line says that the HTML shows it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black, grey
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    Image,
    KeepTogether,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
    Table,
)

from coach.edges.pdf_pages import FRAME_PADDING, MARGIN, PAPERS
from coach.edges.pdf_text import marked_up, register_fonts, style_of, text_of
from coach.edges.report_letters import MISSING, drawable
from coach.edges.shaped_lines import runs_both_ways
from coach.report.attempt import Verdict
from coach.report.attempt_page import AttemptPage, StepRow, few
from coach.report.attempt_tables import ListTable
from coach.report.summary import CAUTION

FOOT = 9 * mm
MOST_PICTURE = 0.62
"""Share of the page's height that the picture may take."""

LEAST_TABLE = 90.0
"""Points that have to be left on a page for the table of steps to begin there."""

LARGE = 11.0
"""Points of the letters of what has to be seen first."""

SETTINGS = (
    (4, 8.5, 7.5),
    (2, 8.5, 7.5),
    (1, 8.5, 7.5),
    (1, 8.0, 7.0),
    (1, 7.5, 6.5),
)
"""Pieces of evidence shown of a step, and points of the running and the small letters: the first of
these with which the report fits on two pages. What was heard more often than that is folded up in
the HTML, which is better than letters that nobody reads."""

MOST_PAGES = 2

FOOT_LETTERS = 7.0


_Commands = list[Any]
"""Commands of a table's style, as ReportLab takes them."""

_WHOLE = ((0, 0), (-1, -1))

_FRAMES: dict[Verdict, _Commands] = {
    Verdict.READY: [("BOX", *_WHOLE, 1.6, black)],
    Verdict.NOT_YET: [("BOX", *_WHOLE, 4.5, black)],
    Verdict.UNCLEAR: [("BOX", *_WHOLE, 3.0, black, 0, (6, 4))],
}
"""Double, thick and dashed: told apart without a colour."""

_RULED: _Commands = [
    ("VALIGN", *_WHOLE, "TOP"),
    ("LINEBELOW", (0, 0), (-1, 0), 0.8, black),
    ("LINEBELOW", (0, 1), (-1, -1), 0.4, grey),
    ("TOPPADDING", *_WHOLE, 1.6),
    ("BOTTOMPADDING", *_WHOLE, 2.2),
    ("LEFTPADDING", *_WHOLE, 0),
    ("RIGHTPADDING", *_WHOLE, 4),
]


def pdf_report(page: AttemptPage, picture: bytes, high: float, paper: str) -> bytes:
    """The report on `paper`; `picture` is the timeline as PNG, `high` its height by its width."""
    register_fonts()
    content = b""
    for setting in SETTINGS:
        content, pages = _built(page, picture, high, paper, *setting)
        if pages <= MOST_PAGES:
            break
    return content


def _with_evidence(page: AttemptPage, pieces: int) -> AttemptPage:
    steps = (
        replace(row, evidence=few(row.evidence, pieces, "the HTML", row.weightiest))
        for row in page.steps
    )
    return replace(page, steps=tuple(steps))


def _built(
    page: AttemptPage,
    picture: bytes,
    high: float,
    paper: str,
    pieces: int,
    body: float,
    small: float,
) -> tuple[bytes, int]:
    """The document and how many pages it has."""
    folded = pieces == 1 and any(len(row.evidence) > 1 for row in page.steps)
    file = BytesIO()
    document = SimpleDocTemplate(
        file,
        pagesize=PAPERS[paper],
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN + FOOT,
        title=f"{page.who}: {page.title}",
        author="hands-free skill coach",
        subject=CAUTION,
        invariant=1,
    )
    wide = document.width - 2 * FRAME_PADDING
    drawn = _picture(picture, high, wide, document.height)
    shorter = _with_evidence(page, pieces)
    story = list(_Story(shorter, wide, body, small, folded).story(drawn))

    def foot(canvas: Canvas, _document: object) -> None:
        canvas.setFont("Helvetica", FOOT_LETTERS)
        left, right = MARGIN + FRAME_PADDING, PAPERS[paper][0] - MARGIN - FRAME_PADDING
        canvas.drawString(left, MARGIN, CAUTION)
        canvas.drawRightString(right, MARGIN, f"{canvas.getPageNumber()}")

    document.build(story, onFirstPage=foot, onLaterPages=foot)
    return file.getvalue(), document.page


def _picture(picture: bytes, high: float, wide: float, room: float) -> Image:
    drawn = min(wide, MOST_PICTURE * room / high)
    return Image(BytesIO(picture), width=drawn, height=drawn * high)


class _Story:
    """What stands on the pages, in letters of two sizes (points), `wide` points wide."""

    def __init__(
        self, page: AttemptPage, wide: float, body: float, small: float, folded: bool
    ) -> None:
        self._page, self._wide, self._body, self._small = page, wide, body, small
        self._folded = folded

    def story(self, picture: Image) -> Iterator[Flowable]:
        yield self._head()
        yield Spacer(1, 5)
        if self._page.why:
            yield text_of(self._page.why, LARGE)
            yield Spacer(1, 4)
        yield from self._matters()
        yield Spacer(1, 5)
        frame: _Commands = [("BOX", *_WHOLE, 1.0, black)]
        yield Table(
            [[text_of(CAUTION, self._body, bold=True)]], colWidths=[self._wide], style=frame
        )
        yield Spacer(1, 4)
        said = [fact for fact in self._page.facts if fact[0] not in ("When", "Way", "Time")]
        if any(runs_both_ways(text) for _, text in said):
            yield from (text_of(text, self._body, before=f"{label}: ") for label, text in said)
        else:
            facts = (f"<b>{label}:</b> {marked_up(text, False)}" for label, text in said)
            yield Paragraph("&nbsp;&nbsp; ".join(facts), style_of(self._body))
        yield Spacer(1, 4)
        yield picture
        yield CondPageBreak(LEAST_TABLE)
        yield _heading("Step by step")
        yield self._steps()
        if self._page.has_before:
            yield text_of("Before: marks of earlier attempts, the oldest first.", self._small)
        if self._folded:
            note = "(+2): so much more was heard of the step; the HTML has all of it."
            yield text_of(note, self._small)
        for table in self._page.tables:
            yield self._listed(table)
        yield from self._ending()

    def _head(self) -> Table:
        facts = dict(self._page.facts)
        word = Paragraph(
            marked_up(f"{self._page.sign} {self._page.verdict_word}", True),
            ParagraphStyle("", fontName="Helvetica-Bold", fontSize=20, leading=24, alignment=1),
        )
        box_wide = 0.27 * self._wide
        frame: _Commands = [*_FRAMES[self._page.verdict], ("TOPPADDING", *_WHOLE, 8)]
        frame += [("BOTTOMPADDING", *_WHOLE, 9)]
        verdict = Table([[word]], colWidths=[box_wide], style=frame)
        if self._page.verdict is Verdict.READY:
            padding = [
                (f"{side}PADDING", *_WHOLE, 2.4) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")
            ]
            around: _Commands = [("BOX", *_WHOLE, 1.6, black), *padding]
            verdict = Table([[verdict]], colWidths=[box_wide + 4.8], style=around)
        who = [
            text_of(self._page.who, 16, bold=True),
            Spacer(1, 2),
            text_of(self._page.title, 12, bold=True),
            text_of(
                f"{facts['When']} \u00b7 {facts['Way']} \u00b7 {facts['Time']}", self._body + 1
            ),
        ]
        style: _Commands = [("VALIGN", *_WHOLE, "MIDDLE"), ("LEFTPADDING", (0, 0), (0, 0), 2)]
        return Table(
            [[verdict, who]], colWidths=[box_wide + 14, self._wide - box_wide - 14], style=style
        )

    def _matters(self) -> Iterator[Flowable]:
        rows: list[list[object]] = [["", [text_of("What matters most", LARGE, bold=True)]]]
        for place, each in enumerate(self._page.matters, start=1):
            parts = [text_of(f"{place}. {each.what}", LARGE, bold=True)]
            parts += [text_of(each.why, LARGE)] if each.why else []
            rows.append(["", parts])
        if not self._page.matters:
            rows.append(["", [text_of("Nothing was missed.", LARGE)]])
        if self._page.good:
            rows.append(["", [text_of(self._page.good, self._body, before="Good: ")]])
        style: _Commands = [
            ("LINEBEFORE", (1, 0), (1, -1), 3, black),
            ("TOPPADDING", *_WHOLE, 1),
            ("BOTTOMPADDING", *_WHOLE, 1.5),
        ]
        yield Table(rows, colWidths=[2, None], style=style)

    def _steps(self) -> Table:
        heads = ["", "step", "mark", "points", "at", "what was heard, when, how sure"]
        shares = [0.04, 0.31, 0.14, 0.08, 0.06, 0.37]
        if self._page.has_before:
            heads.insert(5, "before")
            shares[5:] = [0.08, 0.29]
        rows: list[list[object]] = [[text_of(head, self._small, bold=True) for head in heads]]
        rows += [self._step(row) for row in self._page.steps]
        widths = [share * self._wide for share in shares]
        return Table(rows, colWidths=widths, style=_RULED, repeatRows=1)

    def _step(self, row: StepRow) -> list[object]:
        name = f"{row.name} (safety)" if row.safety else row.name
        first, *rest = row.marks
        cells: list[object] = [
            text_of(str(row.number), self._body),
            [
                text_of(name, self._body, bold=row.safety),
                *([text_of(row.why, self._small, italic=True)] if row.why else []),
            ],
            [text_of(first, self._body, bold=True), *(text_of(text, self._small) for text in rest)],
            text_of(row.points, self._body),
            text_of(row.at, self._body),
        ]
        if self._page.has_before:
            cells.append(text_of(row.before, self._small))
        return [*cells, [text_of(text, self._small) for text in row.evidence or ("nothing",)]]

    def _listed(self, table: ListTable) -> Flowable:
        rows: list[list[object]] = [[text_of(head, self._small, bold=True) for head in table.head]]
        rows += [[text_of(cell, self._small + 0.5) for cell in row] for row in table.rows]
        widths = [share * self._wide for share in table.widths]
        shown = Table(rows, colWidths=widths, style=_RULED, repeatRows=1)
        return KeepTogether([_heading(table.heading), shown])

    def _ending(self) -> Iterator[Flowable]:
        if self._page.oxygen:
            account = text_of(self._page.oxygen, self._body)
            yield KeepTogether([_heading("Oxygen account"), account])
        texts = [*self._page.protocol, *self._page.cautions]
        kept = [text_of(f"\u2022 {text}", self._body) for text in texts]
        kept += [Spacer(1, 4), text_of("; ".join(self._page.about), self._small)]
        if any(MISSING in drawable(text) for text in _texts(self._page)):
            note = f"{MISSING}: a letter that this file lacks; the HTML shows it."
            kept.append(text_of(note, self._small))
        yield KeepTogether([_heading("Protocol in force and cautions"), *kept])


def _heading(text: str) -> Paragraph:
    style = style_of(LARGE, bold=True)
    style.spaceBefore, style.spaceAfter = 7, 2
    return Paragraph(escape(text), style)


def _texts(page: AttemptPage) -> Iterator[str]:
    yield from (page.who, page.title, page.why, *page.protocol, *page.cautions, *page.about)
    yield from (text for _, text in page.facts)
    for each in page.matters:
        yield from (each.what, each.why)
    for row in page.steps:
        yield from (row.name, row.why, *row.marks, *row.evidence)
    for table in page.tables:
        yield from (cell for cells in table.rows for cell in cells)
