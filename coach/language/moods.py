"""How a clause by itself speaks of what it speaks of: asked, planned, of others, plainly told."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from coach.language.asking import asks_indirectly
from coach.language.clause import Mood
from coach.language.clause_words import (
    ADVICE,
    AS_A_RULE,
    ASKED_BY_ME,
    ASKED_OF_YOU,
    ASKS,
    AUXILIARIES,
    BE,
    COMPLAINT,
    CROWD,
    DETERMINERS,
    DOINGS,
    FAMILY,
    FINDS_FAULT,
    HALF_DONE,
    NOT_DONE,
    OTHERS,
    OWN,
    PAST,
    PLANS,
    PUT_AWAY,
    QUESTION_HEADS,
    REQUESTS,
    SEATED,
    SENSES,
    SHOWING,
    SUBJECTS,
    SUPPOSING,
    TELLING,
    TELLS,
    WITNESSED,
)
from coach.language.degrees import without_degrees
from coach.language.everyday import EVERYDAY
from coach.language.hedges import is_hedged
from coach.language.manner import without_denied_faults
from coach.language.regrets import regretted

HAD_DONE = re.compile(
    r"^(?:and |but |so )?(?:(?:i|we) had|having) (?:already |just |first |even )?"
    r"(?:\w+ed|put|done|taken|given|drawn|cut|set|shut|made|found|felt|let|run|hung|held)\b"
)
"""What was done before all that was told so far: "I shut it. I had oiled it"."""

WHEN_DONE = frozenset("once when before".split())
"""Words that open a condition, but also what was done before something else."""

_LEADS = frozenset("um uh okay ok and coach hey hi hello sir ma'am madam miss mister buddy".split())
"""Words before a clause that tell nothing of how it is meant."""


def mood_of(
    texts: Sequence[str], head: str, asked: bool, everyday: frozenset[str] = EVERYDAY
) -> Mood:
    """The mood of a clause of these words, opened by `head`; `asked`: a question mark ends it."""
    lead = [word for word in texts if word not in _LEADS]
    if asked or _asks(texts, lead):
        return Mood.QUESTION
    if not lead:
        return Mood.PLAIN
    if _is_supposed(texts, lead, head):
        return Mood.SUPPOSED
    if _is_done_by_family(lead) or _is_done_by_another(lead):
        return Mood.OTHERS
    at_home = bool(everyday & set(texts))
    if at_home and not is_of_the_patient(texts):
        return Mood.SUPPOSED
    padded = f" {' '.join(texts)} "
    if amiss := _amiss(padded):
        return amiss
    if _is_planned(texts, lead) or HALF_DONE.search(padded):
        return Mood.PLAN
    if asks_indirectly(texts):
        return Mood.ASKED
    hedged = is_hedged(without_degrees(texts)) or AS_A_RULE.search(padded)
    if at_home:
        return Mood.SUPPOSED if hedged else Mood.LIFE
    return Mood.HEDGED if hedged else Mood.PLAIN


def tells_plainly(texts: Sequence[str]) -> bool:
    """Whether a clause of these words tells plainly what is."""
    return mood_of(texts, "", asked=False) is Mood.PLAIN


def tells_what_was_done_first(texts: Sequence[str], head: str) -> bool:
    """Whether a condition is none, but what was done: "once I had shut it", "before that I did"."""
    if head == "before":
        own = texts[0] in {"that", "this"} and texts[1:2] in (["i"], ["we"])
        return own and is_past(texts[1:])
    return HAD_DONE.search(" ".join(texts)) is not None


def is_past(texts: Sequence[str]) -> bool:
    """Whether a clause tells of what is over."""
    return any(word.endswith("ed") or word in PAST for word in texts[1:]) or texts[0] == "i've"


def is_of_the_patient(texts: Sequence[str]) -> bool:
    """Whether nothing of the speaker is told, but what he asked."""
    return OWN.isdisjoint(texts) or " ".join(texts[:2]) in ASKED_BY_ME


def contains(texts: Sequence[str], run: tuple[str, ...]) -> bool:
    """Whether words stand in a text one after the other."""
    return any(tuple(texts[i : i + len(run)]) == run for i in range(len(texts) - len(run) + 1))


def _asks(texts: Sequence[str], lead: Sequence[str]) -> bool:
    """Whether its words make a clause a question or a request."""
    if any(a in ASKED_OF_YOU and b == "you" for a, b in pairwise(texts)):
        return True
    if not lead:
        return False
    first, following = lead[0], (*lead[1:2], "")[0]
    if first in QUESTION_HEADS or " ".join(lead[:2]) in REQUESTS:
        return True
    if first in AUXILIARIES and (following in SUBJECTS or _asks_of_a_thing(first, following)):
        return True
    return (
        (first in ASKS and len(lead) > 2)
        or (first in TELLS and "me" in lead[:3])
        or (first in {"do", "does"} and lead[-1] in {"next", "now", "first"})
        or (first == "any" and BE.isdisjoint(lead))
    )


def _asks_of_a_thing(verb: str, following: str) -> bool:
    """ "Is the mask on" asks; "have my gloves on" and "did a jaw thrust" tell."""
    things = DETERMINERS | {"these", "those"}
    return following in things and verb != "have" and not (verb == "did" and following in "an")


def _is_of_somebody_else(texts: Sequence[str]) -> bool:
    """Whether it tells "you" something, and nothing of the speaker, but what is seen."""
    told = " ".join(word for word in texts if word not in _LEADS)
    shown = SHOWING.sub("", told).removesuffix(" for you").split()
    return bool({"you", "your"} & set(shown)) and OWN.isdisjoint(texts)


def _is_supposed(texts: Sequence[str], lead: Sequence[str], head: str) -> bool:
    """Whether a clause names a condition, bids somebody something, or tells of things at large."""
    over = head in WHEN_DONE and tells_what_was_done_first(texts, head)
    not_yet = head == "after" and not is_past(texts)
    if not over and (head in SUPPOSING or not_yet):
        return True
    if head == "instead" or _is_of_somebody_else(texts):
        return True
    bid = 2 if lead[:2] == ["do", "not"] else int(lead[0] in {"don't", "dont"})
    if bid and not SENSES & set(lead[bid : bid + 1]):
        return True
    crowd = lead[0] in CROWD and not BE & set(lead[1:2])
    return bool(ADVICE.search(" ".join(lead))) or crowd or _acts_itself(lead)


def _acts_itself(texts: Sequence[str]) -> bool:
    """Whether somebody else is the doer: "the cat opened its mouth"."""
    if len(texts) < 4 or texts[0] not in DETERMINERS:
        return False
    return texts[2] in DOINGS and texts[3] in DETERMINERS


def _is_done_by_family(texts: Sequence[str]) -> bool:
    """Whether one of the patient's people is the doer: "his wife gave him the aspirin"."""
    if len(texts) < 3 or texts[0] not in {"his", "her", "their", "the"}:
        return False
    verb = texts[2]
    does = verb in DOINGS | PAST - BE or verb.endswith("ed")
    return texts[1] in FAMILY and does and verb not in TELLING | WITNESSED


def _is_done_by_another(lead: Sequence[str]) -> bool:
    """Whether somebody else is the doer; not in what is told of the patient: "he opened his eyes",
    "he pulls away"."""
    own = "eyes" in lead or "away" in lead[2:4]
    return lead[0] in OTHERS and not DOINGS.isdisjoint(lead[1:3]) and not own


def _amiss(padded: str) -> Mood | None:
    """How a clause speaks of what is not done, not as it should be, or put away; None of others."""
    if NOT_DONE.search(padded):
        return Mood.SUPPOSED
    if complaint := COMPLAINT.search(without_denied_faults(padded)):
        return Mood.AMISS if complaint[0].startswith(FINDS_FAULT) else Mood.SUPPOSED
    if PUT_AWAY.search(padded) and not SEATED.search(padded):
        return Mood.AWAY
    return None


def _is_planned(texts: Sequence[str], lead: Sequence[str]) -> bool:
    """Whether a clause tells of a plan; telling somebody of it is no plan any more, nor is what
    should have been done."""
    if regretted(texts) is not None:
        return False
    if not TELLING.isdisjoint(texts) and texts[0] not in {"i'll", "let"}:
        return False
    if lead[:2] in (["i", "tell"], ["i", "explain"], ["i'm", "telling"]):
        return False
    moving = any(contains(texts, ("going", "to", word)) for word in DETERMINERS)
    return any(contains(texts, plan) for plan in PLANS if not (moving and plan == ("going", "to")))
