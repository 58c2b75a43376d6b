"""The steps of an attempt as CSV: every row is whole, nothing in it is a formula."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO

from attempts import BY_HAND, GLOVES, NOT_YET
from hypothesis import given, settings
from random_attempts import MARKS_BY_HAND, NASTY, RESULTS

from coach.report.attempt import Result, Tells
from coach.report.attempt_csv import COLUMNS, csv_bytes
from coach.report.by_hand import SetByHand
from coach.report.cells import plain_cell


def rows(content: bytes) -> list[dict[str, str]]:
    """As another program reads it."""
    return list(csv.DictReader(StringIO(content.decode("utf-8-sig"), newline=""), strict=True))


def test_one_row_a_step_with_its_marks_and_evidence() -> None:
    read = rows(csv_bytes(NOT_YET, BY_HAND))
    assert [row["step"] for row in read] == [step.step for step in NOT_YET.steps]
    assert tuple(read[0]) == COLUMNS
    row = read[7]
    assert (row["mark"], row["points"], row["out_of"], row["at_s"]) == ("unclear", "0", "2", "")
    assert row["evidence"] == "148 s perhaps 0.62: the calendar is good"
    assert row["marks_by_hand"].startswith("done by Rhea Madeup at 2026-05-04T15:10:00+02:00: ")


def test_the_words_in_doubt_stand_with_their_evidence() -> None:
    doubted = replace(GLOVES.evidence[0], tells=Tells.PERHAPS, doubted="half on")
    result = replace(NOT_YET, steps=(replace(GLOVES, evidence=(doubted,)),))
    assert rows(csv_bytes(result, ()))[0]["evidence"].endswith("(in doubt for half on)")


@given(RESULTS, MARKS_BY_HAND)
@settings(max_examples=100)
def test_no_cell_is_a_formula_and_no_row_breaks(
    result: Result, by_hand: tuple[SetByHand, ...]
) -> None:
    content = csv_bytes(result, by_hand)
    assert content == csv_bytes(result, by_hand)
    read = rows(content)
    assert len(read) == len(result.steps)
    for row, step in zip(read, result.steps, strict=True):
        assert None not in row.values()
        for cell in row.values():
            # OWASP, "CSV Injection": a cell may begin with none of these.
            signs = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
            assert not cell.lstrip(" ").startswith((*signs, "\t", "\r"))
        assert plain_cell(row["name"]) == step.name.replace("\0", "\ufffd")


def test_what_looks_like_a_formula_stays_readable() -> None:
    for text in (text for text in NASTY if text.lstrip()[:1] in ("=", "+", "-", "@")):
        [row] = rows(csv_bytes(replace(NOT_YET, steps=(replace(GLOVES, name=text),))))
        assert row["name"].lstrip("'") == text.replace("\0", "\ufffd") or text.startswith("-->")
        assert row["name"].startswith("'")


def test_a_wide_sign_is_no_formula_either() -> None:
    """Some spreadsheets run them as the narrow ones (OWASP, "CSV Injection")."""
    [row] = rows(csv_bytes(replace(NOT_YET, steps=(replace(GLOVES, name="\uff1d1+1"),))))
    assert row["name"] == "'\uff1d1+1"
