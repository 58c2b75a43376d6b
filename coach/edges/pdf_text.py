"""Texts in a PDF: Helvetica, which every reader has, and DejaVu Sans for the letters it lacks."""

from __future__ import annotations

import re
from functools import cache
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Flowable, Paragraph

from coach.edges.report_letters import drawable, font_file
from coach.edges.shaped_lines import ShapedLines, runs_both_ways

_LACKING = re.compile(r"[^\x20-\x7e\xa0-\xff\u2013\u2014\u2018-\u201d\u2022\u2026]+")
"""Letters that Helvetica lacks."""


@cache
def register_fonts() -> None:
    """Make the wide fonts known to ReportLab; only what is used of them goes into a file."""
    pdfmetrics.registerFont(TTFont("Wide", font_file()))
    pdfmetrics.registerFont(TTFont("Wide-Bold", font_file(bold=True)))


def style_of(size: float, bold: bool = False, italic: bool = False) -> ParagraphStyle:
    """Letters of `size` points."""
    name = "Helvetica-Bold" if bold else "Helvetica-Oblique" if italic else "Helvetica"
    return ParagraphStyle("", fontName=name, fontSize=size, leading=size * 1.2)


def text_of(
    text: str, size: float, bold: bool = False, italic: bool = False, before: str = ""
) -> Flowable:
    """A text of a person or of ours; `before` is a bold label of ours in front of it."""
    if runs_both_ways(text):
        return ShapedLines(f"{before}{text}", size, bold)
    label = f"<b>{marked_up(before, True)}</b>" if before else ""
    return Paragraph(label + marked_up(text, bold), style_of(size, bold, italic))


def marked_up(text: str, bold: bool) -> str:
    """The text as ReportLab reads it: escaped, with the font of the letters that need another."""
    name = "Wide-Bold" if bold else "Wide"
    parts, end = [], 0
    for found in _LACKING.finditer(text):
        wide = escape(drawable(found[0], bold))
        parts += [escape(text[end : found.start()]), f'<font name="{name}">{wide}</font>']
        end = found.end()
    return "".join([*parts, escape(text[end:])])
