"""Calls for help that are done by saying them to somebody: "you, get the defibrillator"."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.clause import Clause, Mood
from coach.language.clause_words import NEGATORS, SUPPOSING
from coach.language.match import Match

SENDING = frozenset("call get bring send fetch grab dial".split())
HELP = frozenset(
    "help ambulance backup crew medic medics paramedic paramedics als aed defibrillator defib"
    " advanced emergency 911 nine".split()
)
SENT = frozenset("you somebody someone anybody".split())
ONLY_SAID = frozenset("should must would might may need needs if did were was".split())
"""Words of advice and of talk, which send nobody."""

LONGEST_ADDRESS = 7
"""Words before the verb that say who is meant: "you there in the red shirt"."""


def sent_for(matches: Sequence[Match], clause: Clause) -> list[Match]:
    """Of the matches in words to somebody else those that send him for help.

    "You in the red shirt, call an ambulance", "somebody get the AED", "can you call for help".
    """
    texts = clause.texts
    verb = next((n for n, text in enumerate(texts) if text in SENDING), None)
    if clause.mood not in {Mood.SUPPOSED, Mood.QUESTION} or clause.head in SUPPOSING:
        return []
    if verb is None or verb > LONGEST_ADDRESS or not SENT & set(texts[:verb]):
        return []
    if (ONLY_SAID | NEGATORS) & set(texts):
        return []
    words = {word.place: word.text for word in clause.words}
    return [
        match
        for match in matches
        if any(words.get(p) in SENDING for p in match.places)
        and any(words.get(p) in HELP for p in match.places)
        and not match.denied
    ]
