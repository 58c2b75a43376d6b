"""`coach walk`: a picture that another program can read, the same every time."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from coach.cli.main import main
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize("skill", skill_ids())
def test_every_skill_is_drawn_with_all_its_steps(skill: str) -> None:
    assert main(["walk", skill]) == 0
    root = ElementTree.parse(f"{skill}.svg").getroot()
    texts = [text.text or "" for text in root.iter(f"{SVG}text")]
    skill_file = load_skill(skill)
    came = frozenset(complication.id for complication in skill_file.complications)
    steps = skill_file.chosen({}, came).steps
    written = " ".join(texts)
    for number, step in enumerate(steps, 1):
        assert f"{number}. {step.name}" in written
    assert "never for patient care" in written
    announced = {each.id: each.announce for each in skill_file.complications}
    for number, step in enumerate(steps, 1):
        if step.complication:  # on paper nobody can rest a pointer on the box
            assert re.search(rf"\b{number}\b[ and0-9]* only if: ", written)
            assert announced[step.complication] in written
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    for text in root.iter(f"{SVG}text"):
        if "text-anchor" not in text.attrib:
            # From memory: Helvetica's letters are half as wide as high, on the average.
            wide = len(text.text or "") * float(text.attrib["font-size"]) / 2
            assert float(text.attrib["x"]) + wide <= width, text.text
    lying = "landscape" if width > height else "portrait"
    paper = "".join(style.text or "" for style in root.iter(f"{SVG}style"))
    assert f"size: {lying}" in paper and "width: 100%" in paper  # a printed page holds it whole
    for box in root.iter(f"{SVG}rect"):
        assert 0 <= float(box.attrib["x"]) <= width - float(box.attrib["width"])
        assert 0 <= float(box.attrib["y"]) <= height - float(box.attrib["height"])


SMALLEST_POINTS = 6.0
"""Letters that are still read at arm's length (common practice, no source)."""


@pytest.mark.parametrize("skill", skill_ids())
def test_the_names_can_be_read_on_a_sheet_of_a4(skill: str) -> None:
    """ISO 216: 210 by 297 mm; the page keeps 10 mm on each side, and a point is 1/72 of an inch."""
    assert main(["walk", skill]) == 0
    root = ElementTree.parse(f"{skill}.svg").getroot()
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    short, long = sorted((width, height))
    millimetres_a_pixel = min(190 / short, 277 / long)
    named = [text for text in root.iter(f"{SVG}text") if text.attrib.get("text-anchor")]
    smallest = min(float(text.attrib["font-size"]) for text in named)
    assert smallest * millimetres_a_pixel * 72 / 25.4 >= SMALLEST_POINTS


def test_the_reason_of_an_order_is_told_where_the_pointer_rests() -> None:
    main(["walk", "oral-airway"])
    told = [title.text or "" for title in ElementTree.parse("oral-airway.svg").iter(f"{SVG}title")]
    assert any(text.startswith("your gloves, then the size: ") for text in told)


def test_the_same_skill_gives_the_same_picture_in_another_process() -> None:
    for seed, name in (("1", "one.svg"), ("2", "two.svg")):
        subprocess.run(
            [sys.executable, "-m", "coach", "walk", "suction", "--to", name],
            env={"PYTHONHASHSEED": seed, "PATH": ""},
            check=True,
            capture_output=True,
        )
    assert Path("one.svg").read_bytes() == Path("two.svg").read_bytes()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--to", "picture.png"], "--to picture.png does not end in .svg"),
        (["--to", "there.svg"], "there.svg is there already"),
        (["--set", "patient=horse"], "has no option 'horse'"),
    ],
)
def test_what_cannot_be_is_refused(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("there.svg").write_text("mine", "utf-8")
    assert main(["walk", "suction", *arguments]) == 1
    assert says in capsys.readouterr().err
    assert Path("there.svg").read_text("utf-8") == "mine"
