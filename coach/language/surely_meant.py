"""Which matches count where a clause tells nothing plainly, or tells of a fault."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.language.asking import ASK_STEM, asks_leave, asks_the_patient
from coach.language.body import BODY, at_another_part
from coach.language.clause import Clause, Mood, Word
from coach.language.clause_words import (
    AUXILIARIES,
    COMPLAINT,
    DEMANDED,
    DEMANDS,
    DETERMINERS,
    IN_VIEW,
    LIMITS,
    OWN,
    PLACES,
    QUESTION_HEADS,
    REQUESTS,
    SUBJECTS,
    SUPPOSING,
    TELLING,
    TELLS,
)
from coach.language.clauses import CALLED
from coach.language.context import StepWords
from coach.language.falling_short import carelessly, in_part, opposite
from coach.language.leave import leave_given, refusal
from coach.language.manner import faults, stems_at, tells_only_a_fault
from coach.language.match import Match
from coach.language.numbers import find_numbers
from coach.language.sending import sent_for
from coach.language.step_matches import asks_for_leave, own_stems, tells
from coach.language.word_forms import stem

SOMEBODY = frozenset(
    "you your partner partner's colleague helper assistant rescuer somebody someone".split()
)
"""Words with which a part of a step for two is given to somebody."""

ASKING = frozenset("can could will would please".split())
"""First words of a question that asks somebody to do something."""

ASKED_FOR = frozenset(map(stem, DEMANDS))
"""Stems by which a step names what is asked for the patient."""

_OF_BEFORE = frozenset({stem("history"), stem("arrival")})
"""Words of a step that tells what was before: how the patient was when the learner came."""

_BEFORE_BIDDING = frozenset("okay ok now so just then go ahead and um uh alright hey".split())
"""Words before what somebody is told to do."""

_OF_A_THING = frozenset("this it it's it'll this'll that'll you'll you're these".split())
"""First words of what the patient is told of a thing, or of what he will feel."""

_SPOKEN_TO = frozenset("you your you'll you're".split())

_OF_THE_PATIENT = frozenset(map(stem, "breath eyes name teeth pain head weight".split()))
"""What else is the patient's, besides the parts of the body."""

CHOOSING = frozenset("go going use take pick choose select want using".split())


def done_well(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause, after: Sequence[str]
) -> list[Match]:
    """The matches but those of acts done in a wrong manner or at a wrong part of the body.

    "I put it on upside down", "over his eyes"; a step whose own words hold the manner, or what the
    coach says to do, is done so.
    `after` are the words of the next clause, which may tell the manner alone.
    """
    knows = {step.id: step.parts for step in steps}
    matches = [
        match
        for match in matches
        if match.denied or not at_another_part(match, clause, knows[match.step])
    ]
    own = {step.id: frozenset() if step.forbidden else own_stems(step) for step in steps}
    told = {step.id: own_stems(step) | step.says for step in steps}
    matches = [
        match
        for match in matches
        if match.denied
        or match.sure == 1.0
        or not own[match.step]
        or not _falls_short(match, matches, clause, own[match.step], told[match.step])
    ]
    manner = stems_at(clause.texts, faults(clause.texts))
    spoilt = bool(after) and tells_only_a_fault(after)
    if not manner and not spoilt:
        return matches
    if spoilt:
        manner |= stems_at(after, faults(after)) or {stem("too")}
    right = frozenset(step.id for step in steps if step.forbidden or manner <= told[step.id])
    return [match for match in matches if match.denied or match.step in right]


def _falls_short(
    match: Match,
    matches: Sequence[Match],
    clause: Clause,
    own: frozenset[str],
    told: frozenset[str],
) -> bool:
    """Whether the words around a match, but for those of other steps, tell that it fell short.

    `own` are the stems of its step's words, `told` with those of what the coach says to do.
    """
    others = frozenset[int]().union(*(m.places for m in matches if m.step != match.step))
    words = [w for w in clause.words if w.place in match.places or w.place not in others]
    texts = tuple(word.text for word in words)
    return in_part(clause.texts, own) or carelessly(texts, told) or opposite(texts, own)


def not_of_it(matches: list[Match], before: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches but those that lean on an "it" which means the thing of another step.

    "One seal, and it's not damaged" tells nothing of the cylinder.
    """
    steps = {match.step for match in before}
    first = clause.words[0].place
    return [
        match
        for match in matches
        if match.step in steps
        or match.sure == 1.0
        or (len(match.places) > 1 and first not in match.places)
    ]


def surely_meant(steps: Sequence[StepWords], matches: list[Match], clause: Clause) -> list[Match]:
    """Of the matches in a clause that tells nothing plainly those that count even so."""
    if spoken := _done_by_saying(steps, matches, clause) or sent_for(matches, clause):
        return spoken
    if counted := _for_two_or_forbidden(steps, matches, clause):
        return counted
    if answered := _leave(steps, matches, clause):
        return answered
    match clause.mood:
        case Mood.QUESTION if asks_leave(clause.texts):
            return [m for m in matches if m.step in _asking(steps) and not m.denied]
        case Mood.QUESTION if clause.texts[0] in TELLS or clause.texts[1:2] == ["me"]:
            return _bidden(steps, matches, clause)
        case Mood.SUPPOSED:
            spoken = _bidden(steps, matches, clause) or _foretold(steps, matches, clause)
            return spoken or _advised(steps, matches, clause)
        case Mood.AWAY:
            return _of_a_place(matches, clause)
        case Mood.HEDGED:
            return [m for m in matches if m.denied]
        case Mood.OTHERS:
            return [m for m in matches if m.found or m.step in _of_a_life(steps)]
        case Mood.LIFE:
            return [m for m in matches if m.step in _of_a_life(steps)]
        case Mood.ASKED:
            return [m for m in matches if m.step in _asking(steps)]
        case Mood.QUESTION if asks_the_patient(clause.texts, clause.head):
            return [m for m in matches if m.step in _asking(steps) and not m.denied]
        case Mood.EARLIER:
            told = frozenset(step.id for step in steps if _OF_BEFORE & own_stems(step))
            told |= _of_a_life(steps)
            return [m for m in matches if m.step in told and not m.denied]
        case Mood.PURPOSE:
            return [m for m in matches if not m.denied]
        case Mood.AMISS:
            return [
                m
                for m in matches
                if m.wrong or (m.found and _names_fault(m, clause)) or (m.denied and not m.found)
            ]
        case _:
            return []


def _leave(steps: Sequence[StepWords], matches: list[Match], clause: Clause) -> list[Match]:
    """The matches of a step that asks for leave, where somebody gives it or will not.

    "He won't let me", "she says I may help" tell of no plan.
    """
    if clause.head in SUPPOSING or clause.mood not in {Mood.PLAN, Mood.SUPPOSED, Mood.OTHERS}:
        return []
    asking = frozenset(step.id for step in steps if asks_for_leave(step))
    told = [match for match in matches if match.step in asking]
    if refusal(clause.texts) is not None:
        return [match for match in told if match.denied]
    return [m for m in told if not m.denied] if leave_given(clause.texts) is not None else []


def _of_a_life(steps: Sequence[StepWords]) -> frozenset[str]:
    """The steps that ask for what the patient did, and for other times than now."""
    return frozenset(step.id for step in steps if step.history)


def _asking(steps: Sequence[StepWords]) -> frozenset[str]:
    """The steps that are done by asking."""
    return frozenset(step.id for step in steps if step.history or ASK_STEM in own_stems(step))


def _names_fault(match: Match, clause: Clause) -> bool:
    """Whether the finding is the fault that is told: "too small", "full of blood"."""
    told = COMPLAINT.search(f" {' '.join(clause.texts)} ")
    texts = {word.place: word.text for word in clause.words}
    if told is None:
        return False
    faults = {*told[0].split(), *f" {' '.join(clause.texts)} "[told.end() :].split()[:1]}
    return any(texts[place] in faults for place in match.places)


def _for_two_or_forbidden(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause
) -> list[Match]:
    """Of the matches those of a step for two that is given to somebody, or of a forbidden plan.

    "You squeeze the bag", "can you squeeze the bag", "my partner is going to squeeze it".
    """
    sent = " ".join(clause.texts[:2]) in REQUESTS  # "bring me the mask" sends somebody
    asking = clause.mood is Mood.QUESTION and clause.texts[0] not in ASKING and not sent
    if clause.head in SUPPOSING or asking:
        return []
    found: list[str] = []
    if clause.mood is Mood.PLAN:
        found += [step.id for step in steps if step.forbidden]
    if clause.mood in {Mood.PLAN, Mood.OTHERS} or SOMEBODY & set(clause.texts) or sent:
        found += [step.id for step in steps if step.for_two]
    return [match for match in matches if match.step in found]


def _bidden(steps: Sequence[StepWords], matches: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches of what the patient, or who helps, is told to do: the telling is the act.

    They are those of a step that tells, asks, has somebody else act, or is for two, and lean on a
    "don't" at its head ("don't move your head"), or stand beside a part of the patient's ("hold
    your breath") or a "please".
    """
    lead = [word for word in clause.words if word.text not in CALLED | _BEFORE_BIDDING]
    if clause.head in SUPPOSING or not lead or not OWN.isdisjoint({*clause.texts} - {"me"}):
        return []
    undenied = [match for match in matches if not match.denied]
    tellers = frozenset(step.id for step in steps if step.bids or tells(step))
    if lead[0].text == "don't":
        return [m for m in undenied if lead[0].place in m.places and m.step in tellers]
    theirs = {word.place for before, word in pairwise(clause.words) if _is_theirs(before, word)}
    if lead[0].text in SUBJECTS | DETERMINERS | AUXILIARIES | QUESTION_HEADS:
        return []
    if lead[0].text != "please" and not theirs:
        return _requested(steps, undenied, clause)
    open_to = tellers | _asking(steps) | {step.id for step in steps if step.for_two}
    return [m for m in undenied if m.step in open_to]


def _requested(steps: Sequence[StepWords], matches: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches of what a helper is asked for: "Marco, come round please and take the head"."""
    texts = {*clause.texts}
    if "please" not in texts or not texts.isdisjoint(TELLING | TELLS):
        return []
    helped = frozenset(step.id for step in steps if step.for_two or (step.bids and not tells(step)))
    return [match for match in matches if match.step in helped]


def _foretold(steps: Sequence[StepWords], matches: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches of what the patient is told of a thing or of what comes: the telling is the act.

    "It'll push air at you", "this clip shines through your finger".
    """
    lead = [word.text for word in clause.words if word.text not in CALLED | _BEFORE_BIDDING]
    texts = {*clause.texts}
    about_telling = not texts.isdisjoint(TELLING | TELLS)
    if clause.head in SUPPOSING or not lead or about_telling or not OWN.isdisjoint(texts - {"me"}):
        return []
    if lead[0] not in _OF_A_THING or texts.isdisjoint(_SPOKEN_TO):
        return []
    tellers = frozenset(step.id for step in steps if tells(step))
    return [match for match in matches if match.step in tellers and not match.denied]


def _advised(steps: Sequence[StepWords], matches: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches of what the patient is told to have done by others: "you need to get checked"."""
    advised = "you" in clause.texts and DEMANDED.search(" ".join(clause.texts)) is not None
    if clause.head in SUPPOSING or not advised:
        return []
    asking = frozenset(step.id for step in steps if own_stems(step) >= ASKED_FOR)
    return [match for match in matches if match.step in asking and not match.denied]


def _is_theirs(before: Word, word: Word) -> bool:
    """Whether a part of the one who is spoken to is named: "your breath", "your arms"."""
    return before.text == "your" and word.stem in BODY | _OF_THE_PATIENT


def _of_a_place(matches: Sequence[Match], clause: Clause) -> list[Match]:
    """Matches that lean on the place where a thing lies: it lies where it should."""
    places = {word.place for word in clause.words if word.text in PLACES}
    return [match for match in matches if match.places & places]


def _done_by_saying(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause
) -> list[Match]:
    """Of the steps in a plan those that are done by saying it.

    They are a choice ("I'll go with the mask"), a promise that sets a limit ("I'll go only as far
    as I can see"), what is asked for the patient ("he needs to be examined"), and telling the
    patient ("I'm going to give you some oxygen").
    """
    if clause.mood is not Mood.PLAN:
        return []
    texts = {word.place: word.text for word in clause.words}
    if any(word.text in CHOOSING for word in clause.words):
        chosen = [match for match in matches if match.choice]
        if chosen:
            return chosen
    said_so = LIMITS | IN_VIEW | DEMANDS
    promised = [m for m in matches if any(texts[p] in said_so for p in m.places)]
    if promised:
        return promised
    ahead = frozenset(step.id for step in steps if step.said_ahead)
    if timed := [m for m in matches if m.step in ahead and not m.denied]:
        return timed if find_numbers(clause.texts) else []
    if DEMANDED.search(" ".join(clause.texts)):
        asking = frozenset(step.id for step in steps if own_stems(step) >= ASKED_FOR)
        return [match for match in matches if match.step in asking and not match.denied]
    if not {"you", "your"} & set(texts.values()):
        return []
    tellers = frozenset(step.id for step in steps if tells(step))
    return [match for match in matches if match.step in tellers]
