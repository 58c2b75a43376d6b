"""A guide as one HTML page, which needs nothing else and prints on one sheet."""

from __future__ import annotations

from html import escape
from math import ceil

from coach.procedure.sheet import CAUTION, HOW_TO_READ, Sheet, SheetStep, told_of

_STYLE = """
@page { margin: 12mm; }
body { font: 10pt/1.3 Helvetica, Arial, sans-serif; color: #000; max-width: 190mm; margin: 0 auto; }
h1 { font-size: 1.8em; margin: 0 0 1mm; }
.chosen, .read { color: #333; margin: 0 0 0.4em; font-size: 0.9em; }
.weaker { font-weight: bold; margin: 0 0 0.4em; font-size: 0.9em; }
.caution { border: 0.6mm solid #000; padding: 0.4em 0.7em; margin: 0.5em 0; font-weight: bold; }
.table { margin: 0.5em 0; }
ol { list-style: none; margin: 0; padding: 0; border-top: 0.3mm solid #000; }
li.step { display: grid; grid-template-columns: 2em 2.6em 1fr 27%; border-bottom: 0.2mm solid #999;
  padding: 0.25em 0; break-inside: avoid; }
.box { width: 1.1em; height: 1.1em; border: 0.3mm solid #000; }
.number { font-weight: bold; text-align: right; padding-right: 0.7em; }
.say { font-weight: bold; }
.how { font-size: 0.94em; }
.why, .if { font-size: 0.88em; font-style: italic; color: #333; }
.told { font-size: 0.88em; padding-left: 1em; }
.told p, .how, .why, .say, .if { margin: 0; }
.first { font-weight: bold; }
ul.keep { margin: 0.5em 0 0; padding-left: 1.4em; font-size: 0.85em; }
.cut { display: none; }
@media print {
  .cut { display: block; }
  body { font-size: SIZEpt; line-height: 1.18; max-width: none; }
  .long .why { display: none; }
}
"""

NOT_PRINTED = "In print there was no room for why a step is done: it stands on the screen."

_SIZES = (9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
"""Points of the printed text; a browser cannot be asked what fits, so it is reckoned."""

_LEAST_WITH_REASONS = 7.5
"""Points below which the reasons make room for larger letters."""

_PAGE_LINES = 70
"""Lines of nine points on a letter page between the margins and a browser's own head and foot."""

_LETTERS = {"page": 118, "act": 78, "told": 36}
"""Letters of nine points on a line of the whole page, of what to do, and of what is told beside."""


def _print_look(sheet: Sheet) -> tuple[float, bool]:
    """The points of the printed text, and whether it is so long that the reasons are left out."""
    for reasons, least in ((True, _LEAST_WITH_REASONS), (False, _SIZES[-1])):
        for size in (size for size in _SIZES if size >= least):
            if _lines(sheet, size, reasons) * size <= _PAGE_LINES * _SIZES[0]:
                return size, not reasons
    return _SIZES[-1], True


def _lines(sheet: Sheet, size: float, reasons: bool) -> float:
    """Lines that the page takes, the space between its parts among them."""

    def needed(text: str, width: str) -> int:
        return ceil(len(text) / (_LETTERS[width] * _SIZES[0] / size))

    kept = [*sheet.happens, *sheet.cautions, *(c for step in sheet.steps for c in step.cautions)]
    kept += [sheet.program, *sheet.weaker]
    whole = ["; ".join(sheet.table), CAUTION, HOW_TO_READ, "; ".join(sheet.chosen), *kept]
    total = 5.0 + sum(needed(text, "page") for text in whole)
    for step in sheet.steps:
        act = [step.only_if, step.say, step.how, *([step.why] if reasons else [])]
        left = sum(needed(text, "act") for text in act)
        right = sum(needed(text, "told") for text in told_of(step))
        total += max(left, right) + 0.6
    return total


def html_page(sheet: Sheet) -> str:
    """The page as text; everything that was written in the skill file is escaped."""
    size, is_long = _print_look(sheet)
    chosen = "; ".join(sheet.chosen)
    program = (
        f'<p class="chosen">Rules in force: {escape(sheet.program)}</p>' if sheet.program else ""
    )
    weaker = [f'<p class="weaker">{escape(text)}</p>' for text in sheet.weaker]
    keep = [*sheet.cautions, *(c for step in sheet.steps for c in step.cautions)]
    happens = [f"It may happen: {text}" for text in sheet.happens]
    return "\n".join(
        [
            "<!DOCTYPE html>",
            f'<html lang="en"><head><meta charset="utf-8"><title>{escape(sheet.title)}</title>',
            f"<style>{_STYLE.replace('SIZE', f'{size:g}')}</style></head>",
            f"<body{' class=long' if is_long else ''}>",
            f"<h1>{escape(sheet.title)}</h1>",
            f'<p class="chosen">{escape(chosen)}</p>' if chosen else "",
            program,
            *weaker,
            f'<p class="caution">{escape(CAUTION)}</p>',
            f'<p class="table"><b>Lay out:</b> {escape("; ".join(sheet.table))}. '
            f"About {sheet.minutes} min.</p>",
            f'<p class="read">{escape(HOW_TO_READ)}</p>',
            f'<p class="read cut">{escape(NOT_PRINTED)}</p>' if is_long else "",
            "<ol>",
            *(_step(step) for step in sheet.steps),
            "</ol>",
            '<ul class="keep">',
            *(f"<li>{escape(text)}</li>" for text in dict.fromkeys([*happens, *keep])),
            "</ul></body></html>",
            "",
        ]
    )


def _step(step: SheetStep) -> str:
    only_if = f'<p class="if">If: {escape(step.only_if)}</p>' if step.only_if else ""
    told = "".join(
        f"<p{' class=first' if number == 0 and step.only_after else ''}>{escape(text)}</p>"
        for number, text in enumerate(told_of(step))
    )
    return (
        f'<li class="step"><div class="box"></div><div class="number">{step.number}</div>'
        f'<div>{only_if}<p class="say">{escape(step.say)}</p><p class="how">{escape(step.how)}</p>'
        f'<p class="why">{escape(step.why)}</p></div><div class="told">{told}</div></li>'
    )
