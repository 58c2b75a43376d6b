"""Skills as they were when they were practised: one file each, under the SHA-256 of its content.

An attempt is judged for ever by the skill as it was then, whatever becomes of the skill file.
"""

from __future__ import annotations

import os
from pathlib import Path

from coach.core.errors import InputError, MissingError
from coach.edges.folders import DATA_VARIABLE
from coach.edges.lasting import make_owned_folder, replace_owned
from coach.procedure.skill_content import content_bytes, content_name, skill_file_of
from coach.procedure.skill_file import SkillFile

ENDING = ".json"


def keep_skill(folder: Path, skill_file: SkillFile) -> str:
    """Keep the skill's content in `folder`, if it is not there yet; its name (SHA-256, hex).

    MissingError if it cannot be written.
    """
    content = content_bytes(skill_file)
    name = content_name(content)
    path = folder / f"{name}{ENDING}"
    try:
        if path.is_file() and path.read_bytes() == content:
            return name
        make_owned_folder(folder)
        # Two sessions may begin at once: each has a draft of its own.
        replace_owned(path, content, draft=f".{os.getpid()}")
    except OSError as error:
        raise MissingError(
            f"The skill cannot be kept in {folder} ({error.strerror}). Free some space, or set "
            f"{DATA_VARIABLE} to a folder on another disk."
        ) from error
    return name


def kept_skill(folder: Path, name: str) -> SkillFile:
    """The skill kept under that name; InputError if it is not there or was changed."""
    path = folder / f"{name}{ENDING}"
    try:
        content = path.read_bytes()
    except OSError as error:
        raise InputError(
            f"{path}, the skill as it was practised, cannot be read ({error.strerror}): bring it "
            "back from a backup, or import it with the attempt."
        ) from error
    if content_name(content) != name:
        raise InputError(f"{path} was changed: bring it back from a backup.")
    return skill_file_of(content)
