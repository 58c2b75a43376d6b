"""An utterance in clauses: what is said plainly, denied, asked, planned, or only thought of."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from coach.language.afterthoughts import doubted
from coach.language.clause import Clause, Mood, Word
from coach.language.clause_breaks import spans
from coach.language.clause_words import (
    AWAY_FROM_ALL,
    DATES,
    ELSEWHEN,
    FIRST_PERSON,
    FOLLOWING,
    LONG_AGO,
    NEGATORS,
    OF_A_LIFE,
    OTHERS,
    OWN,
    PLANS,
    SUPPOSING,
    TAKEN_TODAY,
    TELLING,
    VERB_NEGATORS,
)
from coach.language.everyday import EVERYDAY
from coach.language.hedges import is_only_hedge
from coach.language.moods import (
    WHEN_DONE,
    is_of_the_patient,
    is_past,
    mood_of,
    tells_what_was_done_first,
)
from coach.language.others_doing import in_vain, not_ours
from coach.language.word_forms import stem

_ALIKE = (["put"], ["set"], ["cut"], ["let"], ["shut"], ["read"], ["spread"], ["hit"])
"""Verbs whose past is as their present."""

_LATER = frozenset("later after afterwards afterward".split())
_ONCE = frozenset("once when after".split())
"""Words by which a plan is put off, in it and at the head of what stands beside it."""

_WOULD_BE = frozenset("would could might should i'd we'd i'll we'll will".split())
"""Words of what is only thought of or planned."""

_PLAIN_IF_WRITTEN = frozenset({Mood.SUPPOSED, Mood.OTHERS, Mood.AWAY, Mood.AMISS})
"""How a clause may seem to be meant that is a phrase of a step, and is meant as one."""

_WITH_A_BREATH = re.compile(
    r"^(?:he|she|the (?:patient|chest|baby|child)|his chest|her chest) (?:just )?"
    r"(?:breathes|inhales|exhales|sucks|starts to breathe|takes a breath|rises|falls|goes"
    r"|comes)\b"
)
"""With what an act keeps time: "when he breathes out I press" is no condition."""

_YES = frozenset("yes yeah yep yup".split())
_ASKS_WHETHER = frozenset("is are was were do does did have has".split())

CALLED = frozenset("sir ma'am madam miss mister buddy mom dad".split())
"""Who is spoken to at the beginning changes nothing of what is said: "sir, when did it start"."""

_Told = tuple[list[str], str]
"""The words of a clause, and the word that opened it."""


@dataclass(frozen=True, slots=True)
class _Utterance:
    """What is known of all clauses together: which tell of others, of what came to nothing, what
    is doubted afterwards; `padded` are the words, with a space at either end."""

    told: Sequence[_Told]
    padded: str
    elsewhen: bool
    others: frozenset[int]
    vainly: frozenset[int]
    doubts: frozenset[int]

    @property
    def thinks_of_it(self) -> bool:
        """Whether it tells what would be: "once I had shut it I would turn it"."""
        return not _WOULD_BE.isdisjoint(self.padded.split())

    @classmethod
    def of(cls, words: Sequence[str], told: Sequence[_Told]) -> _Utterance:
        """Read from its words and its clauses."""
        padded = AWAY_FROM_ALL.sub(" ", f" {' '.join(words)} ")
        if OWN.isdisjoint(words):
            padded = TAKEN_TODAY.sub(" ", padded)
        elsewhen = any(f" {phrase} " in padded for phrase in ELSEWHEN)
        return cls(told, padded, elsewhen, not_ours(told), in_vain(told), doubted(told))


def clauses(
    words: Sequence[str],
    breaks: Sequence[bool],
    asked: bool = False,
    everyday: frozenset[str] = EVERYDAY,
    written: frozenset[str] = frozenset(),
) -> list[Clause]:
    """Split words (with `breaks[i]` true where punctuation follows word i) into clauses.

    `asked`: the utterance ends in a question mark, so its last clause is a question. `everyday`:
    the words of home and street that tell of something else than the skill. `written`: phrases
    that tell plainly what they say, though it were a bidding in other words ("you take it").
    """
    parts = spans(words, breaks)
    utterance = _Utterance.of(words, [([words[p] for p in span], head) for span, head in parts])
    result: list[Clause] = []
    for number, (span, head) in enumerate(parts):
        texts = [words[place] for place in span]
        mood = mood_of(texts, head, asked and number == len(parts) - 1, everyday)
        meant = mood in _PLAIN_IF_WRITTEN and head not in SUPPOSING | {"instead", "after"}
        as_phrase = meant and without_call(" ".join(texts)) in written
        mood = Mood.PLAIN if as_phrase else mood
        mood = _beside_the_one_before(mood, utterance, number, result)
        mood = _within(mood, utterance, number)
        if mood is Mood.HEDGED and is_only_hedge(texts) and result:
            if result[-1].mood is Mood.PLAIN:
                result[-1] = replace(result[-1], mood=Mood.HEDGED)
        elif mood is Mood.PLAIN and number == 1 and is_only_hedge(result[0].texts):
            mood = Mood.HEDGED
        if result and result[-1].mood is Mood.QUESTION and _affirms(mood, texts, result[-1]):
            result[-1] = replace(result[-1], mood=Mood.PLAIN)
        result.append(
            Clause(
                tuple(Word(words[place], stem(words[place]), place) for place in span),
                mood,
                tuple(place for place in span if words[place] in {"and", "plus"}),
                head,
                written=as_phrase,
            )
        )
    return result


def _affirms(mood: Mood, texts: Sequence[str], question: Clause) -> bool:
    """Whether a yes answers what the speaker asked himself: "is the scene safe, yes"."""
    asked = [text for text in question.texts if text not in CALLED]
    of_itself = bool(asked) and asked[0] in _ASKS_WHETHER and "you" not in asked
    return of_itself and mood is Mood.PLAIN and texts[0] in _YES


def without_call(said: str) -> str:
    """Words without whom they call at the beginning."""
    first, _, rest = said.partition(" ")
    return rest if rest and first in CALLED else said


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


def is_put_off(parts: Sequence[Clause], number: int) -> bool:
    """Whether a plan is for later, and nothing that may be going on: "I'll do it | once we're in".

    What is told between the plan and its "later" is a plan as well: "I should feel it, I'll do that
    after the strap is on".
    """
    for number_after, part in enumerate(parts[number:]):
        if part.mood is Mood.PLAN and not _LATER.isdisjoint(part.texts[1:]):
            return True
        if number_after and part.head in _ONCE and part.mood in {Mood.SUPPOSED, Mood.PLAN}:
            return True
        if part.mood is not Mood.PLAN:
            return False
    return False


def _beside_the_one_before(
    mood: Mood, utterance: _Utterance, number: int, before: Sequence[Clause]
) -> Mood:
    """The mood of a clause that goes on with a condition or a plan told before it."""
    texts, head = utterance.told[number]
    if mood is Mood.PLAIN and head in WHEN_DONE and utterance.thinks_of_it:
        return Mood.SUPPOSED
    if number and head == "so" and _is_purpose(texts, utterance.told[number - 1][0]):
        return Mood.PURPOSE
    if number and head == "after" and mood is Mood.SUPPOSED and _goes_back(texts, before[-1]):
        return Mood.PLAIN
    if mood is not Mood.PLAIN or not number or is_past(texts):
        return mood
    condition = utterance.told[number - 1]
    supposed = condition[1] in SUPPOSING | {"after"} and not _WITH_A_BREATH.search(
        " ".join(condition[0])
    )
    over = condition[1] in WHEN_DONE and tells_what_was_done_first(*condition)
    if supposed and not over and texts[0] in FIRST_PERSON:
        return Mood.PLAN
    if head in FOLLOWING and before[-1].mood is not Mood.PLAIN and OWN.isdisjoint(texts):
        return before[-1].mood
    return mood


def _is_purpose(texts: Sequence[str], before: Sequence[str]) -> bool:
    """Whether "so it can't move" tells what an act is for, and nothing of what is.

    After what is told of the patient or of what is not there it tells what comes of that.
    """
    said = [word for word in texts[:4] if word != "that"]
    about = said[:1] and said[0] not in OWN
    prevented = not VERB_NEGATORS.isdisjoint(said[1:3]) or said[:1] == ["nothing"]
    found = OTHERS | NEGATORS | {"it", "it's", "they", "there", "there's"}
    return bool(about) and prevented and found.isdisjoint(before[:1])


def _goes_back(texts: Sequence[str], before: Clause) -> bool:
    """Whether "after I put it in" tells of what was done, as what it goes on with was."""
    return before.mood is Mood.PLAIN and texts[0] in FIRST_PERSON and texts[1:2] in _ALIKE


def _within(mood: Mood, utterance: _Utterance, number: int) -> Mood:
    """The mood of a clause in an utterance that tells of other times, of others, or of doubts."""
    texts, _ = utterance.told[number]
    told = {Mood.PLAIN, Mood.HEDGED}
    dated = any(stem(word) in DATES for word in texts)
    if mood in told | {Mood.LIFE} and utterance.elsewhen and not dated:
        mood = _of_another_time(mood, utterance.padded, texts)
    if mood in told and number in utterance.others:
        mood = Mood.EARLIER
    if number in utterance.vainly:
        return Mood.QUESTION
    return Mood.HEDGED if mood is Mood.PLAIN and number in utterance.doubts else mood


def _of_another_time(mood: Mood, padded: str, texts: Sequence[str]) -> Mood:
    """The mood of what is told of another time, which may be the patient's history."""
    if LONG_AGO.search(padded) and OWN.isdisjoint(texts):
        return Mood.EARLIER
    of_a_life = mood in {Mood.PLAIN, Mood.LIFE} and _is_of_a_life(texts, padded)
    return Mood.LIFE if of_a_life else Mood.SUPPOSED


def _is_of_a_life(texts: Sequence[str], padded: str) -> bool:
    """Whether what is told of another time may be of the patient, and of nobody else."""
    others = OF_A_LIFE.sub("", padded)
    elsewhen = any(f" {phrase} " in others for phrase in ELSEWHEN)
    return is_of_the_patient(texts) and not elsewhen
