"""The report of an attempt as a PDF, by ReportLab: the same bytes for the same page.

Letters that the fonts of every reader have stand in Helvetica, others in DejaVu Sans, which goes
into the file; what that lacks is shown as a box, and a line says that the HTML shows it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black, grey
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
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

from coach.edges.report_letters import MISSING, drawable, font_file
from coach.edges.shaped_lines import ShapedLines, runs_both_ways
from coach.report.attempt import Verdict
from coach.report.attempt_page import AttemptPage, StepRow
from coach.report.attempt_tables import ListTable
from coach.report.summary import CAUTION

PAPERS = {"letter": LETTER, "a4": A4}
"""Paper by name: width and height in points."""

MARGIN = 12 * mm
FOOT = 9 * mm
MOST_PICTURE = 0.62
"""Share of the page's height that the picture may take."""

LEAST_TABLE = 90.0
"""Points that have to be left on a page for the table of steps to begin there."""

BODY, SMALL, LARGE = 8.5, 7.5, 11.0
"""Points of the letters."""

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
    _register_fonts()
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
    wide = document.width - 12
    story = list(_story(page, _picture(picture, high, wide, document.height), wide))

    def foot(canvas: Canvas, _document: object) -> None:
        canvas.setFont("Helvetica", SMALL)
        canvas.drawString(MARGIN + 6, MARGIN, CAUTION)
        canvas.drawRightString(PAPERS[paper][0] - MARGIN - 6, MARGIN, f"{canvas.getPageNumber()}")

    document.build(story, onFirstPage=foot, onLaterPages=foot)
    return file.getvalue()


@cache
def _register_fonts() -> None:
    pdfmetrics.registerFont(TTFont("Wide", font_file()))
    pdfmetrics.registerFont(TTFont("Wide-Bold", font_file(bold=True)))


def _style(size: float, bold: bool = False, italic: bool = False) -> ParagraphStyle:
    name = "Helvetica-Bold" if bold else "Helvetica-Oblique" if italic else "Helvetica"
    return ParagraphStyle("", fontName=name, fontSize=size, leading=size * 1.2)


def _text(
    text: str, size: float = BODY, bold: bool = False, italic: bool = False, before: str = ""
) -> Flowable:
    """A text of a person or of ours; `before` is a bold label of ours in front of it."""
    if runs_both_ways(text):
        return ShapedLines(f"{before}{text}", size, bold)
    label = f"<b>{_marked(before, True)}</b>" if before else ""
    return Paragraph(label + _marked(text, bold), _style(size, bold, italic))


_PLAIN = re.compile(r"[^\x20-\x7e\xa0-\xff\u2013\u2014\u2018-\u201d\u2022\u2026]+")


def _marked(text: str, bold: bool) -> str:
    """The text as ReportLab reads it: escaped, letters that Helvetica lacks in the wide font."""
    name = "Wide-Bold" if bold else "Wide"
    parts, end = [], 0
    for found in _PLAIN.finditer(text):
        wide = escape(drawable(found[0], bold))
        parts += [escape(text[end : found.start()]), f'<font name="{name}">{wide}</font>']
        end = found.end()
    return "".join([*parts, escape(text[end:])])


def _picture(picture: bytes, high: float, wide: float, room: float) -> Image:
    drawn = min(wide, MOST_PICTURE * room / high)
    return Image(BytesIO(picture), width=drawn, height=drawn * high)


def _story(page: AttemptPage, picture: Image, wide: float) -> Iterator[Flowable]:
    yield _head(page, wide)
    yield Spacer(1, 5)
    if page.why:
        yield _text(page.why, LARGE)
        yield Spacer(1, 4)
    yield from _matters(page)
    yield Spacer(1, 5)
    frame: _Commands = [("BOX", *_WHOLE, 1.0, black)]
    yield Table([[_text(CAUTION, BODY, bold=True)]], colWidths=[wide], style=frame)
    yield Spacer(1, 4)
    said = [fact for fact in page.facts if fact[0] not in ("When", "Way", "Time")]
    if any(runs_both_ways(text) for _, text in said):
        yield from (_text(text, BODY, before=f"{label}: ") for label, text in said)
    else:
        facts = (f"<b>{label}:</b> {_marked(text, False)}" for label, text in said)
        yield Paragraph("&nbsp;&nbsp; ".join(facts), _style(BODY))
    yield Spacer(1, 4)
    yield picture
    yield CondPageBreak(LEAST_TABLE)
    yield _heading("Step by step")
    yield _steps(page, wide)
    if page.has_before:
        yield _text("Before: marks of earlier attempts, the oldest first.", SMALL)
    for table in page.tables:
        yield _listed(table, wide)
    yield from _ending(page)


def _head(page: AttemptPage, wide: float) -> Table:
    facts = dict(page.facts)
    word = Paragraph(
        _marked(f"{page.sign} {page.verdict_word}", True),
        ParagraphStyle("", fontName="Helvetica-Bold", fontSize=20, leading=24, alignment=1),
    )
    box_wide = 0.27 * wide
    frame: _Commands = [*_FRAMES[page.verdict], ("TOPPADDING", *_WHOLE, 8)]
    frame += [("BOTTOMPADDING", *_WHOLE, 9)]
    verdict = Table([[word]], colWidths=[box_wide], style=frame)
    if page.verdict is Verdict.READY:
        padding = [(f"{side}PADDING", *_WHOLE, 2.4) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
        around: _Commands = [("BOX", *_WHOLE, 1.6, black), *padding]
        verdict = Table([[verdict]], colWidths=[box_wide + 4.8], style=around)
    who = [
        _text(page.who, 16, bold=True),
        Spacer(1, 2),
        _text(page.title, 12, bold=True),
        _text(f"{facts['When']} \u00b7 {facts['Way']} \u00b7 {facts['Time']}", BODY + 1),
    ]
    style: _Commands = [("VALIGN", *_WHOLE, "MIDDLE"), ("LEFTPADDING", (0, 0), (0, 0), 2)]
    return Table([[verdict, who]], colWidths=[box_wide + 14, wide - box_wide - 14], style=style)


def _matters(page: AttemptPage) -> Iterator[Flowable]:
    rows: list[list[object]] = [["", [_text("What matters most", LARGE, bold=True)]]]
    for place, each in enumerate(page.matters, start=1):
        parts = [_text(f"{place}. {each.what}", LARGE, bold=True)]
        parts += [_text(each.why, LARGE)] if each.why else []
        rows.append(["", parts])
    if not page.matters:
        rows.append(["", [_text("Nothing was missed.", LARGE)]])
    if page.good:
        rows.append(["", [_text(page.good, BODY, before="Good: ")]])
    style: _Commands = [
        ("LINEBEFORE", (1, 0), (1, -1), 3, black),
        ("TOPPADDING", *_WHOLE, 1),
        ("BOTTOMPADDING", *_WHOLE, 1.5),
    ]
    yield Table(rows, colWidths=[2, None], style=style)


def _heading(text: str) -> Paragraph:
    style = _style(LARGE, bold=True)
    style.spaceBefore, style.spaceAfter = 7, 2
    return Paragraph(escape(text), style)


def _steps(page: AttemptPage, wide: float) -> Table:
    heads = ["", "step", "mark", "points", "at", "what was heard, when, how sure"]
    shares = [0.04, 0.31, 0.14, 0.08, 0.06, 0.37]
    if page.has_before:
        heads.insert(5, "before")
        shares[5:] = [0.08, 0.29]
    rows: list[list[object]] = [[_text(head, SMALL, bold=True) for head in heads]]
    rows += [_step(row, page.has_before) for row in page.steps]
    widths = [share * wide for share in shares]
    return Table(rows, colWidths=widths, style=_RULED, repeatRows=1)


def _step(row: StepRow, has_before: bool) -> list[object]:
    name = f"{row.name} (safety)" if row.safety else row.name
    first, *rest = row.marks
    cells: list[object] = [
        _text(str(row.number), BODY),
        [
            _text(name, BODY, bold=row.safety),
            *([_text(row.why, SMALL, italic=True)] if row.why else []),
        ],
        [_text(first, BODY, bold=True), *(_text(text, SMALL) for text in rest)],
        _text(row.points, BODY),
        _text(row.at, BODY),
    ]
    if has_before:
        cells.append(_text(row.before, SMALL))
    return [*cells, [_text(text, SMALL) for text in row.evidence or ("nothing",)]]


def _listed(table: ListTable, wide: float) -> Flowable:
    rows: list[list[object]] = [[_text(head, SMALL, bold=True) for head in table.head]]
    rows += [[_text(cell, SMALL + 0.5) for cell in row] for row in table.rows]
    widths = [share * wide for share in table.widths]
    shown = Table(rows, colWidths=widths, style=_RULED, repeatRows=1)
    return KeepTogether([_heading(table.heading), shown])


def _ending(page: AttemptPage) -> Iterator[Flowable]:
    if page.oxygen:
        yield KeepTogether([_heading("Oxygen account"), _text(page.oxygen)])
    kept = [_text(f"\u2022 {text}") for text in (*page.protocol, *page.cautions)]
    yield KeepTogether([_heading("Protocol in force and cautions"), *kept])
    if any(MISSING in drawable(text) for text in _texts(page)):
        yield Spacer(1, 4)
        yield _text(
            f"{drawable(MISSING)}: a letter that this file lacks; the HTML shows it.", SMALL
        )
    yield Spacer(1, 6)
    yield _text("; ".join(page.about), SMALL)


def _texts(page: AttemptPage) -> Iterator[str]:
    yield from (page.who, page.title, page.why, *page.protocol, *page.cautions, *page.about)
    yield from (text for _, text in page.facts)
    for each in page.matters:
        yield from (each.what, each.why)
    for row in page.steps:
        yield from (row.name, row.why, *row.marks, *row.evidence)
    for table in page.tables:
        yield from (cell for cells in table.rows for cell in cells)
