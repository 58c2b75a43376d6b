"""How mistakes are worded: which part of a file is meant, and what the writer may have meant."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

from rapidfuzz import process
from rapidfuzz.distance import OSA

from coach.procedure.yaml_tree import Json, Path

Mistake: TypeAlias = tuple[Path, str]
"""Where a file is wrong, and the sentence that says so."""

SHORTEST_PART = 3
"""Letters from which a part of a name is taken for the whole: our own choice."""

MOST_LISTED = 12
"""Names that a message may list; more hide what it is about (our own choice)."""

_NAMED_BY = {
    "steps": ("step", "id"),
    "readings": ("reading", "name"),
    "complications": ("complication", "id"),
    "never": ("forbidden act", "id"),
    "repeats": ("repeat", "id"),
    "wrong": ("'wrong'", ""),
    "variants": ("variant", ""),
    "turns": ("turn", ""),
}
_KEYED = {
    "settings": "setting",
    "options": "option",
    "facts": "fact",
    "differs": "differing value",
    "cylinders": "region",
}
_LETTER_AT = ("cylinders", 2)
"""Where in a path the letter of a cylinder stands, behind its region."""


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that was probably meant: one slip in three letters, or a part of it; or None.

    Swapped letters count as one slip.
    """
    name, names = name.lower(), list(known)
    near = process.extractOne(name, names, scorer=OSA.distance, score_cutoff=max(1, len(name) // 3))
    if near:
        return str(near[0])
    holding = [full for full in names if len(name) >= SHORTEST_PART and name in full]
    return holding[0] if len(holding) == 1 else None


def did_you_mean(name: str, known: Iterable[str], what: str, listed_by: str = "") -> str:
    """What to do about an unknown name: "did you mean 'size'?", or the list of all `what`.

    Of more than MOST_LISTED only the command that lists them is told, if there is one.
    """
    names = list(known)
    near = nearest(name, names)
    if near:
        return f"did you mean '{near}'?"
    if not names:
        return f"there are no {what}."
    if listed_by and len(names) > MOST_LISTED:
        return f"`{listed_by}` lists the {len(names)} {what}."
    return f"the {what} are {', '.join(names)}."


def place(root: Json, path: Path) -> str:
    """A part of a skill or dialogue file in words: "reading 'pressure' of step 'gauge'"."""
    names: list[str] = []
    value = root
    parent: str | int | None = None if isinstance(root, dict) else "dialogues"
    for at, key in enumerate(path):
        value = _child(value, key)
        letter = (path[0], at) == _LETTER_AT
        words = f"cylinder '{key}'" if letter else _name(parent, key, value)
        if words:
            names.append(words)
        parent = key
    return " of ".join(reversed(names)) or "the file"


def _child(value: Json, key: str | int) -> Json:
    if isinstance(value, dict):
        return value.get(str(key))
    if isinstance(value, list) and isinstance(key, int) and key < len(value):
        return value[key]
    return None


def _name(parent: str | int | None, key: str | int, value: Json) -> str:
    if isinstance(key, int):
        if parent == "dialogues":
            return _titled("dialogue", "name", key, value)
        if parent in _NAMED_BY:
            noun, identity = _NAMED_BY[str(parent)]
            return _titled(noun, identity, key, value)
        return f"item {key + 1}"
    if parent in _KEYED:
        return f"{_KEYED[str(parent)]} '{key}'"
    # The collection itself is only named when nothing in it is: "step 'size'" says enough.
    if key in _NAMED_BY or key in _KEYED:
        return f"'{key}'" if not isinstance(value, list | dict) or not value else ""
    return f"'{key}'"


def _titled(noun: str, identity: str, position: int, value: Json) -> str:
    title = value.get(identity) if isinstance(value, dict) else None
    return f"{noun} '{title}'" if isinstance(title, str) and title else f"{noun} {position + 1}"
