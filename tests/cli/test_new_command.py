"""`coach new`: what it writes is sound, proved, and never over anything that is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coach.cli.main import main
from coach.edges.checked_files import check_file
from coach.edges.skill_files import load_skill


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's own folder of skills, empty."""
    folder = tmp_path / "own"
    folder.mkdir()
    monkeypatch.setenv("COACH_PROCEDURES", str(folder))
    monkeypatch.chdir(tmp_path)
    return folder


def test_what_is_written_is_sound_and_its_dialogues_prove_it(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", "chest-seal"]) == 0
    told = capsys.readouterr().out
    assert "own/chest-seal.yaml" in told
    assert main(["check", str(own)]) == 0, capsys.readouterr().out
    assert "4 dialogues played, no problems" in capsys.readouterr().out
    assert main(["practice", "chest-seal", "--learner", "own/chest-seal.dialogues.yaml"]) == 0
    assert load_skill("chest-seal").title == "Chest seal"


def test_every_part_that_is_commented_out_is_sound_as_well(own: Path) -> None:
    main(["new", "chest-seal"])
    path = own / "chest-seal.yaml"
    text = path.read_text("utf-8")
    # A remark has one space behind its mark, a part to be used none or its indentation.
    used = re.sub(r"^( *)#(?! \S|$)", r"\1", text, flags=re.MULTILINE)
    assert used.count("\n") == text.count("\n")
    assert "  absent:" in used
    path.write_text(used, "utf-8")
    assert check_file(path) == ()
    skill = load_skill("chest-seal").chosen({"patient": "infant"}, frozenset({"refused"}))
    assert skill.step("equipment").readings
    assert skill.step("equipment").clock
    act = skill.step("act")
    assert act.how.endswith("for an infant.")
    assert act.since and act.unsafe_left_out and skill.forbidden and skill.repeats


def test_the_facts_that_the_remarks_show_are_sound(own: Path) -> None:
    main(["new", "chest-seal"])
    skill = own / "chest-seal.yaml"
    text = skill.read_text("utf-8")
    shown = text[text.index("# sources: {") : text.index("# and {fact.flush-least}")]
    (own / "facts.yaml").write_text(re.sub("^# ?", "", shown, flags=re.MULTILINE), "utf-8")
    used = "Flush for {fact.flush-least} minutes, or {fact.flush-least.in-s} seconds."
    skill.write_text(text.replace("Write here how the hands do it.", used), "utf-8")
    assert check_file(own / "facts.yaml") == ()
    assert check_file(skill) == ()
    how = load_skill("chest-seal").chosen({}).step("act").how
    assert how == "Flush for 20 minutes, or 1,200 seconds."


def test_an_editor_finds_the_schemas(own: Path) -> None:
    main(["new", "chest-seal"])
    for name in ("chest-seal.yaml", "chest-seal.dialogues.yaml"):
        first = (own / name).read_text("utf-8").splitlines()[0]
        assert first.startswith("# yaml-language-server: $schema=file://")
        assert Path(first.partition("file://")[2]).is_file()


@pytest.mark.parametrize("title", ['Seal: "quick"', "Über\\all", "Seal #b", "true"])
def test_a_title_stays_as_it_was_given(own: Path, title: str) -> None:
    assert main(["new", "chest-seal", "--title", title]) == 0
    assert load_skill("chest-seal").title == title


def test_a_folder_of_ones_choice_is_made(own: Path, tmp_path: Path) -> None:
    assert main(["new", "chest-seal", "--folder", "deep/er"]) == 0
    assert check_file(tmp_path / "deep" / "er" / "chest-seal.yaml") == ()


@pytest.mark.parametrize(
    ("there", "arguments", "says"),
    [
        ("own/seal.yaml", ["seal"], "There is a skill 'seal' already (own/seal.yaml)"),
        ("own/seal.dialogues.yaml", ["seal"], "own/seal.dialogues.yaml is there already"),
        ("deep/seal.yml", ["seal", "--folder", "deep"], "deep/seal.yml is there already"),
        ("deep", ["seal", "--folder", "deep"], "--folder deep is a file: name a folder."),
    ],
)
def test_nothing_is_written_over(
    own: Path,
    tmp_path: Path,
    there: str,
    arguments: list[str],
    says: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / there
    path.parent.mkdir(exist_ok=True)
    path.write_text("id: seal\n", "utf-8")
    assert main(["new", *arguments]) == 1
    assert says in capsys.readouterr().err
    assert path.read_text("utf-8") == "id: seal\n"
    assert [file for file in tmp_path.rglob("*") if file.is_file()] == [path]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["suction"], "There is a skill 'suction' already"),
        (["Chest Seal"], "is no name for a skill: use small letters, digits and hyphens, "),
        (["Chest Seal"], "such as chest-seal."),
        (["../up"], "such as up."),
        (["?"], "beginning with a letter.\n"),
        (["seal", "--title", "two\nlines"], "The title must be one line of text"),
        (["seal", "--title", " "], "The title must be one line of text"),
    ],
)
def test_a_name_that_will_not_do_is_refused(
    own: Path, arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", *arguments]) == 1
    assert says in capsys.readouterr().err
    assert list(own.iterdir()) == []
