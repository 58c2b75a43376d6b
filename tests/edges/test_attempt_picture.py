"""The timeline as a picture: in ink alone, the same bytes, no formula in a name."""

from __future__ import annotations

import re
import subprocess
import sys
import warnings
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import matplotlib
import pytest
from attempts import GLOVES, NOT_YET
from hypothesis import given, settings
from PIL import Image
from random_attempts import NASTY, RESULTS

from coach.edges.attempt_picture import png_timeline, svg_timeline
from coach.edges.report_letters import MISSING, cut_to, drawable, width
from coach.edges.shaped_lines import runs_both_ways
from coach.report.attempt import Mark, Result
from coach.report.timeline import timeline_of


@given(RESULTS)
@settings(max_examples=25)
def test_any_attempt_gives_sound_xml_without_a_warning(result: Result) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        root = ElementTree.fromstring(svg_timeline(timeline_of(result)))
    assert root.tag == "{http://www.w3.org/2000/svg}svg"


@pytest.mark.parametrize("name", NASTY)
def test_a_name_is_drawn_as_letters(name: str) -> None:
    step = replace(GLOVES, name=name or "x", step="x")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        root = ElementTree.fromstring(svg_timeline(timeline_of(replace(NOT_YET, steps=(step,)))))
    assert root.tag == "{http://www.w3.org/2000/svg}svg"


def test_the_same_result_gives_the_same_bytes_whatever_the_user_has_set() -> None:
    timeline = timeline_of(NOT_YET)
    svg, png = svg_timeline(timeline), png_timeline(timeline)
    with matplotlib.rc_context({"svg.fonttype": "none", "font.size": 30, "lines.linewidth": 9}):
        assert svg_timeline(timeline) == svg
        assert png_timeline(timeline) == png
        assert matplotlib.rcParams["font.size"] == 30


def test_it_needs_no_colour() -> None:
    colors = set(re.findall(r"#[0-9a-f]{6}", svg_timeline(timeline_of(NOT_YET))))
    assert all(len({color[1:3], color[3:5], color[5:7]}) == 1 for color in colors)
    with Image.open(BytesIO(png_timeline(timeline_of(NOT_YET))[0])) as picture:
        assert picture.width > 1500


@pytest.mark.parametrize("mark", Mark)
def test_every_mark_looks_different(mark: Mark) -> None:
    def drawn(which: Mark) -> str:
        return svg_timeline(timeline_of(replace(NOT_YET, steps=(replace(GLOVES, mark=which),))))

    assert all(drawn(mark) != drawn(other) for other in Mark if other is not mark)


def test_a_long_skill_is_drawn_lower_not_larger() -> None:
    few, many = (
        timeline_of(replace(NOT_YET, steps=(GLOVES,) * amount, numbers=())) for amount in (5, 45)
    )
    assert png_timeline(many)[1] < 1.05 * 297 / 210 * 0.7
    assert png_timeline(few)[1] < 0.4


def test_text_is_measured_and_cut_to_fit() -> None:
    assert width("ii", 10) < width("WW", 10) == pytest.approx(2 * width("W", 10), rel=0.02)
    cut = cut_to("W" * 300, 100, 10)
    assert width(cut, 10) <= 100 < width(f"W{cut}", 10)
    assert cut_to("gloves", 100, 10) == "gloves"


def test_letters_that_the_font_lacks_are_boxes() -> None:
    assert drawable("a\u4e2d") == f"a{MISSING}"
    assert drawable("\u05e9\u0645\u03b1") == "\u05e9\u0645\u03b1"


def test_right_to_left_is_known() -> None:
    assert runs_both_ways("Ana \u05e9") and runs_both_ways("\u0645")
    assert not runs_both_ways("Ana \u03b1 12 ()")


def test_the_library_is_loaded_only_when_something_is_drawn() -> None:
    code = (
        "import sys, coach.cli.main, coach.edges.attempt_html, coach.report.attempt_page; "
        "sys.exit('matplotlib' in sys.modules)"
    )
    root = Path(__file__).parents[2]
    assert subprocess.run([sys.executable, "-c", code], cwd=root, check=False).returncode == 0
