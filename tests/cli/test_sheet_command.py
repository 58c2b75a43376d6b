"""`coach sheet`: one page, as PDFium and an HTML parser see it, with the cautions and no size."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pypdfium2
import pytest

from coach.cli.main import main
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids

SKILL = """\
id: mine
title: "Invented <b>skill</b> & more"
minutes: 2
table: [a chair, "a <i>cushion</i>"]
cautions: [Never on a wheeled chair.]
sources: {common: "Common practice, no source"}
settings:
  chair:
    asks: Which chair?
    default: soft
    because: It is softer.
    options: {hard: {says: the hard one}, soft: {says: the soft one}}
steps:
  - id: look
    name: the look
    say: Look at the chair.
    why: It may be broken.
    how: Shake it.
    heard-as: {keys: [look chair]}
    aloud: That it holds.
  - id: again
    name: another chair
    complication: creak
    say: Take another chair.
    why: This one creaks.
    how: Carry it over.
    heard-as: {keys: [another chair]}
  - id: sit
    name: the seat
    say: Sit down on {chair}.
    why: It is restful.
    how: Bend your knees.
    heard-as: {keys: [sit/sat]}
    after:
      - {step: look, because: it may break, safety: true}
      - {step: again, because: it creaks}
    readings:
      - name: tube-length
        quantity: length
        unit: mm
        low: "{fact.oral-airway-length-adult.low}"
        high: "{fact.oral-airway-length-adult.high}"
        ask: How long is it?
complications:
  - {id: creak, after: look, announce: The chair creaks.}
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working folder with one skill in it."""
    (tmp_path / "mine.yaml").write_text(SKILL, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def pages(path: Path) -> list[str]:
    """The text of each page of a PDF, as another library reads it, in one line."""
    document = pypdfium2.PdfDocument(path)
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


class Page(HTMLParser):
    """Collects the text of a page and the tags that are open."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words += data.split()


def test_both_files_say_the_same_and_nothing_written_in_the_skill_becomes_a_tag(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sheet", "./mine.yaml"]) == 0
    assert capsys.readouterr().out == "mine.pdf\nmine.html\n"
    html = Page((folder / "mine.html").read_text("utf-8"))
    assert html.open == []
    assert not html.seen & {"i", "script"}
    (pdf,) = pages(folder / "mine.pdf")
    for text in (" ".join(html.words), pdf):
        for told in (
            "Invented <b>skill</b> & more",
            "Training aid only, never for patient care. Local protocol, medical direction and "
            "licensed practice decide",
            "a chair; a <i>cushion</i>",
            "chair: the soft one",
            "Sit down on the soft one.",
            "Say aloud: that it holds.",
            "Only after 1.",
            "Where 2 came up, after it.",
            "If: The chair creaks.",
            "Tube length ______ mm",
            "Never on a wheeled chair.",
        ):
            assert told in text


def test_no_size_is_told(folder: Path) -> None:
    main(["sheet", "./mine.yaml"])
    # ISO 5364 and the makers give 80 to 110 mm for adults; the table holds the ends.
    (pdf,) = pages(folder / "mine.pdf")
    page = " ".join(Page((folder / "mine.html").read_text("utf-8")).words)
    for text in (pdf, page):
        assert not [word for word in text.split() if word.strip(".,").isdigit() and len(word) > 2]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("skill", skill_ids())
def test_every_skill_of_the_program_fits_on_one_page(folder: Path, skill: str, paper: str) -> None:
    path = folder / f"{skill}.pdf"
    assert main(["sheet", skill, "--to", str(path), "--paper", paper]) == 0
    (page,) = pages(path)
    assert "never for patient care" in page
    # ISO 216 gives A4 as 210 by 297 mm, ANSI Y14.1 letter as 8.5 by 11 inches; a point is 1/72 in.
    wanted = (8.5 * 72, 11 * 72) if paper == "letter" else (210 / 25.4 * 72, 297 / 25.4 * 72)
    assert pypdfium2.PdfDocument(path)[0].get_size() == pytest.approx(wanted, abs=0.5)


def test_the_same_skill_gives_the_same_bytes(folder: Path) -> None:
    main(["sheet", "./mine.yaml", "--to", "one.pdf"])
    main(["sheet", "./mine.yaml", "--to", "two.pdf"])
    assert Path("one.pdf").read_bytes() == Path("two.pdf").read_bytes()


def test_what_is_chosen_is_printed(folder: Path) -> None:
    main(["sheet", "./mine.yaml", "--set", "chair=hard", "--to", "hard.pdf"])
    assert "Sit down on the hard one." in pages(Path("hard.pdf"))[0]


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["--to", "mine.txt"], 1, "--to mine.txt ends in neither .pdf nor .html"),
        (["--set", "chair=harrd"], 1, "has no option 'harrd': did you mean 'hard'?"),
        (["--to", "there.html"], 1, "there.html is there already: move it away"),
        (["--to", "mine.yaml/page.html"], 1, "mine.yaml is no folder: choose another place for"),
        (["--to", f"{'x' * 300}.html"], 2, "(File name too long)"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written_over(
    folder: Path, arguments: list[str], code: int, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "there.html").write_text("mine", "utf-8")
    assert main(["sheet", "./mine.yaml", *arguments]) == code
    assert says in capsys.readouterr().err
    assert (folder / "there.html").read_text("utf-8") == "mine"
    assert {path.name for path in folder.iterdir() if path.is_file()} == {"mine.yaml", "there.html"}


def test_letters_that_a_pdf_lacks_are_told_and_the_html_has_them(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "mine.yaml").write_text(SKILL.replace("Shake it.", "Potrząśnij it."), "utf-8")
    assert main(["sheet", "./mine.yaml"]) == 1
    assert "cannot show 'ą' in \"Potrząśnij it.\": print the HTML" in capsys.readouterr().err
    assert not (folder / "mine.html").exists()
    assert main(["sheet", "./mine.yaml", "--to", "mine.html"]) == 0
    assert "Potrząśnij" in (folder / "mine.html").read_text("utf-8")


def test_a_skill_too_long_for_a_page_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    step = SKILL[SKILL.index("  - id: look") : SKILL.index("  - id: again")]
    more = "".join(step.replace("id: look", f"id: look-{n}") for n in "abcdefghijklmnopqrstuvwxyz")
    more += more.replace("id: look-", "id: see-") + more.replace("id: look-", "id: watch-")
    (folder / "mine.yaml").write_text(
        SKILL.replace("  - id: again", more + "  - id: again"), "utf-8"
    )
    assert main(["sheet", "./mine.yaml", "--to", "mine.pdf"]) == 1
    assert "81 steps, which fit on no page" in capsys.readouterr().err


def test_a_step_that_comes_only_perhaps_is_no_step_to_wait_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", "bleeding-control", "--to", "guide.html"]) == 0
    words = " ".join(Page((tmp_path / "guide.html").read_text("utf-8")).words)
    assert "Where 6 came up, only after it." in words and "Only after 6." not in words
    assert "Only after 1 and 3." in words and "After 5." in words


def test_what_a_program_weakens_is_printed_with_its_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", "suction", "--program", "riverside"]) == 0
    html = " ".join(Page((tmp_path / "suction.html").read_text("utf-8")).words)
    (pdf,) = pages(tmp_path / "suction.pdf")
    for text in (html, pdf):
        assert "15 seconds instead of 10 seconds. The reason that your program gives: Our" in text
    assert main(["sheet", "suction", "--to", "published.html"]) == 0
    assert "Weaker than" not in (tmp_path / "published.html").read_text("utf-8")


def test_no_sheet_of_the_program_tells_a_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", "nasal-airway", "--to", "guide.html"]) == 0
    words = " ".join(Page((tmp_path / "guide.html").read_text("utf-8")).words)
    assert not re.search(r"\bsizes? [0-9]", words)


def test_a_page_without_room_for_how_and_why_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", "medical-assessment"]) == 0
    (pdf,) = pages(tmp_path / "medical-assessment.pdf")
    assert "There was no room for how and why of the steps: the HTML page has both." in pdf
    html = Page((tmp_path / "medical-assessment.html").read_text("utf-8")).words
    steps = load_skill("medical-assessment").chosen({}).steps
    assert all(text in " ".join(html) for step in steps for text in (step.how, step.why))
    assert main(["sheet", "gloves", "--to", "short.pdf"]) == 0
    assert "no room" not in pages(tmp_path / "short.pdf")[0]
