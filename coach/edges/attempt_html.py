"""The report of an attempt as one HTML file: it asks for nothing, runs nothing, prints on paper.

The same page gives the same text. Whatever a person said or wrote is escaped, and isolated from the
direction of the text around it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from coach.report.attempt_page import AttemptPage, StepRow
from coach.report.attempt_tables import ListTable
from coach.report.matters import Matter
from coach.report.summary import CAUTION

_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""Content Security Policy (W3C): a browser that reads it fetches nothing and runs nothing."""

_STYLE = """
@page { margin: 11mm; }
* { box-sizing: border-box; }
body { font: 10.5pt/1.3 Helvetica, Arial, "DejaVu Sans", sans-serif; color: #000;
  background: #fff; max-width: 190mm; margin: 4mm auto; padding: 0 2mm;
  overflow-wrap: anywhere; }
h1, h2, p, ul, ol { margin: 0; }
header { display: grid; grid-template-columns: auto 1fr; gap: 0 5mm; align-items: center; }
.verdict { font-size: 21pt; font-weight: bold; line-height: 1.1; text-align: center;
  padding: 3mm 5mm; white-space: nowrap; }
.ready .verdict { border: 1.6mm double #000; }
.not-yet .verdict { border: 1.6mm solid #000; }
.unclear .verdict { border: 1.2mm dashed #000; }
h1 { font-size: 16pt; line-height: 1.15; }
.title { font-size: 12.5pt; font-weight: bold; }
.when { font-size: 10.5pt; }
.why { font-size: 11.5pt; margin: 2.5mm 0 0; }
h2 { font-size: 11.5pt; margin: 4mm 0 1mm; break-after: avoid; }
.matters { border-left: 1.2mm solid #000; padding-left: 3mm; margin-top: 3mm; }
.matters h2 { margin-top: 0; }
.matters ol { padding-left: 5mm; }
.matters li { font-size: 11.5pt; margin-bottom: 0.5mm; }
.matters li b { font-weight: bold; }
.good { margin-top: 1.5mm; }
.caution { border: 0.4mm solid #000; padding: 1mm 2mm; margin-top: 3mm; font-weight: bold;
  font-size: 9.5pt; }
.facts { margin-top: 2mm; font-size: 9.5pt; }
.facts span { margin-right: 4mm; display: inline-block; max-width: 100%; }
.picture { margin-top: 3mm; break-inside: avoid; }
.picture svg { display: block; width: 100%; height: auto; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; font-size: 9pt;
  line-height: 1.22; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: start; vertical-align: top; padding: 0.7mm 1.5mm 0.7mm 0;
  border-bottom: 0.2mm solid #888; }
th { border-bottom: 0.4mm solid #000; font-size: 8.5pt; }
td.number, th.number { text-align: right; }
.safety { font-weight: bold; }
.mark { font-weight: bold; }
.small, .evidence p, .evidence summary, .step-why { font-size: 8.5pt; }
.evidence summary { cursor: pointer; }
.step-why { font-style: italic; }
.before { letter-spacing: 0.05em; }
section { break-inside: auto; }
.wide { overflow-x: auto; }
@media screen and (max-width: 170mm) {
  header { grid-template-columns: auto; }
  .wide table { min-width: 165mm; }
}
.keep { font-size: 9.5pt; padding-left: 5mm; }
footer { margin-top: 4mm; border-top: 0.2mm solid #888; font-size: 8pt; }
@media print {
  body { max-width: none; margin: 0; padding: 0; font-size: 9.5pt; }
  table { font-size: 8pt; line-height: 1.15; }
  th, td { padding: 0.45mm 1.2mm 0.45mm 0; }
  th, .small, .evidence p, .evidence summary, .step-why { font-size: 7.5pt; }
  .evidence summary { list-style: none; }
  .evidence details p { display: none; }
  h2 { margin: 3mm 0 0.7mm; }
  .facts, .caution, .keep { font-size: 8.5pt; }
  .list { break-inside: avoid; }
}
"""


def html_report(page: AttemptPage, picture: str) -> str:
    """The page as text; `picture` is its timeline as an `<svg>` element, put in as it is."""
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en"><head><meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(f'{page.who}: {page.title}, {page.verdict_word.lower()}')}</title>",
            f"<style>{_STYLE}</style></head>",
            f'<body class="{escape(page.verdict.value)}">',
            *_head(page),
            *_matters(page.matters, page.good),
            f'<p class="caution">{escape(CAUTION)}</p>',
            *_facts(page),
            f'<figure class="picture" style="margin-inline:0" role="img" '
            f'aria-label="{escape(page.picture_words)}">{picture}</figure>',
            *_steps(page),
            *(line for table in page.tables for line in _table(table)),
            *_ending(page),
            "</body></html>",
            "",
        ]
    )


def _own(text: str, tag: str = "bdi", kind: str = "") -> str:
    """A text with a direction of its own: an Arabic name does not turn what follows it."""
    named = f' class="{kind}"' if kind else ""
    return f'<{tag}{named} dir="auto">{escape(text)}</{tag}>'


def _head(page: AttemptPage) -> Iterator[str]:
    facts = dict(page.facts)
    yield (
        f'<header><div class="verdict">{escape(page.sign)} {escape(page.verdict_word)}</div>'
        f"<div><h1>{_own(page.who)}</h1>"
        f'<p class="title">{_own(page.title)}</p>'
        f'<p class="when">{_own(facts["When"])} \u00b7 {_own(facts["Way"])} \u00b7 '
        f"{_own(facts['Time'])}</p></div></header>"
    )
    if page.why:
        yield f'<p class="why">{_own(page.why)}</p>'


def _matters(matters: tuple[Matter, ...], good: str) -> Iterator[str]:
    yield '<section class="matters"><h2>What matters most</h2>'
    if matters:
        yield "<ol>"
        for each in matters:
            why = f" {_own(each.why)}" if each.why else ""
            yield f"<li><b>{_own(each.what)}</b>{why}</li>"
        yield "</ol>"
    else:
        yield "<p>Nothing was missed.</p>"
    if good:
        yield f'<p class="good"><b>Good:</b> {_own(good)}</p>'
    yield "</section>"


def _facts(page: AttemptPage) -> Iterator[str]:
    shown = [fact for fact in page.facts if fact[0] not in ("When", "Way", "Time")]
    spans = "".join(f"<span><b>{escape(label)}:</b> {_own(text)}</span>" for label, text in shown)
    yield f'<p class="facts">{spans}</p>'


def _steps(page: AttemptPage) -> Iterator[str]:
    widths = [4, 30, 13, 8, 6, 39]
    heads = ["", "step", "mark", "points", "at", "what was heard, when, how sure"]
    if page.has_before:
        widths[5:] = [9, 30]
        heads.insert(5, "before")
    yield "<section><h2>Step by step</h2>"
    yield from _opening(heads, [width / 100 for width in widths])
    for row in page.steps:
        yield _step(row, page.has_before)
    yield "</tbody></table></div>"
    if page.has_before:
        yield '<p class="small">Before: marks of earlier attempts, the oldest first.</p>'
    yield "</section>"


def _step(row: StepRow, has_before: bool) -> str:
    name = _own(row.name, "span", "safety" if row.safety else "")
    safety = ' <span class="small">(safety)</span>' if row.safety else ""
    why = _own(row.why, "p", "step-why") if row.why else ""
    first, *rest = row.marks
    marks = f'<span class="mark">{escape(first)}</span>'
    marks += "".join(_own(text, "p", "small") for text in rest)
    cells = [
        f'<td class="number">{row.number}</td>',
        f"<td>{name}{safety}{why}</td>",
        f"<td>{marks}</td>",
        f"<td>{escape(row.points)}</td>",
        f"<td>{escape(row.at)}</td>",
    ]
    if has_before:
        cells.append(f'<td class="before">{escape(row.before)}</td>')
    cells.append(f'<td class="evidence">{_evidence(row)}</td>')
    return f"<tr>{''.join(cells)}</tr>"


def _evidence(row: StepRow) -> str:
    """What was heard that says most; the rest is folded up, and stays so on paper."""
    if not row.evidence:
        return "<p>nothing</p>"
    shown = row.evidence[row.weightiest]
    rest = [text for place, text in enumerate(row.evidence) if place != row.weightiest]
    if not rest:
        return _own(shown, "p")
    folded = "".join(_own(text, "p") for text in rest)
    return f"<details><summary>{_own(shown)} ({len(rest)} more)</summary>{folded}</details>"


def _table(table: ListTable) -> Iterator[str]:
    yield f'<section class="list"><h2>{escape(table.heading)}</h2>'
    yield from _opening(table.head, table.widths)
    for row in table.rows:
        yield f"<tr>{''.join(_own(cell, 'td') for cell in row)}</tr>"
    yield "</tbody></table></div></section>"


def _opening(heads: Iterable[str], widths: Iterable[float]) -> Iterator[str]:
    columns = "".join(f'<col style="width:{100 * width:g}%">' for width in widths)
    cells = "".join(f'<th scope="col">{escape(head)}</th>' for head in heads)
    yield '<div class="wide"><table>'
    yield f"<colgroup>{columns}</colgroup><thead><tr>{cells}</tr></thead><tbody>"


def _ending(page: AttemptPage) -> Iterator[str]:
    if page.oxygen:
        yield f"<section><h2>Oxygen account</h2>{_own(page.oxygen, 'p')}</section>"
    yield '<section class="list"><h2>Protocol in force and cautions</h2><ul class="keep">'
    yield from (_own(text, "li") for text in (*page.protocol, *page.cautions))
    yield f"<li>{escape(CAUTION)}</li></ul></section>"
    yield f"<footer>{_own('; '.join(page.about))}</footer>"
