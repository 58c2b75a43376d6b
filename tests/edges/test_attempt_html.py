"""The report as HTML: nothing in it asks for anything or runs, whatever people wrote."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import replace
from html import escape
from html.parser import HTMLParser
from pathlib import Path

import pypdfium2
import pytest
from attempts import BY_HAND, LEARNER, NOT_YET
from hypothesis import given, settings
from hypothesis import strategies as st
from random_attempts import MARKS_BY_HAND, NASTY, RESULTS, TEXTS

from coach.edges.attempt_html import html_report
from coach.edges.attempt_picture import svg_timeline
from coach.report.attempt import Result, Verdict
from coach.report.attempt_page import page_of
from coach.report.by_hand import SetByHand
from coach.report.summary import CAUTION
from coach.report.timeline import timeline_of

TAGS = frozenset(
    "html head meta title style body header div h1 h2 p bdi section ol ul li b span figure table "
    "colgroup col thead tbody tr th td details summary footer svg defs g path use rect clippath "
    "pattern".split()
)
"""Every element that the report is made of: none of them fetches or runs anything."""

ATTRIBUTES = frozenset(
    "lang charset http-equiv content name class dir style role aria-label scope id d x y width "
    "height viewbox version xmlns xmlns:xlink xlink:href transform clip-path type patternunits "
    "fill".split()
)

VOID = frozenset({"meta", "col"})


def report(
    result: Result,
    learner: str = LEARNER,
    earlier: Sequence[Result] = (),
    by_hand: Sequence[SetByHand] = (),
) -> str:
    """The file as text."""
    return html_report(
        page_of(result, learner, earlier, by_hand), svg_timeline(timeline_of(result))
    )


class Parsed(HTMLParser):
    """The elements, attributes and text of a file, as a parser of the language sees them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.styles: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        (self.styles if "style" in self.open else self.words).append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def check_inert(text: str) -> Parsed:
    """Fails for anything that could fetch or run; what was parsed otherwise."""
    parsed = Parsed(text)
    assert set(parsed.tags) <= TAGS
    assert {name for name, _ in parsed.attributes} <= ATTRIBUTES
    for name, value in parsed.attributes:
        if name == "xlink:href":
            assert value.startswith("#")
        if name in ("style", "clip-path", "fill"):
            assert not re.search(r"url\((?!#)", value)
    for style in parsed.styles:
        assert "url(" not in style and "@import" not in style
    return parsed


@given(RESULTS, TEXTS, st.lists(RESULTS, max_size=2), MARKS_BY_HAND)
@settings(max_examples=25)
def test_any_attempt_gives_a_file_that_asks_for_nothing_and_runs_nothing(
    result: Result, learner: str, earlier: list[Result], by_hand: tuple[SetByHand, ...]
) -> None:
    parsed = check_inert(report(result, learner, earlier, by_hand))
    assert CAUTION in parsed.text


@pytest.mark.parametrize("name", [text for text in NASTY if text.isprintable() and text.strip()])
def test_a_name_stands_in_the_report_letter_by_letter(name: str) -> None:
    parsed = check_inert(report(NOT_YET, name))
    assert " ".join(name.split())[:299] in parsed.text


def test_the_verdict_learner_skill_and_reason_come_before_the_rest() -> None:
    text = check_inert(report(NOT_YET, by_hand=BY_HAND)).text
    places = [
        text.index(words, text.index("NOT YET"))
        for words in ("NOT YET", LEARNER, NOT_YET.title, NOT_YET.why, "What matters most", CAUTION)
    ]
    assert places == sorted(places)
    assert places[-1] < text.index("Step by step")


def test_the_same_result_gives_the_same_bytes() -> None:
    assert report(NOT_YET, by_hand=BY_HAND) == report(NOT_YET, by_hand=BY_HAND)
    assert not re.search(r"20\d\d-\d\d-\d\d", svg_timeline(timeline_of(NOT_YET)))


@pytest.mark.parametrize("verdict", Verdict)
def test_each_verdict_has_a_frame_of_its_own(verdict: Verdict) -> None:
    text = report(replace(NOT_YET, verdict=verdict))
    assert f'<body class="{verdict}">' in text
    assert re.search(rf"\.{verdict} \.verdict {{ border: [^;]*;", text)


BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")


needs_browser = pytest.mark.skipif(BROWSER is None, reason="no Chromium here to open it with")


def browsed(file: Path, *words: str) -> str:
    """What Chromium prints of a file."""
    assert BROWSER is not None
    profile = f"--user-data-dir={file.parent / 'profile'}"
    command = [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", profile, *words]
    ran = subprocess.run([*command, file.as_uri()], capture_output=True, check=True, timeout=120)
    return ran.stdout.decode("utf-8")


@needs_browser
def test_a_browser_shows_it_and_nothing_ran(tmp_path: Path) -> None:
    every = " ".join(NASTY[:7])
    steps = tuple(replace(step, name=every, why=every) for step in NOT_YET.steps)
    file = tmp_path / "report.html"
    file.write_text(report(replace(NOT_YET, title=every, steps=steps), every), "utf-8")
    page = browsed(file, "--dump-dom")
    title = re.search(r"<title>(.*?)</title>", page, re.DOTALL)
    assert title is not None and title[1] != "ran"
    assert "What matters most" in page
    assert "<script" not in page and "<img" not in page


@needs_browser
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_a_browser_prints_it_on_two_pages(paper: str, tmp_path: Path) -> None:
    file = tmp_path / "report.html"
    text = report(NOT_YET, earlier=(NOT_YET,) * 3, by_hand=BY_HAND)
    file.write_text(text.replace("@page {", f"@page {{ size: {paper};", 1), "utf-8")
    printed = tmp_path / "report.pdf"
    browsed(file, "--no-pdf-header-footer", f"--print-to-pdf={printed}")
    assert len(pypdfium2.PdfDocument(printed)) == 2


def test_what_was_heard_of_a_step_is_whole_and_all_but_one_line_is_folded() -> None:
    """On paper too: the style of print hides what is folded, open or not."""
    text = report(NOT_YET)
    row = page_of(NOT_YET).steps[3]
    shown, folded = row.evidence[row.weightiest], row.evidence[0]
    assert (
        f'<details><summary><bdi dir="auto">{escape(shown)}</bdi> (1 more)</summary>'
        f'<p dir="auto">{escape(folded)}</p></details>'
    ) in text
    assert "details p { display: none; }" in text.partition("@media print")[2]


@needs_browser
def test_no_word_of_a_table_is_broken_on_a_narrow_screen(tmp_path: Path) -> None:
    """A table is pushed aside on a telephone; its columns keep the room that their words need."""
    file = tmp_path / "report.html"
    measure = (
        "<p id='wide'></p><script>const table = document.querySelector('table'); "
        "document.getElementById('wide').textContent = table.offsetWidth + ' ' + "
        "document.documentElement.scrollWidth + ' ' + window.innerWidth;</script></body>"
    )
    text = report(NOT_YET).replace("</body>", measure)
    file.write_text(re.sub(r"<meta http-equiv[^>]*>", "", text), "utf-8")
    page = browsed(file, "--window-size=380,900", "--dump-dom")
    measured = re.search(r"<p id=.wide.>(\d+) (\d+) (\d+)</p>", page)
    assert measured is not None
    table, whole, screen = map(int, measured.groups())
    assert whole <= screen < table
