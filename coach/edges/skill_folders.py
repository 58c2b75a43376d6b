"""Where skill files and what stands beside them are found: by their folders and their names."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path

from coach.core.errors import InputError
from coach.edges.data_files import data_folder
from coach.edges.folders import user_data_folder
from coach.procedure.wording import did_you_mean

FOLDER_VARIABLE = "COACH_PROCEDURES"
"""Environment variable that names another folder of one's own skill files."""

FACTS = "facts.yaml"
"""Name of the table of facts in a folder of skill files."""

FRAGMENTS = "fragments.yaml"
"""Name of the file of shared steps in a folder of skill files."""

SCORING = "scoring.yaml"
"""Name of the rule of scoring in a folder of skill files."""

ENDINGS = (".yaml", ".yml")

DIALOGUES = ".dialogues"
"""Between the skill's id and the ending of a dialogue file."""

SCENARIO = ".scenario"
"""Between a scenario's id and the ending of its file."""

LOCAL = ".local"
"""Between a program's name and the ending of a file of its own numbers."""


def procedure_folders() -> tuple[Path, ...]:
    """The folders with skill files: the user's own, if it exists, goes before the program's."""
    told = os.environ.get(FOLDER_VARIABLE, "")
    own = own_folder(os.environ)
    if told and not own.is_dir():
        raise InputError(
            f"{FOLDER_VARIABLE} names {told}, which is not a folder: make it or unset the variable."
        )
    return (*((own,) if own.is_dir() else ()), data_folder("procedures"))


def own_folder(environ: Mapping[str, str]) -> Path:
    """The folder of the user's own skill files; it need not exist."""
    told = environ.get(FOLDER_VARIABLE, "")
    return Path(told).expanduser() if told else user_data_folder(environ) / "procedures"


def skill_paths() -> dict[str, Path]:
    """The file of each known skill by its id, in order of ids; the user's file hides the program's
    of the same id."""
    return known_files(is_skill_file)


def skill_beside(skill: str, folder: Path) -> Path | None:
    """The file of a known skill, or of one that stands in this folder; None if there is none."""
    beside = (folder / f"{skill}{ending}" for ending in ENDINGS)
    found = (path for path in beside if is_skill_file(path) and path.is_file())
    return skill_paths().get(skill) or next(found, None)


def dialogues_beside(skill: Path) -> Path | None:
    """The file of dialogues beside a skill file; None if there is none."""
    beside = (skill.with_name(f"{skill.stem}{DIALOGUES}{ending}") for ending in ENDINGS)
    return next((path for path in beside if path.is_file()), None)


def skill_of_dialogues(dialogues: Path) -> Path | None:
    """The skill file that a file of dialogues is of: the one beside it, else the known skill of
    that name; None if there is neither."""
    skill = dialogues.stem.removesuffix(DIALOGUES)
    beside = (dialogues.with_name(f"{skill}{ending}") for ending in ENDINGS)
    found = (path for path in beside if path.is_file())
    return next(found, None) or skill_paths().get(skill)


def known_files(is_one: Callable[[Path], bool], part: str = "") -> dict[str, Path]:
    """The files of one kind in the folders, by their names without `part` and ending, in order;
    the user's file hides the program's of the same name."""
    found: dict[str, Path] = {}
    for folder in procedure_folders():
        for path in sorted(folder.iterdir()):
            if is_one(path):
                found.setdefault(path.stem.removesuffix(part), path)
    return dict(sorted(found.items()))


def hides_another(path: Path) -> bool:
    """Whether a skill file stands in place of one that comes with the program."""
    its_own = data_folder("procedures")
    return path.resolve().parent != its_own.resolve() and any(
        (its_own / f"{path.stem}{ending}").is_file() for ending in ENDINGS
    )


def skill_ids() -> tuple[str, ...]:
    """The ids of the known skills, in alphabetical order."""
    return tuple(skill_paths())


def is_skill_file(path: Path) -> bool:
    """Whether the name is that of a skill file."""
    named = path.name in (FACTS, FRAGMENTS, SCORING)
    other = named or is_dialogue_file(path) or is_local_file(path) or is_scenario_file(path)
    return path.suffix in ENDINGS and not other


def is_dialogue_file(path: Path) -> bool:
    """Whether the name is that of a dialogue file."""
    return path.suffix in ENDINGS and path.stem.endswith(DIALOGUES)


def is_scenario_file(path: Path) -> bool:
    """Whether the name is that of a scenario file."""
    return path.suffix in ENDINGS and path.stem.endswith(SCENARIO)


def is_local_file(path: Path) -> bool:
    """Whether the name is that of a file of a program's own numbers."""
    return path.suffix in ENDINGS and path.stem.endswith(LOCAL)


def skill_path(skill: str) -> Path:
    """The file of a known skill's id, or of a path as it is.

    What holds a slash or ends like a skill file is a path. InputError for an unknown id.
    """
    as_path = Path(skill).expanduser()
    slash = any(mark in skill for mark in ("/", os.sep))
    if slash or as_path.suffix in ENDINGS or skill in ("", ".", ".."):
        return as_path
    known = skill_paths()
    if skill not in known:
        raise InputError(
            f"There is no skill '{skill}': {did_you_mean(skill, known, 'skills', 'coach skills')}"
        )
    return known[skill]


def local_program_path(program: str) -> Path:
    """The file of a local program's name, or of a path as it is; InputError for an unknown name."""
    as_path = Path(program).expanduser()
    if as_path.suffix in ENDINGS or "/" in program or os.sep in program:
        return as_path
    known = known_files(is_local_file, LOCAL)
    if program not in known:
        advice = did_you_mean(program, known, "local programs")
        raise InputError(f"There is no local program '{program}': {advice}")
    return known[program]
