"""Whether somebody is named: who does a step for two has to be said."""

from __future__ import annotations

from coach.language.clause_words import FAMILY

PERSONS = frozenset(
    "i i'm i've i'll i'd me we we're you you're he he's she she's they they're partner partner's "
    "colleague helper assistant".split()
)
"""Words that name a person, whoever it is."""

PEOPLE = FAMILY | frozenset(
    "medic medics paramedic firefighter nurse driver rescuer helper helpers colleagues teammate"
    " instructor student".split()
)
"""Words for somebody beside the patient, who may be asked to lend a hand."""

_SMALL = frozenset("the a an my your our other".split())


def names_somebody(text: str, who: str = "") -> bool:
    """Whether an utterance in plain words names a person; `who` is one, such as "the driver"."""
    return bool((PERSONS | PEOPLE | set(who.lower().split()) - _SMALL) & set(text.split()))
