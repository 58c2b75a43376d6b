"""The report as PDF, as PDFium reads it: two pages, every text, the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pypdfium2
import pytest
from attempts import BY_HAND, GAUGE, GLOVES, LEARNER, NOT_YET
from hypothesis import given, settings
from hypothesis import strategies as st
from random_attempts import MARKS_BY_HAND, NASTY, RESULTS, TEXTS

from coach.edges import attempt_pdf
from coach.edges.attempt_pdf import pdf_report
from coach.edges.attempt_picture import png_timeline
from coach.edges.pdf_pages import PAPERS
from coach.report.attempt import Result
from coach.report.attempt_page import page_of
from coach.report.by_hand import SetByHand
from coach.report.summary import CAUTION
from coach.report.timeline import timeline_of

MILLIMETRES = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""ANSI/ASME Y14.1 (letter) and ISO 216 (A4)."""

WIDEST = "W" * 300


def report(
    result: Result,
    learner: str = LEARNER,
    earlier: Sequence[Result] = (),
    by_hand: Sequence[SetByHand] = (),
    paper: str = "letter",
) -> bytes:
    """The file."""
    picture, high = png_timeline(timeline_of(result))
    return pdf_report(page_of(result, learner, earlier, by_hand), picture, high, paper)


def pages(content: bytes) -> list[str]:
    """The text of each page, in one line."""
    document = pypdfium2.PdfDocument(content)
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


@pytest.mark.parametrize("paper", PAPERS)
def test_an_attempt_fits_on_two_pages_of_the_paper(paper: str) -> None:
    content = report(NOT_YET, by_hand=BY_HAND, earlier=(NOT_YET,) * 3, paper=paper)
    document = pypdfium2.PdfDocument(content)
    assert len(document) == 2
    for page in document:
        size = tuple(points / 72 * 25.4 for points in page.get_size())
        assert size == pytest.approx(MILLIMETRES[paper], abs=0.2)


def test_thirty_steps_fit_on_two_pages() -> None:
    steps = tuple(replace(GLOVES, step=f"s{place}") for place in range(30))
    result = replace(NOT_YET, steps=steps, numbers=(), timed=(), failures=())
    assert len(pages(report(result))) == 2


def wordy(pieces: int, steps: int) -> Result:
    """So many steps, of each of which so much was heard."""
    heard = tuple(replace(GAUGE.evidence[0], at_s=float(at)) for at in range(pieces))
    known = (*NOT_YET.steps, *NOT_YET.steps)
    found = (replace(step, evidence=heard) for step in (*known, *known)[:steps])
    return replace(NOT_YET, steps=tuple(found))


@pytest.mark.parametrize(("pieces", "steps"), [(4, 14), (9, 18)])
def test_a_wordy_attempt_fits_on_two_pages_with_less_of_what_was_heard(
    pieces: int, steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It shows as much of it as there is room for, and says where the rest is."""
    text = " ".join(two := pages(report(wordy(pieces, steps), by_hand=BY_HAND)))
    assert len(two) == 2
    monkeypatch.setattr(attempt_pdf, "SETTINGS", attempt_pdf.SETTINGS[:1])
    assert len(pages(report(wordy(pieces, steps), by_hand=BY_HAND))) >= 3
    assert "(+" in text or "more in the HTML" in text


def test_the_first_page_says_what_matters_and_every_page_the_caution() -> None:
    first, *others = pages(report(NOT_YET, by_hand=BY_HAND))
    # The line at the foot of the page comes first in the file.
    body = first.replace(CAUTION, "", 1)
    words = ("NOT YET", LEARNER, NOT_YET.title, NOT_YET.why, "What matters most", CAUTION)
    places = [body.index(each) for each in words]
    assert places == sorted(places)
    assert all(CAUTION in page for page in (first, *others))
    assert "Rhea Madeup" in " ".join(others)


def test_the_same_result_gives_the_same_bytes() -> None:
    assert report(NOT_YET) == report(NOT_YET)


@given(RESULTS, TEXTS, st.lists(RESULTS, max_size=2), MARKS_BY_HAND)
@settings(max_examples=20)
def test_any_attempt_gives_a_readable_file(
    result: Result, learner: str, earlier: list[Result], by_hand: tuple[SetByHand, ...]
) -> None:
    content = report(result, learner, earlier, by_hand)
    assert CAUTION in pages(content)[0]
    assert b"/JavaScript" not in content and b"/URI" not in content


def test_the_longest_texts_still_fit_a_row_on_a_page() -> None:
    step = replace(
        GLOVES,
        name=WIDEST,
        why=WIDEST,
        hints=1,
        evidence=tuple(replace(GLOVES.evidence[0], at_s=at, text=WIDEST) for at in (1, 2, 3, 4, 5)),
    )
    hands = tuple(replace(BY_HAND[0], step="gloves", by=WIDEST, because=WIDEST) for _ in range(9))
    result = replace(NOT_YET, steps=(step,) * 3, title=WIDEST, why=WIDEST)
    assert CAUTION in pages(report(result, WIDEST, (result,), hands))[-1]


def test_markup_and_formulas_are_letters() -> None:
    for name in NASTY[:7] + NASTY[14:17]:
        assert name.replace(" ", "") in pages(report(NOT_YET, name))[0].replace(" ", "")


def test_what_no_font_shows_is_told() -> None:
    note = "a letter that this file lacks; the HTML shows it"
    assert note in pages(report(NOT_YET, "\u4e2d\u6587"))[-1]
    assert note not in pages(report(NOT_YET, "\u0391\u03bd\u03b1 \u010d\u0159"))[-1]


def test_greek_and_czech_letters_are_there() -> None:
    assert (
        "\u0391\u03bd\u03b1 \u010d\u0159"
        in pages(report(NOT_YET, "\u0391\u03bd\u03b1 \u010d\u0159"))[0]
    )
