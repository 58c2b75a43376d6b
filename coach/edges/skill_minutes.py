"""How long each skill takes, read from the beginning of its file: a plan needs no more of it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import yaml

from coach.core.errors import InputError
from coach.edges.skill_folders import skill_paths
from coach.edges.skill_text import read_text
from coach.procedure.local_facts import LocalProgram


def minutes_of_skills(program: LocalProgram | None = None) -> Mapping[str, int]:
    """The minutes of every known skill that tells them, but those that a program turns off.

    Reading whole skills would take seconds. A file that is no skill, which `coach check` tells, is
    passed over.
    """
    off = set() if program is None else {name for name, it in program.skills.items() if it.off}
    found = {skill: _minutes(path) for skill, path in skill_paths().items() if skill not in off}
    return {skill: minutes for skill, minutes in found.items() if minutes is not None}


def _minutes(path: Path) -> int | None:
    """The value of `minutes` at the top of the file; None if there is none."""
    depth, is_key, wanted = 0, True, False
    try:
        # Events come as they are read: the long rest of the file is not.
        for event in yaml.parse(read_text(path), Loader=yaml.SafeLoader):
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                wanted = False
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            if depth != 1 or not isinstance(event, yaml.ScalarEvent | yaml.CollectionEndEvent):
                continue
            if wanted and isinstance(event, yaml.ScalarEvent):
                return int(event.value)
            wanted = is_key and isinstance(event, yaml.ScalarEvent) and event.value == "minutes"
            is_key = not is_key
    except (yaml.YAMLError, ValueError, InputError):
        return None
    return None
