"""What a learner asks the patient: "I asked her when it began", "do you take any medicines"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.clause_words import AUXILIARIES, FAMILY, OWN, QUESTION_HEADS
from coach.language.word_forms import stem

_ASK = frozenset("ask asks asked asking".split())
_ASKED_ONES = frozenset("him her them the his my a patient sir ma'am man woman also again".split())
_QUESTION = QUESTION_HEADS | {"if", "whether"}
_OF_THE_PATIENT = frozenset("you your it this that pain".split())

_LATEST = 3
"""Words before the asking; after more of them another act is told first."""

ASK_STEM = stem("ask")
"""The stem that the own words of a step hold which is done by asking."""


def asks_for(word: str, sofar: Sequence[str]) -> bool:
    """Whether a word goes on with an asking before it: "I asked her | when it began"."""
    if word not in _QUESTION:
        return False
    rest = list(sofar)
    while rest and (rest[-1] in _ASKED_ONES or rest[-1] in FAMILY):
        rest.pop()
    return bool(rest) and rest[-1] in _ASK


def asks_indirectly(texts: Sequence[str]) -> bool:
    """Whether a clause tells of a question that the speaker asked."""
    if texts[0] not in OWN | _ASK | {"and", "so", "then", "um"}:
        return False
    begun = next((at for at, word in enumerate(texts) if word in _ASK), len(texts))
    return begun <= _LATEST and any(asks_for(word, texts[:at]) for at, word in enumerate(texts))


_OWNED = re.compile(
    r"\b(?:is|are) (?:this|that|it|these|those) (?:really )?your (?:own )?(?P<own>\w+)"
    r"|\b(?:is|are) (?:this|that|these|those|the) (?P<yours>\w+) yours\b"
    r"|\b(?:does|do) (?:this|that|these|those|the) (?P<belongs>\w+) belong to you\b"
    r"|\bdo you own (?:this|that|these|those|the) (?P<owned>\w+)"
)

_REQUEST = frozenset("can could will would may might shall should".split())
"""First words with which somebody is asked to do something, and not what was."""


_FOR_LEAVE = re.compile(
    r"^(?:(?:okay|ok|so|and|sir|ma'am|hi|hello|hey) )*(?:(?:may|can|could) i\b"
    r"(?! (?:have|get|borrow) (?!a look)\w)"
    r"|(?:is it|would it be) (?:okay|alright|all right|fine)(?: with you)? (?:if|for me)\b"
    r"|(?:is|are) (?:that|this|you) (?:okay|ok|alright|all right|fine) (?=with (?:you|that|this)\b)"
    r"|(?:do|would) you mind if\b|do i have (?=your (?:permission|consent)\b))"
    r"(?=.*\b(?:you|your)\b|.*\ba look at (?:that|this|it)\b)"
)

LEAVE_STEM = stem("permission")
"""The stem that the own words of a step hold which asks whether something may be done."""


def asks_leave(texts: Sequence[str]) -> bool:
    """Whether somebody is asked whether it may be done: "may I put this splint on your arm"."""
    return _FOR_LEAVE.search(" ".join(texts)) is not None


def asks_whose(texts: Sequence[str]) -> str:
    """The thing that is asked to be the patient's own; "" where none is."""
    found = _OWNED.search(" ".join(texts))
    return next((thing for thing in found.groups() if thing), "") if found else ""


def asks_you(texts: Sequence[str], head: str) -> bool:
    """Whether it asks the patient about himself, and for nothing to be done."""
    own = texts[0] == "any" or not {"you", "your"}.isdisjoint(texts)
    return own and texts[0] not in _REQUEST and asks_the_patient(texts, head)


def asks_the_patient(texts: Sequence[str], head: str) -> bool:
    """Whether a question is one to the patient, and none of what the speaker himself should do."""
    if texts[0] == "any":  # "any allergies to aspirin"
        return OWN.isdisjoint(texts)
    begins = head in _QUESTION or texts[0] in QUESTION_HEADS | AUXILIARIES or "you" in texts
    return begins and bool(_OF_THE_PATIENT & set(texts)) and OWN.isdisjoint(set(texts) - {"me"})
