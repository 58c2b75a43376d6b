"""Where the words of a step are told in a clause."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Part
from coach.language.asking import ASK_STEM, LEAVE_STEM, asks_leave, asks_whose, asks_you
from coach.language.clause import Clause, Mood
from coach.language.clause_words import NEGATORS, OMISSIONS, OWN, TELLING
from coach.language.context import StepWords, Words
from coach.language.denials import denied, looking_denied
from coach.language.leave import leave_given, refusal, without_agreed_facts
from coach.language.lines import absences, in_clause, key_line, phrase_forms, phrase_words
from coach.language.match import Match
from coach.language.word_forms import same, stem
from coach.language.wrongly import done_wrongly

TELLING_STEMS = frozenset(stem(word) for word in TELLING)

_TAKEN_UP = frozenset("asked taken done obtained covered recorded noted completed yet".split())
"""Words with which a history was not taken, unless they tell of the patient."""

_PATIENT = frozenset("he he's she she's they they're patient it it's".split())


def matches_in(step: StepWords, clause: Clause) -> list[Match]:
    """Where a clause has the words of a step."""
    if asks_for_leave(step):
        return _matches_of_leave(step, clause)
    matches = _own_matches(step, clause)
    if step.history and any(match.denied for match in matches) and _is_answer(clause):
        matches = [
            replace(match, denied=match.denied and (match.wrong or match.found))
            for match in matches
        ]
    return matches


def _matches_of_leave(step: StepWords, clause: Clause) -> list[Match]:
    """Where a clause tells of the leave that a step asks for; a refusal is its only tidings."""
    if refused := refusal(clause.texts):
        places = frozenset(clause.words[at].place for at in refused)
        return [Match(step.id, Part.DONE, None, places, True, 0.85, found=True)]
    matches = _own_matches(step, without_agreed_facts(clause))
    if given := leave_given(clause.texts):
        places = frozenset(clause.words[at].place for at in given)
        matches.append(Match(step.id, Part.DONE, None, places, False, 0.9))
    return matches


def _is_answer(clause: Clause) -> bool:
    """Whether what a clause denies is what the patient answers: "no diabetes", "she takes none".

    What the speaker did not ask is none.
    """
    texts = clause.texts
    if looking_denied(clause) or not OWN.isdisjoint(texts) or not OMISSIONS.isdisjoint(texts):
        return False
    return not _PATIENT.isdisjoint(texts[:2]) or _TAKEN_UP.isdisjoint(texts)


def _asked_in(step: StepWords, clause: Clause) -> list[Match]:
    """The matches of a step that asks for the history, or whose a thing is, in a question."""
    if clause.mood is not Mood.QUESTION:
        return []
    found: list[Match] = []
    if step.history and asks_you(clause.texts, clause.head):
        found += [
            Match(step.id, Part.DONE, None, places, False, sure)
            for places, sure in in_clause(step.done, clause, frozenset({ASK_STEM}))
        ]
    if asks_leave(clause.texts) and asks_for_leave(step):
        asking = frozenset(word.place for word in clause.words)
        found.append(Match(step.id, Part.DONE, None, asking, False, 0.85))
    if thing := asks_whose(clause.texts):
        asked = [word for word in clause.words if word.text == thing]
        whose = (replace(clause.words[0], text="whose", stem=stem("whose")), *asked)
        lines = tuple(line for line in step.done.keys if stem("whose") in key_line(line)[0])
        found += [
            Match(step.id, Part.DONE, None, places, False, sure)
            for places, sure in in_clause(Words(keys=lines), replace(clause, words=whose))
        ]
    return found


def _own_matches(step: StepWords, clause: Clause) -> list[Match]:
    """Where a clause has the words of a step, each denied as its own words are."""
    matches = _part_matches(step.id, Part.DONE, step.done, clause)
    matches += _asked_in(step, clause)
    matches += _part_matches(step.id, Part.CLOCK_START, step.clock_start, clause)
    matches += _part_matches(step.id, Part.CLOCK_END, step.clock_end, clause)
    matches = _begun_or_done(matches, clause)
    matches += _part_matches(step.id, Part.PARTNER, step.partner, clause)
    chosen = [
        Match(step.id, Part.DONE, option, places, denied(clause, places, max(places)), sure)
        for option, words in step.choices.items()
        for places, sure in in_clause(words, clause)
    ]
    if chosen:
        best = max(chosen, key=lambda match: (not match.denied, len(match.places), match.sure))
        matches = [replace(match, choice=best.choice) for match in matches]
        matches.append(best)
    return matches


def _part_matches(step: str, part: Part, words: Words, clause: Clause) -> list[Match]:
    matches = []
    found = in_clause(words, clause)
    for places, sure in found:
        covered = places | _denied_within(clause, places, [other for other, _ in found])
        bad = denied(clause, covered, max(places)) or _looks_denied(clause, places)
        matches.append(Match(step, part, None, places, bad, sure))
    for places, absent in absences(words, clause):
        bad = not absent or looking_denied(clause)
        matches.append(Match(step, part, None, places, bad, 0.85, found=not absent))
    for places in done_wrongly(words.signs, clause):
        sign = Match(step, part, None, places, True, 0.85, found=True, wrong=True, sign=True)
        matches.append(sign)
    beside = bool(matches)
    for places in done_wrongly(words.wrong, clause):
        told = Match(step, part, None, places, True, 0.85, found=True, wrong=True)
        matches.append(replace(told, alone=not beside))
    return matches


def _denied_within(
    clause: Clause, places: frozenset[int], others: Sequence[frozenset[int]]
) -> frozenset[int]:
    """The words before these places that tell of the same step with a denial of their own.

    "I don't trust that number, carbon monoxide fools the meter": the first denies not the second.
    """
    negators = {word.place for word in clause.words if word.text in NEGATORS}
    before = [other for other in others if other & negators and max(other) < min(places)]
    return frozenset[int]().union(*before)


def _looks_denied(clause: Clause, places: frozenset[int]) -> bool:
    """Whether a match leans on the denial of an act of looking ("I did not check")."""
    negators = {word.place for word in clause.words if word.text in NEGATORS}
    return bool(negators & places) and looking_denied(clause)


def _begun_or_done(matches: list[Match], clause: Clause) -> list[Match]:
    """Of the same words for the beginning and the end of an act those that their form tells.

    "I'm counting the breaths" begins what "I counted the breaths" tells as done.
    """
    texts = {word.place: word.text for word in clause.words}
    begun = {match.places for match in matches if match.part is Part.CLOCK_START}
    done = {match.places for match in matches if match.part is Part.DONE}
    past = {places for places in begun & done if any(texts[p].endswith("ed") for p in places)}
    return [
        match
        for match in matches
        if match.places not in begun & done
        or match.part is (Part.DONE if match.places in past else Part.CLOCK_START)
    ]


def own_stems(step: StepWords) -> frozenset[str]:
    """The stems of all words with which a step may be told as done."""
    words = (step.done, step.clock_start, step.clock_end, step.partner, *step.choices.values())
    return frozenset(
        form
        for one in words
        for line in (*map(key_line, one.keys), *map(phrase_forms, one.phrases))
        for forms in line
        for form in forms
    )


def asks_for_leave(step: StepWords) -> bool:
    """Whether a step asks the patient whether something may be done."""
    return step.history and LEAVE_STEM in own_stems(step)


def tells(step: StepWords) -> bool:
    """Whether a step is done by telling somebody something."""
    return any(key_line(key)[0] & TELLING_STEMS for key in step.done.keys)


def likeness(step: StepWords, clause: Clause) -> float:
    """The largest share of a written line's words that the clause holds."""
    best = 0.0
    lines = [key_line(key) for key in step.done.keys]
    lines += [tuple(frozenset({part}) for part in phrase_words(p)) for p in step.done.phrases]
    for line in lines:
        if len(line) < 2:
            continue
        hits = sum(
            any(same(word.stem, f) for word in clause.words for f in forms) for forms in line
        )
        best = max(best, hits / len(line))
    return best
