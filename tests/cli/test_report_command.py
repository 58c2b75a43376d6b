"""`coach report`: from an attempt on the disk to the files that an instructor opens."""

from __future__ import annotations

import csv
import io
import json
import os
from pathlib import Path

import pypdfium2
import pytest

from coach.cli.main import main
from coach.core.errors import MissingError
from coach.report.summary import CAUTION

SAID = "I'm ready\nmy gloves are on\nfinish\nfinish\n"
NAME = "Ana <b>Invented</b>"


@pytest.fixture
def journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An attempt that was typed, in a folder of its own."""
    monkeypatch.setattr("sys.stdin", io.StringIO(SAID))
    assert main(["practice", "gloves", "--typed", "--way", "assessed", "--learner", NAME]) == 0
    [path] = (tmp_path / "data" / "sessions").glob("*.jsonl")
    return path


def attempt_in(journal: Path) -> str:
    """The id of the attempt."""
    return str(json.loads(journal.read_text("utf-8").split("\n", 1)[0])["attempt"])


def test_the_four_files_of_an_attempt(journal: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    words = ["report", attempt_in(journal)[:8], "--to", "reports", "--as", "html,pdf,json,csv"]
    assert main(words) == 0
    paths = [Path(line) for line in capsys.readouterr().out.split()]
    assert [path.suffix for path in paths] == [".html", ".pdf", ".json", ".csv"]
    html, pdf, result, table = paths
    assert "Ana &lt;b&gt;Invented&lt;/b&gt;" in html.read_text("utf-8")
    assert CAUTION in html.read_text("utf-8")
    page = pypdfium2.PdfDocument(pdf)[0]
    assert NAME in page.get_textpage().get_text_bounded()
    assert json.loads(result.read_text("utf-8"))["attempt"] == attempt_in(journal)
    with table.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["mark"] for row in rows} >= {"missed", "unclear"}


def test_the_same_report_may_be_written_again_and_is_for_its_owner(
    journal: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert main(["report", str(journal)]) == 0
    paths = [Path(line) for line in capsys.readouterr().out.split()]
    before = [path.read_bytes() for path in paths]
    if os.name == "posix":
        assert all(path.stat().st_mode & 0o077 == 0 for path in paths)
    assert main(["report", str(journal)]) == 0
    assert [path.read_bytes() for path in paths] == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["d00d00d00"], "There is no attempt d00d00d00"),
        (["gone.jsonl"], "gone.jsonl cannot be read"),
        (["JOURNAL", "--as", "html,docx"], "docx is no form of a report"),
        (["JOURNAL", "--as", ","], "no form is named"),
    ],
)
def test_what_cannot_be_done_is_told_in_a_sentence(
    words: list[str], told: str, journal: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    given = [str(journal) if word == "JOURNAL" else word for word in words]
    assert main(["report", *given]) == 1
    assert told in capsys.readouterr().err


def test_a_damaged_journal_names_its_line(
    journal: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = journal.read_bytes().split(b"\n")
    lines[2] = lines[2].replace(b'"at_s":', b'"at_s":9', 1)
    journal.write_bytes(b"\n".join(lines))
    capsys.readouterr()
    assert main(["report", str(journal)]) == 1
    assert f"{journal}:3:" in capsys.readouterr().err


def test_a_wipe_takes_the_reports_along(
    journal: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Those that are as they were; a changed one is named, and so is what was never written."""
    folder = tmp_path / "reports"
    written = ["report", attempt_in(journal), "--to", str(folder), "--as", "json,csv"]
    assert main(written) == 0
    assert main(written) == 0
    (table,) = folder.glob("*.csv")
    table.write_text("with remarks", encoding="utf-8")
    capsys.readouterr()
    assert main(["records", "wipe", NAME, "--yes"]) == 0
    told = capsys.readouterr()
    assert "1 file that named them deleted." in told.out
    assert (
        f"A file that named them is not deleted: {table} (changed since: look at it yourself)"
        in told.err
    )
    assert list(folder.iterdir()) == [table]


def test_a_register_that_cannot_be_written_costs_no_report(
    journal: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def full(*_: object) -> None:
        raise MissingError("The register cannot be written (no space left on device).")

    monkeypatch.setattr("coach.cli.report.note_reports", full)
    assert main(["report", str(journal), "--to", str(tmp_path / "r"), "--as", "json"]) == 0
    told = capsys.readouterr()
    assert "A wipe of a learner will not find this file: The register cannot" in told.err
    assert len(list((tmp_path / "r").iterdir())) == 1
