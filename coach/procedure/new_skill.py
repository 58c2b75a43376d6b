"""The first text of a skill file and of its dialogues, from the templates beside the skills."""

from __future__ import annotations

import re
from string import Template

from coach.core.errors import InputError

_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")

_NO_TEXT = ("true", "false", "null")
"""Words that YAML takes for something else."""


def checked_id(written: str) -> str:
    """The id of a new skill; InputError, with one that would do, for what cannot be one."""
    if _ID.fullmatch(written):
        return written
    near = "-".join(re.findall(r"[a-z0-9]+", written.lower())).lstrip("-0123456789")
    advice = f", such as {near}" if near else ""
    raise InputError(
        f"'{written}' is no name for a skill: use small letters, digits and hyphens, beginning "
        f"with a letter{advice}."
    )


def title_of(skill_id: str) -> str:
    """A title to begin with: "chest-seal" becomes "Chest seal"."""
    return skill_id.replace("-", " ").capitalize()


def filled(template: str, skill_id: str, title: str, schema: str) -> str:
    """A template with the skill's id and title, and the address of the schema for editors.

    InputError for a title that YAML would not take for one line of text as it stands.
    """
    if not title.strip() or any(not mark.isprintable() for mark in title):
        raise InputError("The title must be one line of text: give it in quotes after --title.")
    plain = re.fullmatch(r"[A-Za-z][\w ,()'-]*", title) and title.lower() not in _NO_TEXT
    written = title if plain else f'"{_escaped(title)}"'
    return Template(template).substitute(id=skill_id, title=written, schema=schema)


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')
