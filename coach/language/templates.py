"""Phrases written short: `[a|b|]` is a choice, an empty branch leaves the part out."""

from __future__ import annotations

import re
from itertools import product

_CHOICE = re.compile(r"\[([^\[\]]*)\]")


def expanded(template: str) -> tuple[str, ...]:
    """Every phrase a template stands for; choices do not nest."""
    parts = _CHOICE.split(template)
    branches = [part.split("|") if odd % 2 else [part] for odd, part in enumerate(parts)]
    return tuple(dict.fromkeys(" ".join("".join(pick).split()) for pick in product(*branches)))
