"""A guide as a PDF of one page, by ReportLab: the same bytes for the same guide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from xml.sax.saxutils import escape

from reportlab.lib.colors import black, grey
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, SimpleDocTemplate, Spacer, Table

from coach.core.errors import InputError
from coach.edges.pdf_pages import FRAME_PADDING, MARGIN, PAPERS
from coach.procedure.sheet import CAUTION, HOW_TO_READ, Sheet, SheetStep, told_of

_SIZES = (9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
"""Points of the running text, the largest that fits; below seven nobody reads at arm's length."""

NO_ROOM = "There was no room for {what} of the steps: the HTML page has both."
"""Said on the page, so that nobody takes it for all there is."""

_LEAST = 6.0
"""Taken when nothing but what to do is left on the page."""


def pdf_page(sheet: Sheet, paper: str) -> bytes:
    """The page; as large as fits, and if nothing fits without the reasons, then without how.

    InputError for letters that the fonts of every reader lack, and for what fits on no page.
    """
    _check_letters(sheet)
    for details in (("how", "why"), ("how",), ()):
        for size in (*_SIZES, *((_LEAST,) if not details else ())):
            content, pages = _built(sheet, PAPERS[paper], _Look(size, details))
            if pages == 1:
                return content
    raise InputError(
        f"{sheet.title} has {len(sheet.steps)} steps, which fit on no page: choose fewer by --set, "
        "or print the HTML."
    )


@dataclass(frozen=True, slots=True)
class _Look:
    """How large the text is (points), and which texts of a step stand beside what to do."""

    size: float
    details: tuple[str, ...]

    def style(
        self, factor: float = 1.0, bold: bool = False, italic: bool = False
    ) -> ParagraphStyle:
        font = {(False, False): "Helvetica", (True, False): "Helvetica-Bold"}.get(
            (bold, italic), "Helvetica-Oblique"
        )
        points = self.size * factor
        return ParagraphStyle("", fontName=font, fontSize=points, leading=points * 1.18)


def _check_letters(sheet: Sheet) -> None:
    for text in _texts(sheet):
        for letter in text:
            try:
                letter.encode("cp1252")
            except UnicodeEncodeError:
                raise InputError(
                    f"A PDF without fonts of its own cannot show '{letter}' in \"{text[:40]}\": "
                    "print the HTML from a browser."
                ) from None


def _texts(sheet: Sheet) -> Iterator[str]:
    yield from (
        sheet.title,
        sheet.program,
        *sheet.weaker,
        *sheet.chosen,
        *sheet.table,
        *sheet.cautions,
    )
    yield from sheet.happens
    for step in sheet.steps:
        yield from (step.say, step.how, step.why, step.only_if, *step.cautions, *told_of(step))


def _built(sheet: Sheet, paper: tuple[float, float], look: _Look) -> tuple[bytes, int]:
    """The document and how many pages it has."""
    file = BytesIO()
    document = SimpleDocTemplate(
        file,
        pagesize=paper,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN,
        title=sheet.title,
        author="hands-free skill coach",
        subject=CAUTION,
        invariant=1,
    )
    document.build(list(_story(sheet, document.width - 2 * FRAME_PADDING, look)))
    return file.getvalue(), document.page


def _story(sheet: Sheet, width: float, look: _Look) -> Iterator[Flowable]:
    yield Paragraph(escape(sheet.title), look.style(1.9, bold=True))
    yield Spacer(1, 0.8 * look.size)
    if sheet.chosen:
        yield Paragraph(escape("; ".join(sheet.chosen)), look.style(0.9))
    if sheet.program:
        yield Paragraph(escape(f"Rules in force: {sheet.program}"), look.style(0.9))
    for text in sheet.weaker:
        yield Paragraph(escape(text), look.style(0.9, bold=True))
    yield Spacer(1, 0.5 * look.size)
    yield _boxed(Paragraph(escape(CAUTION), look.style(bold=True)), width)
    yield Spacer(1, 0.5 * look.size)
    lay_out = f"<b>Lay out:</b> {escape('; '.join(sheet.table))}. About {sheet.minutes} min."
    yield Paragraph(lay_out, look.style(0.95))
    left_out = " and ".join(text for text in ("how", "why") if text not in look.details)
    note = f" {NO_ROOM.format(what=left_out)}" if left_out else ""
    yield Paragraph(escape(f"{HOW_TO_READ}{note}"), look.style(0.9, italic=True))
    yield Spacer(1, 0.5 * look.size)
    yield _steps(sheet.steps, width, look)
    yield Spacer(1, 0.5 * look.size)
    kept = [*sheet.cautions, *(text for step in sheet.steps for text in step.cautions)]
    happens = [f"It may happen: {text}" for text in sheet.happens]
    style = look.style(0.85)
    style.bulletFontSize = style.fontSize
    style.leftIndent = style.fontSize
    for text in dict.fromkeys([*happens, *kept]):
        yield Paragraph(escape(text), style, bulletText="\u2022")


def _boxed(content: Flowable, width: float) -> Table:
    return Table([[content]], colWidths=[width], style=[("BOX", (0, 0), (-1, -1), 1.4, black)])


def _steps(steps: tuple[SheetStep, ...], width: float, look: _Look) -> Table:
    box, number, told = 1.6 * look.size, 2.6 * look.size, 0.3 * width
    rows = [
        [_tick(look), _number(step, look), _act(step, look), _told(step, look)] for step in steps
    ]
    pad = 0.22 * look.size
    return Table(
        rows,
        colWidths=[box, number, width - box - number - told, told],
        style=[
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LINEABOVE", (0, 0), (-1, 0), 0.8, black),
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, grey),
            ("TOPPADDING", (0, 0), (-1, -1), pad),
            ("BOTTOMPADDING", (0, 0), (-1, -1), pad * 1.6),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0.6 * look.size),
            ("RIGHTPADDING", (0, 0), (0, -1), 0),
        ],
    )


def _tick(look: _Look) -> Table:
    side = look.size * 1.05
    return Table(
        [[""]], colWidths=[side], rowHeights=[side], style=[("BOX", (0, 0), (-1, -1), 0.7, black)]
    )


def _number(step: SheetStep, look: _Look) -> Paragraph:
    style = look.style(bold=True)
    style.alignment = TA_RIGHT
    return Paragraph(str(step.number), style)


def _act(step: SheetStep, look: _Look) -> list[Paragraph]:
    parts = []
    if step.only_if:
        parts.append(Paragraph(escape(f"If: {step.only_if}"), look.style(0.88, italic=True)))
    parts.append(Paragraph(escape(step.say), look.style(bold=True)))
    if "how" in look.details:
        parts.append(Paragraph(escape(step.how), look.style(0.94)))
    if "why" in look.details:
        parts.append(Paragraph(escape(step.why), look.style(0.88, italic=True)))
    return parts


def _told(step: SheetStep, look: _Look) -> list[Paragraph]:
    bold = 1 if step.only_after else 0
    return [
        Paragraph(escape(text), look.style(0.88, bold=number < bold))
        for number, text in enumerate(told_of(step))
    ]
