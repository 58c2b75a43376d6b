"""Which letters the fonts that come with matplotlib (DejaVu Sans) can show, and how wide they are.

Only these fonts are used, by their files: what the machine has installed would change the bytes.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import matplotlib
from matplotlib.font_manager import FontProperties, get_font
from matplotlib.textpath import text_to_path

MISSING = "\u25a1"
"""Shown for a letter that the font lacks."""


def font_file(bold: bool = False) -> Path:
    """The file of the font."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name


@cache
def font(bold: bool = False) -> FontProperties:
    """The font as matplotlib takes it."""
    return FontProperties(fname=font_file(bold))


@cache
def _letters(bold: bool) -> frozenset[int]:
    return frozenset(get_font(font_file(bold)).get_charmap())


def drawable(text: str, bold: bool = False) -> str:
    """The text with MISSING for every letter that the font lacks."""
    known = _letters(bold)
    return "".join(letter if ord(letter) in known else MISSING for letter in text)


def width(text: str, size: float, bold: bool = False) -> float:
    """How wide a drawable text is, in the unit of `size`."""
    if not text:
        return 0.0
    unscaled, _, _ = text_to_path.get_text_width_height_descent(text, font(bold), ismath=False)
    return float(unscaled) * size / font(bold).get_size_in_points()


def cut_to(text: str, wide: float, size: float, bold: bool = False) -> str:
    """The drawable text, cut with an ellipsis so that it is at most `wide`."""
    if width(text, size, bold) <= wide:
        return text
    while text and width(f"{text}\u2026", size, bold) > wide:
        text = text[:-1].rstrip()
    return f"{text}\u2026"
