"""What tells within a clause that an act fell short: in part, loosely, with something still on.

As with the manner of an act, a step whose own words hold it is done so: "open it a little".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from coach.language.clause_words import NEGATORS
from coach.language.degrees import without_degrees
from coach.language.manner import DENIED_WITHIN
from coach.language.word_forms import stem

_COUNT = "one|two|three|four|five|six|both|them|these|those"
_PARTIAL = re.compile(
    r"\b(?:"
    rf"(?:one|two|three|some|most|half|part|a few|neither|either) of (?:the |my |his |her |its )?"
    rf"(?:other )?(?:{_COUNT})\b"
    r"|(?:most|only part|some) of (?:the|my|his|her|it)\b"
    r"|(?<!up )(?<!hurt )a bit(?! (?:of|further|more|later|longer|higher|lower|closer|deeper))"
    r"|(?:bit|little) by (?:bit|little)"
    r"|(?:i|we|he|she|it|mouth|chest|mask|\w+'s) only "
    r"(?!.*\b(?:as|when|until|once|after|then|so)\b)"
    r"|(?:with|using) (?:only |just )?one (?:hand|finger)"
    r"|partially|somewhat|mostly|ish|as good as|so far"
    r"|(?:in|on|at|over|from) (?:the |only )?one (?:side|foot|leg|arm|hand|lung|ear|eye|limb)\b"
    r"(?!.*\b(?:other|both)\b)"
    r"|(?:tilted|leans|leaning|hangs) to one side|toward (?:closed|open|off)"
    r"|(?:wrong|opposite) "
    r"(?:foot|leg|arm|limb|side|hand|wrist|knee|eye|lung)"
    r"|two thirds|three quarters|quarter turn from"
    r"|(?:for|in|after) (?:like )?(?:a|one|half a) (?:moment|second)"
    r"(?= (?:and|then|or|until|but|$)|$)"
    r")"
)
"""Of several only some, or not all of the way."""

_CARELESS = frozenset(
    "loosely lopsided sideways halfheartedly sloppy hanging hangs dangling dangles wobbles wobbling"
    " flopped sinking yanked yank shoved shove jammed slammed tossed rammed crammed torn tore"
    " snapped backward".split()
)
"""Carelessly, or as it should not lie."""

_RIPPED = re.compile(
    r"\bripped (?!(?:\w+ ){0,3}(?:package|wrapper|packet|pouch|foil|shirt|sleeve|trousers|pants"
    r"|clothes|clothing|jacket|tape))"
)

_STUCK = re.compile(
    r"\b(?:is|it's|are|got|gets|was) (?:still )?(?:stuck|caught)\b(?! (?:on|to|down))"
)

_MY_OWN = re.compile(
    r"\b(?:on|with|in|into|against|by) my (?:own )?(?P<thing>shirt|sleeve|trousers|pants|jeans"
    r"|jacket|teeth|foot|feet|mouth|pocket|elbow|lap|hair|coat|uniform|boot|shoe|mind|head|spit"
    r"|eyes)\b"
)
"""The speaker's own clothes and body are no means of it."""

_AMID = re.compile(
    r"\b(?:with|while) (?:(?:the|my|his|her|its|any|some|a) )?(?:\w+ ){0,3}?"
    r"(?:still(?! (?:hold|keep|support|ha|be))|running|flowing|moving"
    r"|coughing|screaming|hissing|leaking|bleeding)\b"
    r"(?! (?:water|blood))"
)
"""While something is so that has to be otherwise first."""

_OPPOSITES = (
    ("away", "toward"),
    ("away", "towards"),
    ("loose", "tight"),
    ("loose", "firm"),
    ("loose", "snug"),
    ("loosely", "tight"),
    ("inner", "outer"),
    ("near", "far"),
    ("far", "near"),
    ("outside", "inside"),
    ("inside", "outside"),
    ("wet", "dry"),
    ("fast", "slow"),
    ("quickly", "slow"),
    ("upper", "lower"),
    ("below", "above"),
    ("above", "below"),
    ("behind", "front"),
    ("bottom", "top"),
    ("crooked", "straight"),
    ("sitting", "lying"),
    ("dirty", "clean"),
    ("old", "new"),
    ("used", "new"),
    ("dull", "sharp"),
)
"""Words of which the first spoils what a step asks for by the second."""


def opposite(texts: tuple[str, ...], own: frozenset[str]) -> bool:
    """Whether a word tells the opposite of what a step's own words (stems) ask for.

    "I rolled him away from me" where it is toward; a step that names both knows what it means.
    """
    at_once = {("right", "away"), ("straight", "away")}
    told = [w for before, w in pairwise(["", *_affirmed(texts)]) if (before, w) not in at_once]
    said = {stem(text) for text in told}
    return any(
        stem(wrong) in said
        and stem(wrong) not in own
        and stem(right) in own
        and stem(right) not in said
        for wrong, right in _OPPOSITES
    )


def _affirmed(texts: Sequence[str]) -> list[str]:
    """The words but those right after a denial: "the yoke isn't loose"."""
    return [
        text
        for at, text in enumerate(texts)
        if NEGATORS.isdisjoint(texts[max(0, at - DENIED_WITHIN) : at])
    ]


def in_part(texts: Sequence[str], own: frozenset[str]) -> bool:
    """Whether a clause tells that an act was done in part, or while something else still was so.

    `own` are the stems of a step's own words, which tell its right manner.
    """
    text = " ".join(without_degrees(texts))
    found = (told for pattern in (_PARTIAL, _STUCK, _AMID) for told in pattern.finditer(text))
    return any(not _knows(own, told[0]) for told in found)


def carelessly(texts: Sequence[str], own: frozenset[str]) -> bool:
    """Whether words tell that an act was done without care, or with what is no tool for it."""
    if any(text in _CARELESS and stem(text) not in own for text in _affirmed(texts)):
        return True
    text = " ".join(texts)
    if _RIPPED.search(text) and stem("ripped") not in own:
        return True
    return any(stem(found["thing"]) not in own for found in _MY_OWN.finditer(text))


_SMALL = frozenset(
    "of the my his her its a an is are it's for in after with while by as so".split()
)


def _knows(own: frozenset[str], text: str) -> bool:
    """Whether a step's own words hold all that weighs in a text."""
    return all(stem(word) in own for word in text.split() if word not in _SMALL)
