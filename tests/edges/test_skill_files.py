"""Finding and reading skill files on a disk."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coach.core.errors import InputError
from coach.edges import checked_files, local_program_file, skill_files, skill_folders, skill_text
from coach.edges.skill_text import BrokenFileError, UnreadableFileError

SKILL = """\
id: {id}
title: Invented skill
minutes: 2
table: [a chair]
sources: {{common: "Common practice, no source"}}
steps:
  - id: sit
    name: the seat
    say: Sit down.
    why: It is restful.
    how: Bend your knees.
    heard-as: {{keys: [sit/sat]}}
"""


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's folder of skills, with one in it; the working folder is above it."""
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "sitting-down.yaml").write_text(SKILL.format(id="sitting-down"), "utf-8")
    monkeypatch.setenv(skill_folders.FOLDER_VARIABLE, str(folder))
    monkeypatch.chdir(tmp_path)
    return folder


def test_own_skills_are_found_beside_those_of_the_program(own_folder: Path) -> None:
    ids = skill_folders.skill_ids()
    assert "sitting-down" in ids
    assert list(ids) == sorted(ids)
    assert len(ids) > 1
    assert skill_files.load_skill("sitting-down").file == "mine/sitting-down.yaml"


def test_an_own_skill_hides_one_of_the_same_id(own_folder: Path) -> None:
    theirs = next(skill for skill in skill_folders.skill_ids() if skill != "sitting-down")
    (own_folder / f"{theirs}.yml").write_text(SKILL.format(id=theirs), "utf-8")
    assert skill_files.load_skill(theirs).title == "Invented skill"


def test_a_dialogue_file_is_no_skill(own_folder: Path) -> None:
    (own_folder / "sitting-down.dialogues.yaml").write_text("- name: x\n", "utf-8")
    assert "sitting-down.dialogues" not in skill_folders.skill_ids()


def test_the_user_folder_is_used_without_the_variable(
    own_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(skill_folders.FOLDER_VARIABLE)
    monkeypatch.setenv("COACH_DATA", str(own_folder.parent))
    own_folder.rename(own_folder.parent / "procedures")
    assert "sitting-down" in skill_folders.skill_ids()


def test_a_variable_that_names_no_folder_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(skill_folders.FOLDER_VARIABLE, str(tmp_path / "nowhere"))
    with pytest.raises(InputError, match=r"COACH_PROCEDURES names .*nowhere"):
        skill_folders.skill_ids()


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("siting-down", r"There is no skill 'siting-down': did you mean 'sitting-down'\?"),
        ("sitting", r"did you mean 'sitting-down'\?"),
        ("zzz", r"There is no skill 'zzz': `coach skills` lists the \d+ skills\."),
        ("other.yaml", r"other\.yaml does not exist: check the name\."),
        ("", r"is a folder: name a file in it\."),
        ("mine/", r"mine is a folder|There is no skill 'mine/'"),
        ("a\0b", r"There is no skill"),
        ("x/a\0b.yaml", r"cannot be read"),
    ],
)
def test_an_unknown_skill_is_refused_with_advice(own_folder: Path, asked: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        skill_files.load_skill(asked)


def test_a_path_is_taken_as_it_is(own_folder: Path) -> None:
    assert skill_files.load_skill("mine/sitting-down.yaml").id == "sitting-down"
    assert skill_files.load_skill(own_folder / "sitting-down.yaml").id == "sitting-down"


def test_a_byte_order_mark_and_windows_line_ends_are_read(own_folder: Path) -> None:
    text = SKILL.format(id="windows").replace("\n", "\r\n")
    path = own_folder / "windows.yaml"
    path.write_bytes(text.encode("utf-8-sig"))
    assert skill_files.load_skill(path).title == "Invented skill"
    path.write_bytes(text.replace("minutes: 2", "minutes: x").encode("utf-8-sig"))
    assert [problem.line for problem in checked_files.check_file(path)] == [3]


def test_a_broken_skill_tells_every_line(own_folder: Path) -> None:
    path = own_folder / "bad.yaml"
    path.write_text(SKILL.format(id="bad").replace("say: ", "sya: ").replace("2", "two"), "utf-8")
    with pytest.raises(BrokenFileError) as failure:
        skill_files.load_skill("bad")
    assert str(failure.value).splitlines()[0] == "mine/bad.yaml has 2 problems:"
    assert [str(problem) for problem in failure.value.problems] == [
        "mine/bad.yaml:3: 'minutes' must be a whole number, not text: give the minutes the "
        "practice takes.",
        "mine/bad.yaml:9: step 'sit' has an unknown key 'sya': did you mean 'say'?",
    ]
    assert checked_files.check_file(path) == failure.value.problems


def test_bytes_that_are_not_utf_8_have_a_line(own_folder: Path) -> None:
    path = own_folder / "latin.yaml"
    path.write_bytes("id: latin\ntitle: \u00dcbung\n".encode() + b"why: \xfcber\n")
    (problem,) = checked_files.check_file(path)
    assert str(problem).startswith("mine/latin.yaml:3: the file is not UTF-8 text here")


def test_what_cannot_be_read_is_a_problem_of_the_whole_file(own_folder: Path) -> None:
    huge = own_folder / "huge.yaml"
    huge.write_bytes(b"#" * (skill_text.LARGEST_BYTES + 1))
    pipe = own_folder / "pipe.yaml"
    os.mkfifo(pipe)
    folder = own_folder / "folder.yaml"
    folder.mkdir()
    loop = own_folder / "loop.yaml"
    loop.symlink_to(loop)
    for path, says in (
        (huge, "the file has 1,000,001 bytes, more than the 1,000,000 that are read"),
        (pipe, "the file is not an ordinary file"),
        (folder, "the file is a folder"),
        (loop, "the file cannot be read"),
        (own_folder / "none.yaml", "the file does not exist"),
    ):
        (problem,) = checked_files.check_file(path)
        assert problem.line == 0
        assert problem.message.startswith(says)
        with pytest.raises(UnreadableFileError):
            skill_files.load_skill(path)


def test_dialogues_are_checked_against_the_skill_beside_them(own_folder: Path) -> None:
    path = own_folder / "sitting-down.dialogues.yaml"
    path.write_text("- name: x\n  turns:\n    - {key: next, step: stand}\n", "utf-8")
    (problem,) = checked_files.check_file(path)
    assert (problem.line, problem.message) == (
        3,
        "the skill has no step 'stand': the steps are sit.",
    )
    (own_folder / "sitting-down.yaml").unlink()
    assert checked_files.check_file(path) == ()
    assert skill_files.load_dialogues(path)[0].turns[0].step == "stand"


def test_folders_are_searched_below_and_hidden_files_passed_over(own_folder: Path) -> None:
    (own_folder / "deep").mkdir()
    (own_folder / "deep" / "a.yml").write_text("", "utf-8")
    (own_folder / ".b.yaml").write_text("", "utf-8")
    (own_folder / "notes.txt").write_text("", "utf-8")
    names = [path.name for path in checked_files.files_in(own_folder)]
    assert names == ["a.yml", "sitting-down.yaml"]


def test_the_program_s_own_files_are_sound() -> None:
    folder = Path(__file__).parents[2] / "procedures"
    problems = [
        str(p) for path in checked_files.files_in(folder) for p in checked_files.check_file(path)
    ]
    assert problems == []


OWN_FACTS = """\
facts:
  sitting-time: {about: time to sit, population: adult, value: 7, unit: s, sources: [common]}
"""


def test_facts_beside_own_skills_add_to_the_program_s(own_folder: Path) -> None:
    path = own_folder / "sitting-down.yaml"
    text = SKILL.format(id="sitting-down")
    path.write_text(text.replace("Bend your knees.", "Sit {fact.sitting-time} seconds."), "utf-8")
    (problem,) = checked_files.check_file(path)
    assert problem.line == 11
    assert "the table of facts has no 'sitting-time'" in problem.message
    facts = own_folder / "facts.yaml"
    facts.write_text(OWN_FACTS, "utf-8")
    assert checked_files.check_file(facts) == ()
    assert skill_files.load_skill(path).chosen({}).step("sit").how == "Sit 7 seconds."
    assert "facts" not in skill_folders.skill_ids()


def test_mistakes_in_own_facts_are_told_for_the_skill_that_needs_them(own_folder: Path) -> None:
    facts = own_folder / "facts.yaml"
    facts.write_text(OWN_FACTS.replace("unit: s,", ""), "utf-8")
    (problem,) = checked_files.check_file(own_folder / "sitting-down.yaml")
    assert str(problem) == (
        "mine/facts.yaml:2: fact 'sitting-time' has no 'unit': add the unit of the number."
    )
    assert checked_files.check_file(facts) == (problem,)


def test_a_program_s_numbers_are_checked_against_the_table(own_folder: Path) -> None:
    path = own_folder / "river.local.yaml"
    written = (
        "program: River course\ndate: 2026-09-01\napproved-by: an invented director\nfacts:\n"
        "  suction-pass-adult: {value: 15, unit: s, because: One for all., weakens: Custom.}\n"
    )
    path.write_text(written, "utf-8")
    assert checked_files.check_file(path) == ()
    assert "river.local" not in skill_folders.skill_ids()
    program = local_program_file.load_local_program(path)
    assert [change.fact for change in program.weakenings()] == ["suction-pass-adult"]
    path.write_text(written.replace(", weakens: Custom.", ""), "utf-8")
    (problem,) = checked_files.check_file(path)
    assert problem.line == 5
    assert "weakens a safety rule (the table has 10 s, and lower is safer)" in problem.message


def test_a_program_may_change_a_skill_that_only_stands_beside_its_file(
    own_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(skill_folders.FOLDER_VARIABLE)
    assert "sitting-down" not in skill_folders.skill_ids()
    rules = own_folder / "short.local.yaml"
    changed = (
        "skills:\n  sitting-down:\n    because: so\n    steps: {sit: {because: so, say: Sit.}}\n"
    )
    head = 'program: Short\ndate: "2026-01-02"\napproved-by: nobody\n'
    rules.write_text(f"{head}{changed}", "utf-8")
    program = local_program_file.load_local_program(rules)
    skill = skill_files.load_skill(str(own_folder / "sitting-down.yaml"), program)
    assert [step.say for step in skill.chosen({}).steps] == ["Sit."]
    assert checked_files.check_file(rules) == ()
    rules.write_text(f"{head}{changed.replace('sitting-down', 'lying-down')}", "utf-8")
    (problem,) = checked_files.check_file(rules)
    assert "there is no skill 'lying-down' to change" in problem.message
