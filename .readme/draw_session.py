"""Draws a session as a picture, from the captions of a run on standard input.

    coach practice … --spoken | python .readme/draw_session.py 8 18 26

writes `session.svg` beside this file: the first 8 lines and those from 18 up to 26.
"""

from __future__ import annotations

import sys
import textwrap
from html import escape
from pathlib import Path

WIDTH, MARGIN, LINE, PAD = 860, 24, 21, 11
COACH, LEARNER = "#e7f0ea", "#f3ede1"


def main() -> None:
    """Read captions, write the picture."""
    turns = [line.strip() for line in sys.stdin if line.startswith(("Coach: ", "You:"))]
    first, start, end = (int(word) for word in sys.argv[1:4])
    parts: list[str] = []
    top = MARGIN
    for turn in [*turns[:first], "Coach: …", *turns[start:end]]:
        speaker, text = turn.split(":", 1)
        coach = speaker == "Coach"
        rows = textwrap.wrap(text.strip(), 66)
        width = max(len(row) for row in rows) * 8.3 + 2 * PAD
        height = len(rows) * LINE + PAD
        left = MARGIN if coach else WIDTH - MARGIN - width
        fill = COACH if coach else LEARNER
        parts.append(
            f'<rect x="{left:.0f}" y="{top}" width="{width:.0f}" height="{height}" rx="8" '
            f'fill="{fill}"/>'
        )
        for number, row in enumerate(rows):
            baseline = top + PAD / 2 + LINE * (number + 0.72)
            parts.append(f'<text x="{left + PAD:.0f}" y="{baseline:.0f}">{escape(row)}</text>')
        top += height + 9
    picture = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{top + MARGIN}" '
        f'font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="13.5" '
        f'fill="#1d2a24"><title>The coach on the left, the learner on the right</title>'
        f'<rect width="100%" height="100%" fill="#ffffff"/>{"".join(parts)}</svg>\n'
    )
    (Path(__file__).parent / "session.svg").write_text(picture, encoding="utf-8")


if __name__ == "__main__":
    main()
