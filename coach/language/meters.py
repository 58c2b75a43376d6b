"""What a meter shows in place of a number: "HI" and "LO", outside of what it can measure."""

from __future__ import annotations

import re
from enum import StrEnum


class Beyond(StrEnum):
    """On which side of its range a meter has no number."""

    ABOVE = "above"
    BELOW = "below"


_SHOWS = re.compile(
    r"\b(?:says|reads|shows|displays|said|read|showed|showing|reading|saying|flashes|flashing)"
    r" (?:just |only |the word |a )?(?P<word>hi|high|lo|low)\b"
    r"(?! (?:number|sugar|glucose|enough|normal))"
)
_IS = re.compile(
    r"\b(?:meter|glucometer|monitor|display|screen|reading|result)(?:'s| is| was) (?P<word>hi|lo)\b"
)


def beyond_the_meter(text: str) -> Beyond | None:
    """On which side a meter is said to show no number; None where nothing of the kind is told.

    "It is low" judges a number and is none of it; "it reads low" is what stands on the display.
    """
    found = _SHOWS.search(text) or _IS.search(text)
    if found is None:
        return None
    return Beyond.ABOVE if found["word"] in {"hi", "high"} else Beyond.BELOW
