"""What a question after an attempt is about as a whole: the result, the mistakes, the next time."""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import StrEnum


class Asked(StrEnum):
    """What a question is about as a whole."""

    STEP = "step"
    MISSED = "missed"
    GOOD = "good"
    POINTS = "points"
    NEXT = "next"
    TIME = "time"
    HINTS = "hints"
    UNCLEAR = "unclear"
    END = "end"
    UNKNOWN = "unknown"


WHOLE_ENDS = frozenset(
    ("no", "no thanks", "no thank you", "that's all", "that is all", "that's it", "i'm done")
)
ENDS = frozenset("finish finished done enough nothing end stop thanks bye exit quit".split())

EXAMPLES: Mapping[Asked, tuple[str, ...]] = {
    Asked.MISSED: (
        *("what did i miss", "what was missed", "what was wrong", "what went wrong"),
        *("what did i forget", "what did i do wrong", "what was missing", "what were my mistakes"),
        *("did i leave anything out", "where did i lose points"),
    ),
    Asked.GOOD: (
        *("what was good", "what went well", "what did i do well", "what was right"),
        "what did i get right",
    ),
    Asked.POINTS: (
        *("how many points", "what was my score", "how did i do", "did i pass", "how was i"),
        *("how did it go", "am i ready"),
    ),
    Asked.NEXT: (
        *("what next", "what should i practice", "when should i practice again"),
        *("when is my next rehearsal", "when's my next rehearsal", "what should i work on"),
    ),
    Asked.TIME: ("how long did it take", "was i fast enough", "what was my time"),
    Asked.HINTS: ("how many hints", "how many hints did i need"),
    Asked.UNCLEAR: ("what was unclear", "what did you not hear"),
}
"""Ways to ask, for the recogniser; many more are understood."""

_AGAIN = (
    r"(?:again|next|rehears\w*|practi[cs]\w*|repeat|due|redo|train\w*|refresh\w*|retake|try|back)"
)
_LEARN = (
    r"(?:practi[cs]e|rehearse|train|work on|focus on|improve|learn|brush up|study|concentrate"
    r"|change|do (?:next|better|differently|over|again)|get better)"
)
_GOOD = r"(?:good|well|right|all right|alright|okay|ok|fine|correct(?:ly)?|properly|great|nicely)"

_ABOUT: tuple[tuple[Asked, tuple[str, ...]], ...] = (
    (
        Asked.NEXT,
        (
            rf"(?:when|what day|which day|how soon|how often)\b.*\b{_AGAIN}",
            r"how (?:long|many (?:days|weeks)) (?:until|till|before)",
            r"next (?:time|rehearsal|practice|session|training|date|appointment|go)",
            r"what(?:'s| is)? next|when again",
            rf"(?:what|which|how|anything|something|things?)\b.*\b{_LEARN}",
            r"(?:needs?|need to) (?:more )?(?:work|practice|rehears\w+)",
            r"should i (?:do|practi[cs]e|rehearse|repeat)",
        ),
    ),
    (
        Asked.UNCLEAR,
        (
            r"unclear|unsure",
            r"not (?:so |quite |really )?sure|\w+n't (?:so |quite |really )?sure",
            r"(?:did|could|were|was)(?:n't| not)(?: you)? (?:able to )?"
            r"(?:hear|catch|understand|make out|get)",
            r"(?:did|could) you not (?:hear|catch|understand|make out|get)",
            r"you (?:did|could)(?:n't| not) (?:hear|catch|understand|make out|get)",
        ),
    ),
    (Asked.HINTS, (r"hints?|help(?:ed)?",)),
    (Asked.GOOD, (r"strong\w*|strengths?",)),
    (Asked.POINTS, (r"how (?:good|bad|well) (?:was|were|did|am) (?:i|it|that)",)),
    (
        Asked.MISSED,
        (
            r"(?:lose|lost|cost)\b.*\bpoints?",
            rf"(?:not|\w+n't) (?:(?:do|go|so|very|quite|too|really|all|get|anything) )*{_GOOD}",
            r"miss(?:ed|ing)?|forg[eo]t(?:ten)?|skip(?:ped)?|omit(?:ted)?|lack(?:ed|ing)?",
            r"wrong(?:ly)?|mistakes?|errors?|slips?|flaws?|faults?|problems?|weak\w*",
            r"overlook(?:ed)?|(?:was|were|is) off|(?:did|have)(?:n't| not) (?:i |we )?(?:do|done)",
            r"fail(?:ed)? to|bad|badly|poorly|mess(?:ed)?|screw(?:ed)?",
            r"unsafe|dangerous|harm(?:ful|ed)?|hurt|kill(?:ed)?|risky",
            r"(?:leave|left) (?:\w+ )?out|out of order|should i have",
        ),
    ),
    (
        Asked.TIME,
        (
            r"how (?:long|fast|quick(?:ly)?|slow(?:ly)?)",
            r"how (?:much|many) (?:time|minutes|seconds)",
            r"(?:fast|quick|slow) enough|too (?:slow|long|fast|late)",
            r"(?:my|the) time|(?:with)?in (?:the )?time|time limit|over time|take (?:too )?long",
        ),
    ),
    (
        Asked.POINTS,
        (
            r"scores?|scored|points?|results?|grade[sd]?|marks?|verdict|percent(?:age)?|rating",
            r"pass(?:ed)?|fail(?:ed)?|good enough|make it|made it",
            r"how (?:did|was|were|have|am) (?:i|it|that|this|we|my \w+)"
            r"(?: (?:do|go|been|done|doing|perform|look|all|overall))*$",
            r"how (?:it|that|i) (?:went|did|was)",
            rf"(?:am|was|were) (?:i|that|it|we) (?:ready|through|any good|{_GOOD})",
            rf"(?<!what )(?<!which )did i do (?:it |that |all |this )?{_GOOD}",
        ),
    ),
    (
        Asked.GOOD,
        (rf"(?:what|which|anything|something|tell me|did)\b.*\b{_GOOD}",),
    ),
)
"""The words in which each is asked, the first that are found: points lost are mistakes."""

_PATTERNS = tuple((asked, re.compile(rf"\b(?:{'|'.join(ways)})(?!\w)")) for asked, ways in _ABOUT)

TOPICAL = frozenset(
    "a about after again all alright am an and any anything are at attempt back bad badly be"
    " been before best better can coach correct correctly cost could couldn't dangerous date"
    " day did didn't differently do does doing done due else enough error errors exercise"
    " fail failed fast fine focus for forget forgot forgotten from get give go good got grade"
    " great had hard have hear heard help helped here hint hints how hurt i i'm improve in is"
    " it it's just know learn leave left long lose lost made make many mark marks me mess"
    " messed minutes miss missed missing mistake mistakes more much my need needed next not"
    " of off ok okay on ones or order out over overall overlooked part parts pass passed"
    " perform point points practice practicing practise problem problems quick ready really"
    " rehearsal rehearsals rehearse repeat result right run said say score scored seconds"
    " session should show skip skipped slow so some something soon step steps still strength"
    " strengths strong sure take taken tell than that the them there thing things think this"
    " time times to today too took train trained training try unclear understand unsafe until"
    " up verdict want was wasn wasn't way we weak well went were weren't what what's when"
    " when's where which while whole with within work would wrong wrongly you your".split()
)
"""Words of such questions that name no step of their own; they are listened for."""


def topic_of(words: str) -> Asked | None:
    """What words in plain spelling are about as a whole; None where it is nothing of that."""
    return next((asked for asked, pattern in _PATTERNS if pattern.search(words)), None)
