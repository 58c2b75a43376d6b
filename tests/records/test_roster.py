"""A class as a table: what is read, what is refused by line, and nothing that runs as a formula."""

from __future__ import annotations

import csv
import io
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.errors import InputError
from coach.records.register import register_of
from coach.records.register_lines import CertificateHeld, LearnerAdded, RegisterRecord
from coach.records.roster import (
    UNNAMED,
    Roster,
    roster_csv,
    roster_from,
    roster_text,
    table_csv,
)
from coach.records.roster_taken import taken_from
from coach.report.cells import plain_cell, safe_cell

AT = "2026-03-04T21:40:03+01:00"

CLASS = """\
Name,Note,Certificate,Valid until,Skills,E-mail
Ana Müller,,CPR card,2027-03-31,cpr automated-defibrillator,ana@example.org
Ana Müller,,Licence,2028-01-01,,
بن علي,,,,,
"Doe, Jo",evening,,,,
Doe Jo,,,,,
"""


SKILLS = ("automated-defibrillator", "cpr", "oral-airway", "suction")


def read(text: str) -> Roster:
    return roster_from("class.csv", text)


def taken(roster: Roster, *before: RegisterRecord) -> tuple[RegisterRecord, ...]:
    numbers = count(1)
    return taken_from(
        "class.csv", roster, register_of(before), AT, lambda: f"{next(numbers):032x}", SKILLS
    ).records


def test_a_class_is_read_with_its_certificates() -> None:
    roster = read(CLASS)
    assert [row.name for row in roster.rows] == [
        "Ana Müller",
        "Ana Müller",
        "بن علي",
        "Doe, Jo",
        "Doe Jo",
    ]
    assert roster.other_columns == ("e-mail",)
    register = register_of(taken(roster))
    assert [one.called for one in register.learners.values()] == [
        "Ana Müller",
        "بن علي",
        "Doe, Jo (evening)",
        "Doe Jo",
    ]
    assert {(one.name, one.valid_until, one.skills) for one in register.certificates.values()} == {
        ("CPR card", "2027-03-31", ("cpr", "automated-defibrillator")),
        ("Licence", "2028-01-01", ()),
    }


def test_taken_twice_it_adds_nothing_and_what_is_written_reads_back() -> None:
    first = taken(read(CLASS))
    assert taken(read(CLASS), *first) == ()
    written = roster_csv(register_of(first))
    assert taken(read(written), *first) == ()
    assert register_of(taken(read(written))).learners.keys() == {f"{n:032x}" for n in range(1, 5)}


def test_a_certificate_with_another_day_is_told_anew() -> None:
    first = taken(read(CLASS))
    (new,) = taken(read(CLASS.replace("2028-01-01", "2030-01-01")), *first)
    assert isinstance(new, CertificateHeld) and new.valid_until == "2030-01-01"


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_other_signs_between_cells_are_taken(delimiter: str) -> None:
    assert read(f"name{delimiter}note\nAna{delimiter}one\n").rows[0].note == "one"


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_system_are_taken(ends: str) -> None:
    assert read(f"name{ends}Ana{ends}{ends}Ben{ends}").rows[0].line == 2
    assert len(read(f"name{ends}Ana{ends}{ends}Ben{ends}").rows) == 2


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_unicode_is_read_however_it_is_marked(encoding: str) -> None:
    assert roster_text("class.csv", CLASS.encode(encoding)) == CLASS


def test_another_encoding_is_refused_until_it_is_told() -> None:
    text = "name\nAna Müller\nZoë\n"
    data = text.encode("cp1252")
    with pytest.raises(InputError, match=r'class.csv:2: .*"Ana Müller".*--encoding windows-1252'):
        roster_text("class.csv", data)
    assert roster_text("class.csv", data, "windows-1252") == text
    with pytest.raises(InputError, match="not in the encoding"):
        # Windows-1252 has nothing at 81 hex (the table of the WHATWG Encoding Standard maps it to
        # a control character, Python's codec to nothing).
        roster_text("class.csv", b"name\n\x81na\n", "windows-1252")
    with pytest.raises(InputError, match="no encoding"):
        roster_text("class.csv", data, "klingon")


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(InputError, match="UTF-16 without its mark"):
        roster_text("class.csv", CLASS.encode("utf-16-le"))
    with pytest.raises(InputError, match="too many"):
        roster_text("class.csv", b"x" * 5_000_001)


def test_every_column_that_is_not_read_is_told() -> None:
    """One without a name, if something stands in it; spreadsheets add empty ones."""
    other = roster_from("class.csv", "name,Certificat,\nAna,CPR,x\n").other_columns
    assert other == ("certificat", UNNAMED)
    assert roster_from("class.csv", "name,,\nAna,,\n").other_columns == ()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "is empty"),
        ("name,note\n , \n", "class.csv has no row beneath its first one"),
        ("who\nAna\n", 'class.csv:1: There is no column "name"'),
        ("name,Name\nAna,Ana\n", "stands twice"),
        ("name\nAna\n=cmd|' /C calc'!A0\n", "class.csv:3: .*formula"),
        ("name\nAna\nana\n", "class.csv:3: ana stands in line 2 already"),
        ("name,note\nAna,one\nAna,ONE\n", "class.csv:3"),
        ("name,certificate,valid-until\nAna,CPR,2027-01-01\nAna,cpr,2028-01-01\n", "class.csv:3"),
        ("name,certificate,valid-until\nAna,CPR,3/4/2027\n", "no day"),
        ("name,certificate,valid-until\nAna,CPR,2027-02-30\n", "no day"),
        ("name,certificate,valid-until\nAna,CPR,9999-12-31\n", "is not within 1950 and 2150"),
        ("name,certificate,valid-until\nAna,CPR,0027-03-31\n", "is not within 1950 and 2150"),
        ("name,certificate,valid-until\nAna,CPR,\n", "needs its valid-until"),
        ("name\nAna,Ben,Cem\n", "class.csv:2: The row has 3 cells"),
        ("name\n" + "A" * 301 + "\n", "301 letters"),
        ("name\n,\n \n\u202eAna\n", "class.csv:4"),
        ('name\n"Ana\n', "no table"),
        ("name\nAna\x00\n", "class.csv"),
    ],
)
def test_mistakes_are_told_with_their_line(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read(text)


def test_all_mistakes_are_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        read("name\nAna\n=1\nAna\n\n@x\n")
    assert [line.split(":")[1] for line in str(caught.value).splitlines()] == ["3", "4", "6"]


def test_a_row_that_could_be_two_people_is_refused() -> None:
    there = (LearnerAdded(AT, "a" * 32, "Ana", "evening"),)
    with pytest.raises(InputError, match=r"class.csv:2: Ana \(evening\) is there already"):
        taken(read("name\nAna\n"), *there)
    assert taken(read("name,note\nAna,Evening\n"), *there) == ()
    assert len(taken(read("name,note\nAna,morning\n"), *there)) == 1


@given(st.text())
def test_no_cell_begins_a_formula_and_every_text_comes_back(text: str) -> None:
    safe = safe_cell(text)
    assert plain_cell(safe) == text
    assert not safe.lstrip().startswith(("=", "+", "-", "@")) and safe[:1] not in ("\t", "\r")


@pytest.mark.parametrize(
    "text", ["=1+1", "'=1", "''@x", "-5", "+49", "@a", " =1", "\t=1", "\uff1d1"]
)
def test_what_would_run_is_quoted(text: str) -> None:
    assert safe_cell(text) == f"'{text}"


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2), max_size=5))
def test_tables_come_back_by_the_reader_of_the_standard_library(rows: list[list[str]]) -> None:
    text = table_csv(("one", "two"), rows)
    _, *found = csv.reader(io.StringIO(text, newline=""))
    assert [[plain_cell(cell) for cell in row] for row in found] == rows


def test_a_certificate_about_no_skill_is_told_with_its_line() -> None:
    """A skill misspelt, or parted by a semicolon, would be rehearsed by nobody."""
    roster = read("name,certificate,valid-until,skills\nAna,Card,2027-03-31,cpr; oral-airwy\n")
    with pytest.raises(InputError) as told:
        taken(roster)
    assert str(told.value).splitlines() == [
        "class.csv:2: There is no skill 'cpr;' (spaces go between several): did you mean 'cpr'?",
        "class.csv:2: There is no skill 'oral-airwy' (spaces go between several): did you mean "
        "'oral-airway'?",
    ]
