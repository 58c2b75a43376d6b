"""Who is named as the next student: "next student, Ana"."""

from __future__ import annotations

import re
from collections.abc import Collection
from difflib import get_close_matches

_AFTER_AN_ATTEMPT = re.compile(
    r"^(?:and )?(?:the )?next (?:student|learner|one)(?: please)?(?: is)?[ ,:]+(?P<name>.+?)\.?$"
)
_AMID_AN_ATTEMPT = re.compile(
    r"^(?:okay |ok |and )?(?:the )?next (?:student|learner)(?: please)?(?: is)?"
    r"(?:[ ,:]+(?P<name>.+?))?[.!]?$"
)

MOST_WORDS = 4
"""Words of a name; what is longer is talk about the next student."""

NO_NAMES = frozenset(
    "please and can is has have gets goes comes will should who was in on up over ready".split()
)

ALIKE = 0.6
"""Likeness (0 to 1) from which a name of the register may be meant; it is asked about anyhow."""


def next_learner(text: str) -> str:
    """The name in "next student, Ana", as it was said; empty if it is not that."""
    return _named(_AFTER_AN_ATTEMPT, text) or ""


def called_next(text: str) -> str | None:
    """Who is called amid an attempt, where most talk is about something else.

    The name as it was said, empty if none was said, None if nobody is called.
    """
    name = _named(_AMID_AN_ATTEMPT, text)
    if name is None:
        return None
    words = name.lower().split()
    return None if len(words) > MOST_WORDS or NO_NAMES & {*words} else name


def name_meant(said: str, names: Collection[str]) -> tuple[str, bool]:
    """The name of the register that is meant, and whether it is just what was said.

    A first name that several have stands for all of them. Where no name is like it, the name as it
    was said, not as one of the register.
    """
    known = {name.casefold(): name for name in names}
    heard = said.casefold().strip(" .,!")
    if heard in known:
        return known[heard], True
    firsts: dict[str, list[str]] = {}
    for key, name in known.items():
        firsts.setdefault(key.split()[0], []).append(name)
    # as it is written in the first of them
    first = {
        key: names[0] if len(names) == 1 else names[0].split()[0] for key, names in firsts.items()
    }
    if heard in first:
        return first[heard], False
    alike = get_close_matches(heard, {**known, **first}, 1, ALIKE)
    return ({**first, **known}[alike[0]] if alike else said.strip(" .,!").title()), False


def _named(pattern: re.Pattern[str], text: str) -> str | None:
    found = pattern.match(" ".join(text.split()).lower())
    if found is None:
        return None
    return text.strip().rstrip(".!")[-len(found["name"]) :].strip() if found["name"] else ""
