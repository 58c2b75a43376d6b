"""How much of it is seen at a patient ("kinda pale", "a bit sweaty"), which is a finding and no
doubt of it, nor an act done in part."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.clause_words import OWN

_DEGREE = (
    r"(?:(?:kind|sort) of|kinda|sorta|more or less|(?:just )?a (?:little )?bit|a little|somewhat"
    r"|pretty|fairly|mostly|seems?|slightly)"
)
_SEEN = (
    r"(?:pale|cool|cold|clammy|sweaty|gray|grey|blue|bluish|dusky|ashen|flushed|pink|mottled|moist"
    r"|damp|wet|warm|hot|dry|fast|rapid|quick|slow|weak|thready|bounding|irregular|shallow|labored"
    r"|noisy|raspy|hoarse|wheezy|gurgly|confused|drowsy|sleepy|groggy|anxious|restless|agitated"
    r"|upset|scared|nervous|tired|exhausted|dizzy|shaky|sick|nauseous|sore|tender|swollen|puffy"
    r"|stiff|numb|tingly|bruised|short of breath|out of breath|tight|heavy|slurred|droopy"
    r"|crooked|uneven|lopsided|out of it|better|worse|calmer|pinker|warmer|easier)"
)
_OF_THE_PATIENT = re.compile(
    r" (?:he|she|he's|she's|him|patient|patient's|baby|baby's|child|skin|skin's|pulse"
    r"|breathing|breaths|breath|face|lips|hands|fingers|feet|belly|chest|arm|leg|ankle|wrist|knee"
    r"|elbow|speech|pain|pain's|color|color's) "
)
_DEGREE_OF_IT = re.compile(rf"(?: {_DEGREE})+(?= (?:{_SEEN}) )")


def without_degrees(texts: Sequence[str]) -> tuple[str, ...]:
    """The words without how much of it is seen; as they are where the speaker tells of himself.

    "Her strap is a bit tight" and "I pushed kinda fast" keep theirs.
    """
    padded = f" {' '.join(texts)} "
    if not OWN.isdisjoint(texts) or not _OF_THE_PATIENT.search(padded):
        return tuple(texts)
    return tuple(_DEGREE_OF_IT.sub("", padded).split())
