"""A class as a table (CSV): who is in it, and which certificates they hold until when.

The first row names the columns: `name`, and if wanted `note`, `certificate`, `valid-until` (an ISO
8601 day) and `skills` (ids with spaces between; none: all). Who holds several certificates has
several rows.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.records.names import name_key, tidy_name, tidy_note
from coach.records.register import Register
from coach.report.cells import plain_cell, safe_cell

COLUMNS = ("name", "note", "certificate", "valid-until", "skills")

UNNAMED = "one without a name"
"""A column with cells and no name, as it is told of."""

LARGEST_BYTES = 5_000_000
"""A roster of 10,000 people takes a tenth of this."""

YEARS = range(1950, 2151)
"""Within a working life of today a certificate was given or runs out (our own choice)."""

_DELIMITERS = ",;\t"
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True)
class RosterRow:
    """One row: a person, and a certificate if `certificate` is not empty; `line` is its line."""

    line: int
    name: str
    note: str = ""
    certificate: str = ""
    valid_until: str = ""
    skills: tuple[str, ...] = ()

    @property
    def person(self) -> tuple[str, str]:
        """Who is meant: rows with the same are of one person."""
        return name_key(self.name), name_key(self.note)


@dataclass(frozen=True, slots=True)
class Roster:
    """The rows of a table; `other_columns` were not read."""

    rows: tuple[RosterRow, ...]
    other_columns: tuple[str, ...]


def roster_text(file: str, data: bytes, encoding: str = "") -> str:
    """The text of a table: UTF-8, UTF-16 with its mark, or in the encoding told.

    InputError for anything else, which could only be guessed and would spoil names silently.
    """
    if len(data) > LARGEST_BYTES:
        raise InputError(f"{file} has {len(data):,} bytes, too many for a roster: is it another?")
    if encoding:
        return _decoded(file, data, encoding)
    for mark, marked in (
        (b"\xef\xbb\xbf", "utf-8-sig"),
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
    ):
        if data.startswith(mark):
            return _decoded(file, data, marked)
    if b"\0" in data:
        raise InputError(
            f"{file} is no plain text (perhaps UTF-16 without its mark, or a workbook): save it as "
            "CSV in UTF-8."
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        shown = data.splitlines()[line - 1].decode("cp1252", "replace")[:60]
        raise InputError(
            f'{file}:{line}: This is not UTF-8. If the line should read "{shown}", say '
            "--encoding windows-1252; else save the file as CSV in UTF-8."
        ) from None


def _decoded(file: str, data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except LookupError:
        raise InputError(f'There is no encoding "{encoding}": windows-1252 is one.') from None
    except UnicodeError:
        raise InputError(
            f"{file} is not in the encoding {encoding}: save it as CSV in UTF-8."
        ) from None


def roster_from(file: str, text: str) -> Roster:
    """The rows of the table; InputError tells every mistake with its line."""
    try:
        rows = _rows_of(text)
    except csv.Error as error:
        raise InputError(f"{file} is no table (CSV): {error}.") from error
    if not rows:
        raise InputError(f'{file} is empty: its first row names the columns, "name" among them.')
    heads = [" ".join(cell.split()).casefold().replace(" ", "-") for cell in rows[0][1]]
    if "name" not in heads:
        raise InputError(
            f'{file}:1: There is no column "name": the first row names the columns '
            f"({', '.join(COLUMNS)})."
        )
    if len(rows) == 1:
        raise InputError(f"{file} has no row beneath its first one, which names the columns.")
    twice = sorted({head for head in heads if heads.count(head) > 1 and head in COLUMNS})
    if twice:
        raise InputError(f'{file}:1: The column "{twice[0]}" stands twice: leave one out.')
    return _checked(file, heads, rows[1:])


def _rows_of(text: str) -> list[tuple[int, list[str]]]:
    """The rows that are not empty, each with its first line."""
    first = text.split("\n", 1)[0]
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    begins = 1
    for row in reader:
        if any(cell.strip() for cell in row):
            rows.append((begins, row))
        begins = reader.line_num + 1
    return rows


def _checked(file: str, heads: list[str], rows: list[tuple[int, list[str]]]) -> Roster:
    good: list[RosterRow] = []
    problems: list[Problem] = []
    seen: dict[tuple[str, str], RosterRow] = {}
    certified: set[tuple[tuple[str, str], str]] = set()
    for line, cells in rows:
        try:
            row = _row(line, heads, cells)
            held = (row.person, name_key(row.certificate))
            before = seen.setdefault(row.person, row)
            if before is not row and (
                not (row.certificate and before.certificate) or held in certified
            ):
                raise InputError(
                    f"{row.name} stands in line {before.line} already: leave one of the rows out, "
                    "or give people of one name notes that tell them apart."
                )
            certified.add(held)
            good.append(row)
        except InputError as error:
            problems.append(Problem(file, line, str(error)))
    if problems:
        raise InputError("\n".join(map(str, problems)))
    other = tuple(head for head in heads if head and head not in COLUMNS)
    if any(
        cell.strip()
        for _, cells in rows
        for head, cell in zip(heads, cells, strict=False)
        if not head
    ):
        other += (UNNAMED,)
    return Roster(tuple(good), other)


def _row(line: int, heads: list[str], cells: list[str]) -> RosterRow:
    if len(cells) > len(heads) and any(cell.strip() for cell in cells[len(heads) :]):
        raise InputError(f"The row has {len(cells)} cells, the first row only {len(heads)}.")
    told = {head: plain_cell(cell.strip()) for head, cell in zip(heads, cells, strict=False)}
    name = tidy_name(told.get("name", ""))
    note = tidy_note(told.get("note", ""))
    certificate = tidy_note(told.get("certificate", ""), "The certificate")
    until = told.get("valid-until", "")
    if bool(certificate) != bool(until):
        raise InputError("A certificate needs its valid-until, and the other way round.")
    skills = tuple(told.get("skills", "").split())
    return RosterRow(line, name, note, certificate, until and iso_day(until), skills)


def iso_day(text: str) -> str:
    """A day as ISO 8601 has it, in full; InputError for any other text: 3/4 is two days, and a year
    out of YEARS is a slip, or stands for "never"."""
    try:
        if _DAY.fullmatch(text.strip()) is None:
            raise ValueError
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(f'"{text}" is no day: write it as 2027-03-31.') from None
    if day.year not in YEARS:
        raise InputError(
            f'"{text}" is not within {YEARS[0]} and {YEARS[-1]}: write the year in full; what '
            "never runs out needs no certificate here."
        )
    return day.isoformat()


def roster_csv(register: Register) -> str:
    """Everybody in the register as a table that `roster_from` reads, by name."""
    rows: list[tuple[str, ...]] = []
    held = _certificates(register)
    for learner in sorted(
        register.learners.values(), key=lambda one: (name_key(one.called), one.id)
    ):
        person = (learner.name, learner.note)
        for certificate in held.get(learner.id) or [("", "", "")]:
            rows.append((*person, *certificate))
    return table_csv(COLUMNS, rows)


def _certificates(register: Register) -> Mapping[str, list[tuple[str, str, str]]]:
    held: dict[str, list[tuple[str, str, str]]] = {}
    for one in sorted(register.certificates.values(), key=lambda one: (one.valid_until, one.name)):
        held.setdefault(one.learner, []).append((one.name, one.valid_until, " ".join(one.skills)))
    return held


def table_csv(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A table as text (RFC 4180), no cell of which can run as a formula."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows([safe_cell(cell) for cell in row] for row in rows)
    return text.getvalue()
