"""An utterance in clauses: what is said plainly, denied, asked, planned, or only thought of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

from coach.language.afterthoughts import doubted
from coach.language.asking import asks_for, asks_indirectly
from coach.language.clause_words import (
    ADVICE,
    AS_A_RULE,
    ASKED_BY_ME,
    ASKED_OF_YOU,
    ASKS,
    AUXILIARIES,
    AWAY_FROM_ALL,
    BE,
    BREAKS,
    COMPLAINT,
    CROWD,
    DATES,
    DETERMINERS,
    DOINGS,
    ELSEWHEN,
    FAMILY,
    FINDS_FAULT,
    FIRST_PERSON,
    FOLLOWING,
    HALF_DONE,
    LONG_AGO,
    NEGATORS,
    NEW_SUBJECTS,
    NOT_DONE,
    NOT_THINGS,
    OF_A_LIFE,
    OMISSIONS,
    OTHERS,
    OWN,
    PAST,
    PLACING_WORDS,
    PLANS,
    PUT_AWAY,
    QUESTION_HEADS,
    REQUESTS,
    SEATED,
    SENSES,
    SHOWING,
    SUBJECTS,
    SUPPOSING,
    TAKEN_TODAY,
    TELLING,
    TELLS,
    WITNESSED,
)
from coach.language.everyday import EVERYDAY
from coach.language.hedges import is_hedged, is_only_hedge
from coach.language.manner import mild, without_denied_faults
from coach.language.new_statements import starts_anew
from coach.language.others_doing import in_vain, not_ours
from coach.language.word_forms import stem

AFTER_WHICH = frozenset("i we you i'd we'd i've we've".split())
"""Words with which a statement of its own begins after "after"."""


class Mood(StrEnum):
    """How a clause speaks of what it speaks of.

    A HEDGED one denies, but confirms nothing; of the doings of OTHERS only what was found counts.
    What is AMISS ("too small", "full of blood") counts where it is a finding of a step. What was
    EARLIER ("he had a stroke last year") counts where the history is told, and is no finding now.
    What is of the patient's LIFE ("she had breakfast", "it began yesterday") counts only for steps
    that ask for it. What was ASKED ("I asked whether he takes any") counts for steps that ask.
    """

    PLAIN = "plain"
    QUESTION = "question"
    PLAN = "plan"
    HEDGED = "hedged"
    SUPPOSED = "supposed"
    OTHERS = "others"
    AWAY = "away"
    AMISS = "amiss"
    EARLIER = "earlier"
    LIFE = "life"
    ASKED = "asked"


@dataclass(frozen=True, slots=True)
class Word:
    """One word at its place in the utterance."""

    text: str
    stem: str
    place: int


@dataclass(frozen=True, slots=True)
class Clause:
    """Words between two breaks, in one mood; `ands` are the places of "and" within it.

    `head` is the word that opened it ("if", "then"), "" for none.
    """

    words: tuple[Word, ...]
    mood: Mood = Mood.PLAIN
    ands: tuple[int, ...] = ()
    head: str = ""

    @property
    def texts(self) -> list[str]:
        """The words as said."""
        return [word.text for word in self.words]


def clauses(
    words: Sequence[str],
    breaks: Sequence[bool],
    asked: bool = False,
    everyday: frozenset[str] = EVERYDAY,
) -> list[Clause]:
    """Split words (with `breaks[i]` true where punctuation follows word i) into clauses.

    `asked`: the utterance ends in a question mark, so its last clause is a question. `everyday`:
    the words of home and street that tell of something else than the skill.
    """
    spans: list[list[int]] = [[]]
    heads: list[str] = [""]
    passed_over = mild(words)
    for place, word in enumerate(words):
        sofar = [words[earlier] for earlier in spans[-1]]
        verb = word == "and" and _new_verb(words[place + 1 : place + 3], sofar)
        later = word == "after" and not AFTER_WHICH.isdisjoint(words[place + 1 : place + 2])
        as_often = word == "once" and (
            words[place - 1 : place] == ["at"]
            or words[place + 1 : place + 2] in (["again"], ["more"], ["with"], ["gently"], ["and"])
        )
        as_often = as_often or (word == "before" and sofar[-1:] == ["from"])
        as_often = as_often or (word == "so" and sofar[-1:] == ["not"])
        but_well = word == "but" and place - 1 in passed_over and sofar[-1:] and sofar[-1] in BE
        opens = (
            (word in BREAKS and not as_often and not but_well and not asks_for(word, sofar))
            or verb
            or later
            or (word == "and" and _new_subject(words, place + 1, sofar))
            or (word == "and" and heads[-1] == "when" and _goes_on_with_no(words, place, spans))
        )
        if starts_anew(words, place, sofar):
            spans.append([])
            heads.append("")
        instead = word in {"instead", "rather"} and words[place + 1 : place + 2] in (
            ["of"],
            ["than"],
        )
        if (opens or instead) and spans[-1]:
            spans.append([])
            heads.append("")
        if opens or instead:
            heads[-1] = "instead" if instead else "so" if verb else word
        if not opens and not but_well and place not in passed_over:
            spans[-1].append(place)
        goes_on = _is_list(words, breaks, spans[-1], place + 1) or _contrasts(words, place + 1)
        if breaks[place] and spans[-1] and not goes_on:
            spans.append([])
            heads.append("")
    result: list[Clause] = []
    padded = AWAY_FROM_ALL.sub(" ", f" {' '.join(words)} ")
    if OWN.isdisjoint(words):
        padded = TAKEN_TODAY.sub(" ", padded)
    elsewhen = any(f" {phrase} " in padded for phrase in ELSEWHEN)
    filled = [(span, head) for span, head in zip(spans, heads, strict=True) if span]
    told = [([words[place] for place in span], head) for span, head in filled]
    others, vainly, doubts = not_ours(told), in_vain(told), doubted(told)
    for number, (span, head) in enumerate(filled):
        texts = [words[place] for place in span]
        last = number == len(filled) - 1
        mood = _mood(texts, head, asked and last, everyday)
        after_supposing = number and filled[number - 1][1] in SUPPOSING | {"after"} - {"because"}
        if (
            mood is Mood.PLAIN
            and after_supposing
            and texts[0] in FIRST_PERSON
            and not _is_past(texts)
        ):
            mood = Mood.PLAN
        if (
            mood is Mood.PLAIN
            and head in FOLLOWING
            and result
            and result[-1].mood is not Mood.PLAIN
            and not _is_past(texts)
            and not any(word in OWN for word in texts)
        ):
            mood = result[-1].mood
        if (
            mood in {Mood.PLAIN, Mood.HEDGED, Mood.LIFE}
            and elsewhen
            and not any(stem(t) in DATES for t in texts)
        ):
            mood = _of_another_time(mood, padded, texts)
        if mood in {Mood.PLAIN, Mood.HEDGED} and number in others:
            mood = Mood.EARLIER
        mood = Mood.QUESTION if number in vainly else mood
        mood = Mood.HEDGED if mood is Mood.PLAIN and number in doubts else mood
        if mood is Mood.HEDGED and is_only_hedge(texts) and result:
            if result[-1].mood is Mood.PLAIN:
                result[-1] = replace(result[-1], mood=Mood.HEDGED)
        elif mood is Mood.PLAIN and number == 1 and is_only_hedge(result[0].texts):
            mood = Mood.HEDGED
        result.append(
            Clause(
                tuple(Word(words[place], stem(words[place]), place) for place in span),
                mood,
                tuple(place for place in span if words[place] in {"and", "plus"}),
                head,
            )
        )
    return result


def _of_another_time(mood: Mood, padded: str, texts: Sequence[str]) -> Mood:
    """The mood of what is told of another time, which may be the patient's history."""
    if LONG_AGO.search(padded) and OWN.isdisjoint(texts):
        return Mood.EARLIER
    of_a_life = mood in {Mood.PLAIN, Mood.LIFE} and _is_of_a_life(texts, padded)
    return Mood.LIFE if of_a_life else Mood.SUPPOSED


def _goes_on_with_no(words: Sequence[str], place: int, spans: Sequence[Sequence[int]]) -> bool:
    """Whether what is not there is told on: "no answer when I call and no cough"."""
    told = len(spans) > 1 and bool(spans[-2]) and words[spans[-2][0]] in NEGATORS
    following = [word for word in words[place + 1 : place + 3] if word not in {"um", "uh"}]
    return told and following[:1] == ["no"]


def _is_list(words: Sequence[str], breaks: Sequence[bool], span: list[int], start: int) -> bool:
    """Whether a pause only parts one thing named from the next: "my gloves, goggles and mask"."""
    end = next((p + 1 for p in range(start, len(words)) if breaks[p]), len(words))
    here, following = [words[p] for p in span], list(words[start:end])
    if not following or any(word in NEGATORS for word in (*here, *following)):
        return False
    if _only_things(here):
        return True
    if not _only_things(following):
        return False
    last = next((p + 1 for p in range(end, len(words)) if breaks[p]), len(words))
    beyond = words[end:last]  # "..., and my gloves, goggles and mask are on" is a list of its own
    return not any(word in BE for word in beyond) or beyond[0] in SUBJECTS


def _contrasts(words: Sequence[str], start: int) -> bool:
    """Whether what follows only tells how or where it is not: "above the joint, not on it"."""
    following = list(words[start : start + 2])
    return following[:1] == ["not"] and following[-1] in PLACING_WORDS | DETERMINERS


def _only_things(texts: list[str]) -> bool:
    things = [word for word in texts if word not in DETERMINERS | {"and", "on"}]
    return 0 < len(things) <= 3 and not any(
        word in BE | NOT_THINGS | PAST | BREAKS | AUXILIARIES or word.endswith(("ed", "ing", "ly"))
        for word in things
    )


def _new_subject(words: Sequence[str], start: int, before: Sequence[str]) -> bool:
    """Whether a new statement begins at `start`; "my gloves and my goggles are on" is only one."""
    following = list(words[start : start + 4])
    if not following:
        return False
    if following[0] in NEW_SUBJECTS:
        return True
    said = _is_past(["", *before]) or any(w in BE or w.endswith("ing") for w in before)
    said = said or (len(before) > 1 and before[0] in {"it", "they"})  # "they move and the ..."
    return said and following[0] in DETERMINERS and any(word in BE for word in following[1:])


def _new_verb(following: Sequence[str], before: Sequence[str]) -> bool:
    """Whether "and" begins a second act with its own object: "closed the kit and opened the valve".

    What is denied or planned goes on instead ("I haven't opened it and checked the joint").
    """
    if len(following) < 2 or any(word in NEGATORS | OMISSIONS for word in before):
        return False
    acts = following[0] in DOINGS - {"took"} or following[0].endswith(("ed", "ing"))
    return acts and following[1] in DETERMINERS and _mood(list(before), "", False) is Mood.PLAIN


def _mood(texts: list[str], head: str, asked: bool, everyday: frozenset[str] = EVERYDAY) -> Mood:
    if asked:
        return Mood.QUESTION
    lead = [word for word in texts if word not in {"um", "uh", "okay", "ok", "and", "coach", "hey"}]
    if lead[:1] and (
        lead[0] in QUESTION_HEADS
        or (lead[0] in ASKS and len(lead) > 2)
        or (lead[0] in TELLS and "me" in lead[:3])
        or (
            lead[0] in AUXILIARIES
            and len(lead) > 1
            and (lead[1] in SUBJECTS or _asks_of_a_thing(lead[0], lead[1]))
        )
        or (lead[0] in {"do", "does"} and lead[-1] in {"next", "now", "first"})
        or (lead[0] == "any" and len(lead) == 2)
    ):
        return Mood.QUESTION
    if any(a in ASKED_OF_YOU and b == "you" for a, b in pairwise(texts)):
        return Mood.QUESTION
    if " ".join(lead[:2]) in REQUESTS:
        return Mood.QUESTION
    shown = SHOWING.sub("", " ".join(texts)).split()
    others = {"you", "your"} & set(shown) and not OWN & set(texts)
    if not lead:
        return Mood.PLAIN
    not_yet = head == "after" and not _is_past(texts)
    if head in SUPPOSING or head == "instead" or others or not_yet:
        return Mood.SUPPOSED
    bid = 2 if lead[:2] == ["do", "not"] else int(lead[0] in {"don't", "dont"})
    bidding = bid and not SENSES & set(lead[bid : bid + 1])
    crowd = lead[0] in CROWD and not BE & set(lead[1:2])
    if bidding or ADVICE.search(" ".join(lead)) or crowd or _acts_itself(lead):
        return Mood.SUPPOSED
    if _is_done_by_family(lead):
        return Mood.OTHERS
    # "he opened his eyes" and "he pulls away" are told of the patient
    own_eyes = "eyes" in lead or "away" in lead[2:4]
    if lead[0] in OTHERS and any(word in DOINGS for word in lead[1:3]) and not own_eyes:
        return Mood.OTHERS
    padded = f" {' '.join(texts)} "
    if everyday & set(texts) and not _is_of_the_patient(texts):
        return Mood.SUPPOSED
    if NOT_DONE.search(padded):
        return Mood.SUPPOSED
    if complaint := COMPLAINT.search(without_denied_faults(padded)):
        return Mood.AMISS if complaint[0].startswith(FINDS_FAULT) else Mood.SUPPOSED
    if PUT_AWAY.search(padded) and not SEATED.search(padded):
        return Mood.AWAY
    told = any(word in TELLING for word in texts) and texts[0] not in {"i'll", "let"}
    told = told or lead[:2] in (["i", "tell"], ["i", "explain"]) or lead[:2] == ["i'm", "telling"]
    moving = any(_contains(texts, ("going", "to", word)) for word in DETERMINERS)
    planned = any(
        _contains(texts, plan) for plan in PLANS if not (moving and plan == ("going", "to"))
    )
    if (planned and not told) or HALF_DONE.search(padded):
        return Mood.PLAN
    if asks_indirectly(texts):
        return Mood.ASKED
    hedged = is_hedged(texts) or AS_A_RULE.search(padded)
    if everyday & set(texts):
        return Mood.SUPPOSED if hedged else Mood.LIFE
    return Mood.HEDGED if hedged else Mood.PLAIN


def _is_of_the_patient(texts: Sequence[str]) -> bool:
    """Whether nothing of the speaker is told, but what he asked."""
    return OWN.isdisjoint(texts) or " ".join(texts[:2]) in ASKED_BY_ME


def _is_of_a_life(texts: Sequence[str], padded: str) -> bool:
    """Whether what is told of another time may be of the patient, and of nobody else."""
    others = OF_A_LIFE.sub("", padded)
    elsewhen = any(f" {phrase} " in others for phrase in ELSEWHEN)
    return _is_of_the_patient(texts) and not elsewhen


def told_plan(clause: Clause) -> int | None:
    """The place where a plan begins in what was told: "I told him | I'll prick his finger"."""
    texts = clause.texts
    tellings = [n for n, word in enumerate(texts) if word in TELLING]
    if clause.mood is not Mood.PLAIN or not tellings:
        return None
    starts = range(tellings[0] + 1, len(texts))
    begun = (n for n in starts if any(tuple(texts[n : n + len(p)]) == p for p in PLANS))
    first = next(begun, None)
    return None if first is None else clause.words[first].place


def _acts_itself(texts: list[str]) -> bool:
    """Whether somebody else is the doer: "the cat opened its mouth"."""
    if len(texts) < 4 or texts[0] not in DETERMINERS:
        return False
    return texts[2] in DOINGS and texts[3] in DETERMINERS


def _is_done_by_family(texts: list[str]) -> bool:
    """Whether one of the patient's people is the doer: "his wife gave him the aspirin"."""
    if len(texts) < 3 or texts[0] not in {"his", "her", "their", "the"}:
        return False
    verb = texts[2]
    does = verb in DOINGS | PAST - BE or verb.endswith("ed")
    return texts[1] in FAMILY and does and verb not in TELLING | WITNESSED


def _asks_of_a_thing(verb: str, following: str) -> bool:
    """ "Is the mask on" asks; "have my gloves on" and "did a jaw thrust" tell."""
    return following in DETERMINERS and verb != "have" and not (verb == "did" and following in "an")


def _is_past(texts: list[str]) -> bool:
    return any(word.endswith("ed") or word in PAST for word in texts[1:]) or texts[0] == "i've"


def _contains(texts: list[str], run: tuple[str, ...]) -> bool:
    return any(tuple(texts[i : i + len(run)]) == run for i in range(len(texts) - len(run) + 1))
