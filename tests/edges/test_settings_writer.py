"""The settings file written: what its owner wrote stays, and only its owner can read it.

That comments, order and quotation marks stay is ruamel.yaml's work; PyYAML reads what comes of it,
so that two libraries have to agree about every file.
"""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from coach.core.errors import InputError, MissingError
from coach.edges import settings_writer
from coach.edges.settings import load_settings
from coach.edges.settings_writer import forget, remember

OWN = """\
# how I like it

rate: 1.2   # quick
voice: "english-us"  # the 'deep' one
cylinder: D
# the end
"""


def environ(path: Path) -> dict[str, str]:
    return {"COACH_CONFIG": str(path)}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "config.yaml"
    path.write_text(OWN, encoding="utf-8")
    return path


def test_comments_order_and_quotation_marks_stay(file: Path) -> None:
    assert remember({"cylinder": "E", "region": "us"}, environ(file)) == file
    lines = file.read_text(encoding="utf-8").splitlines()
    assert lines[:5] == [*OWN.splitlines()[:4], "cylinder: E"]
    assert {"# the end", "region: us"} <= set(lines[5:])
    settings = load_settings({}, environ(file))
    assert (settings.rate, settings.voice, settings.cylinder) == (1.2, "english-us", "E")


def test_what_is_forgotten_goes_alone(file: Path) -> None:
    remember({"oral-airway.landmark": "mouth-to-jaw"}, environ(file))
    assert forget(["cylinder", "region", "oral-airway.landmark"], environ(file)) == (
        "cylinder",
        "oral-airway.landmark",
    )
    assert yaml.safe_load(file.read_text(encoding="utf-8")) == {
        "rate": 1.2,
        "voice": "english-us",
    }
    assert "# quick" in file.read_text(encoding="utf-8")
    assert forget(["cylinder"], environ(file)) == ()


def test_where_there_was_no_file_only_its_owner_reads_it(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder" / "config.yaml"
    remember({"pressure-unit": "bar"}, environ(path))
    assert load_settings({}, environ(path)).text("pressure-unit") == "bar"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize("text", ["", "# only a remark", "# one\n\n# two\n", "---\n", "rate:\n"])
def test_a_file_without_values_keeps_its_comments(tmp_path: Path, text: str) -> None:
    path = tmp_path / "config.yaml"
    path.write_text(text, encoding="utf-8")
    remember({"region": "uk"}, environ(path))
    written = path.read_text(encoding="utf-8")
    assert load_settings({}, environ(path)).region == "uk"
    assert [line for line in text.splitlines() if line.startswith("#")] == [
        line
        for line in written.splitlines()
        if line.startswith("#") and "coach settings" not in line
    ]


def test_lines_that_end_as_in_windows_go_on_to(file: Path) -> None:
    file.write_bytes(OWN.replace("\n", "\r\n").encode())
    remember({"region": "us"}, environ(file))
    content = file.read_bytes()
    assert content.count(b"\r\n") == content.count(b"\n") > 5


def test_a_link_is_followed(tmp_path: Path, file: Path) -> None:
    """Whoever keeps the file elsewhere means that file."""
    link = tmp_path / "link.yaml"
    link.symlink_to(file)
    remember({"region": "us"}, environ(link))
    assert link.is_symlink()
    assert "region: us" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ({"regio": "uk"}, 'There is no setting "regio". Did you mean region?'),
        ({"region": "mars"}, 'region "mars" is not known'),
        ({"cylinder": " "}, "cylinder needs a value"),
    ],
)
def test_what_does_not_fit_is_not_written(file: Path, values: dict[str, str], told: str) -> None:
    with pytest.raises(InputError, match=told.replace("?", r"\?")):
        remember(values, environ(file))
    assert file.read_text(encoding="utf-8") == OWN


def test_a_broken_file_is_told_and_left(file: Path) -> None:
    file.write_text("rate: [1\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"config\.yaml:1"):
        remember({"region": "uk"}, environ(file))
    assert file.read_text(encoding="utf-8") == "rate: [1\n"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files in folders")
def test_what_is_no_file_is_not_replaced_by_one(tmp_path: Path) -> None:
    """As /dev/null is none, which a superuser could replace for everybody."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="is no ordinary file, so nothing is written"):
        remember({"region": "uk"}, {"COACH_CONFIG": str(pipe)})
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_what_cannot_be_written_is_told_with_the_way_out(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(settings_writer, "replace_owned", full)
    with pytest.raises(MissingError, match=r"No space left on device.*COACH_CONFIG"):
        remember({"region": "uk"}, environ(file))
    assert file.read_text(encoding="utf-8") == OWN


VALUES = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x17F, exclude_characters="\x7f\x85\xa0"),
    min_size=1,
    max_size=20,
).filter(lambda text: text == text.strip() and text.strip() != "")


@given(VALUES, VALUES)
def test_whatever_a_name_of_a_device_is_it_comes_back(
    tmp_path_factory: pytest.TempPathFactory, microphone: str, voice: str
) -> None:
    """YAML has many ways to misread a text: "no", "1:30", "# x", "- a"."""
    path = tmp_path_factory.mktemp("settings") / "config.yaml"
    path.write_text(OWN, encoding="utf-8")
    remember({"microphone": microphone, "loudspeaker": voice}, environ(path))
    settings = load_settings({}, environ(path))
    assert (settings.microphone, settings.loudspeaker) == (microphone, voice)
    assert yaml.safe_load(path.read_text(encoding="utf-8"))["rate"] == 1.2
