"""The class table as one HTML page, which needs nothing else and prints in black and white."""

from __future__ import annotations

from html import escape

from coach.records.class_table import Cell, ClassTable
from coach.records.class_words import (
    AFTER_NOW,
    MEANINGS,
    NAMES,
    after_now_lines,
    agreement_words,
    cell_words,
    pair_lines,
    skill_words,
    steps_lines,
)
from coach.rehearsal.outlook import Standing
from coach.report.summary import CAUTION

_STYLE = """
@page { size: landscape; margin: 10mm; }
body { font: 10pt/1.3 Helvetica, Arial, sans-serif; color: #000; margin: 4mm; }
h1 { font-size: 1.5em; margin: 0 0 1mm; }
h2 { font-size: 1.1em; margin: 5mm 0 1mm; break-after: avoid; }
table { border-collapse: collapse; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { border: 0.2mm solid #777; padding: 0.3mm 0.8mm; text-align: center; vertical-align: top; }
th.who { text-align: left; min-width: 26mm; max-width: 60mm; overflow-wrap: anywhere; }
th.skill { max-width: 24mm; overflow-wrap: anywhere; font-size: 0.8em; }
td small { display: block; font-size: 0.68em; font-weight: normal; }
td.sum { font-size: 0.7em; }
.many td .word { display: none; }
td.ready { border: 0.7mm solid #000; font-weight: bold; }
td.fading { border: 0.7mm dashed #000; }
td.never { color: #555; }
.caution { border: 0.5mm solid #000; padding: 1mm 2mm; font-weight: bold; }
li { overflow-wrap: anywhere; }
"""

MANY_SKILLS = 10
"""With more columns the words beside the signs go, or the table would not fit the paper."""

SIGNS = {Standing.READY: "●", Standing.FADING: "◐", Standing.NOT_YET: "○", Standing.NEVER: "–"}  # noqa: RUF001 - a dash is meant
"""Full, half, empty: told apart without colours."""


def class_page(table: ClassTable) -> str:
    """The page as text; every name and text in it is escaped."""
    heads = "".join(f'<th class="skill">{escape(skill)}</th>' for skill in table.skills)
    counts = "".join(
        f'<td class="sum">{escape(skill_words(table, skill))}</td>' for skill in table.skills
    )
    signs = ", ".join(f"{SIGNS[state]} {NAMES[state]}" for state in Standing)
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en"><head><meta charset="utf-8"><title>Class</title>',
            f"<style>{_STYLE}</style></head>",
            '<body class="many">' if len(table.skills) > MANY_SKILLS else "<body>",
            f"<h1>A class of {len(table.people)}, {escape(table.made[:10])}</h1>",
            f'<p class="caution">{escape(CAUTION)}</p>',
            f"<p>{escape(signs)}. {escape(MEANINGS)} Beneath stand the day, the way and the share "
            "of points of the attempt that speaks for it.</p>",
            f'<table><thead><tr><th class="who">Learner</th>{heads}</tr></thead><tbody>',
            *(_row(table, person.id, person.called) for person in table.people),
            f'<tr><th class="who">Of all</th>{counts}</tr>',
            "</tbody></table>",
            _list(AFTER_NOW, after_now_lines(table, _by_itself)),
            _list("Missed most, in each learner's last attempt alone", steps_lines(table)),
            _list("Who could practise with whom", pair_lines(table, _by_itself)),
            f"<h2>Coach and people</h2><p>{escape(agreement_words(table))}</p>",
            "</body></html>",
            "",
        ]
    )


def _by_itself(name: str) -> str:
    """The name between the marks that keep its direction from turning what stands beside it
    (Unicode Standard Annex 9, first strong isolate)."""
    return f"\u2068{name}\u2069"


def _row(table: ClassTable, learner: str, called: str) -> str:
    cells = "".join(_cell(table.cells[learner, skill]) for skill in table.skills)
    # A name written from right to left must not turn what stands beside it.
    return f'<tr><th class="who"><bdi>{escape(called)}</bdi></th>{cells}</tr>'


def _cell(cell: Cell) -> str:
    day, _, rest = cell_words(cell).partition(", ")
    parts = [part.replace(",", "") for part in (day, rest) if part]
    told = "".join(f"<small>{escape(part)}</small>" for part in parts)
    sign, word = SIGNS[cell.state], NAMES[cell.state]
    return f'<td class="{cell.state.value}">{sign} <span class="word">{word}</span>{told}</td>'


def _list(title: str, lines: list[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<h2>{escape(title)}</h2><ol>{items}</ol>"
