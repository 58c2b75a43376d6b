"""What a learner says of the coach's own settings: what it knows, ask me again, use bar."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from coach.language.commands import bare, phrases_of
from coach.language.normal import plain

TOLD_TEMPLATES: tuple[str, ...] = (
    "what do you [know|remember] about [me|my setup|my set up|my settings|my cylinder|my gauge]",
    "what do you remember [of|from] my [setup|set up|settings]",
    "what [are|is] my [setup|set up|settings]",
    "what's my [setup|set up]",
    "[tell|read] me my [setup|set up|settings]",
    "which [cylinder|unit|units] do i use",
)
ANEW_TEMPLATES: tuple[str, ...] = (
    "ask [me|] the [first|] questions again",
    "ask me the first questions",
    "ask me about my [setup|set up|settings] [again|]",
    "[i want to|i'd like to|let me|can i|let's|] change my [setup|set up|settings]",
    "[forget|change] what you know about [me|my setup|my set up]",
)
EXAMPLES = ("what do you know about my setup", "change my settings", "use bar", "use p s i")
"""Told to recognisers: the ways that are likeliest."""

_UNIT = re.compile(
    r"(?:i |we |please )?(?:use|switch to|change to|change (?:it|my gauge|the gauge|the unit) to"
    r"|set (?:it|my gauge|the gauge|the unit) to)"
    r" (?P<value>bar|psi|p s i|pounds(?: per square inch)?)"
    r"|my gauge (?:is in|shows|reads in|reads) (?P<shown>bar|psi|p s i|pounds per square inch)"
)
_CYLINDER = re.compile(
    r"(?:remember (?:that )?)?my (?:cylinder|tank|bottle) (?:is|is called|is size) (?P<value>.+)"
    r"|(?:change|set) my (?:cylinder|tank|bottle) to (?P<set>.+)"
    r"|(?:please )?(?:use|switch to) (?P<used>(?:an? |size |the )?.+ (?:cylinder|tank|bottle))"
)
_REGION = re.compile(
    r"(?:remember (?:that )?)?my cylinders (?:are|come from|are from) (?P<value>.+)"
    r"|(?:change|set) my region to (?P<set>.+)|my region is (?P<told>.+)"
)


class About(StrEnum):
    """What such talk is about: what is known, all questions anew, or one answer."""

    TOLD = "told"
    ANEW = "anew"
    UNIT = "unit"
    CYLINDER = "cylinder"
    REGION = "region"
    SKILL = "skill"


@dataclass(frozen=True, slots=True)
class SetupTalk:
    """What was said of the settings.

    `value` are the words of the answer; `name` is the setting of a skill that was named. `ordered`:
    it can be meant for nothing but the settings ("use bar"), while "my cylinder is a D" may be
    part of what a learner tells amid a skill.
    """

    about: About
    value: str = ""
    name: str = ""
    ordered: bool = True


def setup_talk(text: str, names: Sequence[str] = ()) -> SetupTalk | None:
    """What an utterance as a whole says of the settings; None for anything else.

    `names` are settings of the skill, as they are spoken ("landmark").
    """
    said = bare(plain(text))
    if said in phrases_of(TOLD_TEMPLATES):
        return SetupTalk(About.TOLD)
    if said in phrases_of(ANEW_TEMPLATES):
        return SetupTalk(About.ANEW)
    ways = ((About.UNIT, _UNIT), (About.CYLINDER, _CYLINDER), (About.REGION, _REGION))
    for about, way in ways:
        found = way.fullmatch(said)
        if found is not None:
            value = next(value for value in found.groups() if value)
            return SetupTalk(about, value, ordered=not said.startswith(("my ", "i ", "we ")))
    for name in names:
        found = re.fullmatch(rf"(?:change|set) (?:my|the) {re.escape(name)} to (.+)", said)
        if found is not None:
            return SetupTalk(About.SKILL, found[1], name)
    return None
