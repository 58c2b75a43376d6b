"""The pages of a PDF: paper and margins, the same for all that is printed."""

from __future__ import annotations

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm

PAPERS = {"letter": LETTER, "a4": A4}
"""Paper by name: width and height in points."""

MARGIN = 12 * mm

FRAME_PADDING = 6.0
"""Points that ReportLab keeps free at each side of a page's frame."""
