"""Where another statement begins though no pause was heard: a recogniser writes no punctuation."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.clause_words import (
    AUXILIARIES,
    BE,
    BEFORE_WAITING,
    DETERMINERS,
    DOINGS,
    FIRST_PERSON,
    GO_ON,
    NEGATORS,
    NEW_STARTS,
    NO_NEW_I,
    NO_NEW_I_AFTER,
    NOT_A_NEW_NO,
    OMISSIONS,
    REPAIRS,
    SUBJECTS,
    TAKES_A_THING,
    TELLING,
    VERB_NEGATORS,
)

_SUBJECTS = frozenset("he she they we he's she's they're we're".split())
"""Words that are nothing but the doer, so that a statement begins with them."""

_TOLD = frozenset("him her them you us".split())
"""Those to whom something is told: what follows is what they are told."""

_DOERS = frozenset("i i've i'm i'd i'll we we're have had was were am could would".split())
_PLANNERS = frozenset("i'd i'll we'll".split())
_COPULAS = BE | frozenset("looks look seems feels sounds".split())
_FINITE = BE | AUXILIARIES | VERB_NEGATORS
_LONGEST_SUBJECT = 3
"""Words of a thing that is spoken of, after its "the"."""


def starts_anew(words: Sequence[str], place: int, sofar: Sequence[str]) -> bool:
    """Whether the word at `place` begins another statement than the words `sofar` before it."""
    word = words[place]
    if not sofar:
        return False
    before = sofar[-1]
    if word in REPAIRS:
        return len(sofar) > 2 and before not in BEFORE_WAITING
    goes_on = before in NO_NEW_I | GO_ON | AUXILIARIES | NEGATORS
    if word in FIRST_PERSON | _PLANNERS:
        return len(sofar) > 2 and before not in NO_NEW_I | NO_NEW_I_AFTER
    if len(sofar) < 2 or before in TELLING or (before in _TOLD and sofar[-2] in TELLING):
        return False
    if word in NEW_STARTS | _SUBJECTS:
        return not goes_on
    following = words[place + 1] if place + 1 < len(words) else ""
    if word in {"it", "this", "that"}:
        if word == "that" and sofar[-2] in DETERMINERS:
            return False  # "the shirt that was stuck to the burn"
        return not goes_on and before not in TAKES_A_THING and following in _FINITE
    if word in DETERMINERS:
        return not goes_on and before not in TAKES_A_THING and _is_subject(words, place, sofar)
    if word == "no":
        return _is_new_no(words, place, sofar)
    return (
        word in DOINGS and len(sofar) == 2 and sofar[0] in {"he", "she"} and (before.endswith("ed"))
    )


def _is_subject(words: Sequence[str], place: int, sofar: Sequence[str]) -> bool:
    """Whether the thing named there is what the next verb is about: "the meter is on"."""
    if sofar[-1] in NEGATORS | OMISSIONS or sofar[-2] in _DOERS:
        return False  # "I thought the mouth was clear" is one statement
    for at in range(place + 2, min(place + 2 + _LONGEST_SUBJECT, len(words))):
        if words[at] in BE:
            return True
        if words[at] in DETERMINERS | TAKES_A_THING | NO_NEW_I | SUBJECTS:
            return False
    return False


def _is_new_no(words: Sequence[str], place: int, sofar: Sequence[str]) -> bool:
    """Whether a "no" after a state tells of something else: "the date is good, no damage"."""
    following = words[place + 1] if place + 1 < len(words) else ""
    if not following or following in NOT_A_NEW_NO:
        return False
    told = any(word in _COPULAS for word in sofar[:-1]) and not any(w in NEGATORS for w in sofar)
    return told and sofar[-1] not in _COPULAS | TAKES_A_THING | GO_ON | NO_NEW_I
