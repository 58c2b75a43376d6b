"""What is told of the patient's leave: that it is given, that it is refused, or nothing at all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from coach.language.clause import Clause, Mood
from coach.language.clause_words import FAMILY

_KIN = "|".join(sorted(FAMILY | {"parent", "parents", "guardian"}))
_WHO = rf"\b(?:he|she|they|{_KIN}|(?:the|this|my) (?:patient|guy|man|woman|kid|boy|girl))"
"""Who may give leave or refuse it."""

_NOT = r"(?:won't|wouldn't|doesn't|didn't|don't|will not|would not|does not|did not|do not|not)"
_SAYS = r"(?:says?|said|tells? (?:me|us)|told (?:me|us)|yells|yelled|shouts|shouted)"
_HANDS_OFF = (
    r"(?:(?:don't|do not) touch (?:me|my)|leave me alone|keep your hands (?:off|away)"
    r"|get (?:your hands )?off (?:of )?me)\b"
)

_REFUSED = re.compile(
    rf"{_WHO}(?:'s| is| are)? (?:just |still |really )?{_NOT} (?:let|letting|allow|allowing)"
    r" (?:me|us|anybody|anyone)\b"
    rf"|{_WHO} {_NOT} want (?:(?:me|us|anybody|anyone) to|my|our|to be (?:touched|treated))\b"
    rf"|{_WHO} {_SAYS} (?:that )?(?:i|we)(?: may not| mustn't| must not| can't| cannot| can not"
    r"|(?:'m|'re| am| are) not (?:allowed|supposed) to)\b"
    rf"|{_WHO} {_SAYS} no (?:way|thanks|thank you)\b"
    rf"|{_WHO} {_SAYS} (?:no|nope)(?= (?:don't|do not|stop|leave|i|you)\b|$)"
    rf"|{_WHO} {_SAYS} (?:no )?(?:not to touch|to leave (?:him|her|them) alone"
    rf"|(?:don't|do not) touch|{_HANDS_OFF})"
    rf"|{_WHO} (?:pushes|pushed|swats|slaps|shoves) (?:me|us|my hands?|our hands?) away\b"
    rf"|^(?:no |please )*{_HANDS_OFF}"
)

_GIVEN = re.compile(
    rf"{_WHO} (?:{_SAYS}|agrees?|agreed|nods|nodded) (?:that )?(?:i|we)"
    r" (?:may|can|could)\b(?! not\b)"
    rf"|{_WHO}(?:'s| is| are| will)? (?:lets?|letting|allows?|allowed|allowing) (?:me|us)\b"
    rf"|{_WHO} wants? (?:me|us) to (?:help|treat|look|examine|check|go ahead)\b"
)

_FOR_ACTING = frozenset(
    "may mind okay ok alright fine permission consent leave let help treat touch i me we us".split()
)
_BARE_ANSWER = re.compile(
    rf"^(?:and |so )?{_WHO} (?:{_SAYS} (?:no|nope|yes|yeah|sure|okay)|nods?|nodded)(?: yes)?$"
    rf"|^(?:yes|yeah|no|nope) {_WHO} {_SAYS}$"
)

_AGREES = frozenset("agree agrees agreed".split())
_AGREEING = _AGREES | frozenset("yes yeah okay ok alright".split())
_LEAVE_EVEN_SO = r"(?!.*\b(?:okay|ok|alright|fine|may|can|could|should)\b)"
_A_FACT = (
    r"(?:it|it's|he|he's|she|she's|they|they're|there|there's|this|that's|something|everything"
    r"|nothing|his|her|their|the) \w+"
)
_ON_A_FACT = re.compile(
    rf"\bagree(?:s|d)? (?:with (?:me|us|him|her) )?(?:that )?{_LEAVE_EVEN_SO}{_A_FACT}"
    rf"|\b(?:says|said) (?:yes|yeah|okay|ok|alright) (?:that )?{_LEAVE_EVEN_SO}{_A_FACT}"
    r"|\b(?:says|said) (?:that )?(?:he|he's|she|she's|they|they're|his|her|their|everything) .*"
    r"\b(?:okay|ok|alright)\b(?! (?:with|if|for|to)\b)"
)


def refusal(texts: Sequence[str]) -> range | None:
    """Where it is told that somebody will not be treated: "he won't let me"; None for nowhere."""
    return _words(_REFUSED, texts)


def leave_given(texts: Sequence[str]) -> range | None:
    """Where it is told that somebody lets the speaker act: "he says I may"; None for nowhere."""
    return None if refusal(texts) else _words(_GIVEN, texts)


def answers_another(question: Clause, clause: Clause) -> bool:
    """Whether a yes or no answers a question that asks for no leave: "does it hurt, he says no"."""
    asked = question.mood is Mood.QUESTION and _FOR_ACTING.isdisjoint(question.texts)
    return asked and _BARE_ANSWER.search(" ".join(clause.texts)) is not None


def _words(pattern: re.Pattern[str], texts: Sequence[str]) -> range | None:
    text = " ".join(texts)
    found = pattern.search(text)
    if found is None:
        return None
    first = text[: found.start()].count(" ")
    return range(first, first + found[0].count(" ") + 1)


def without_agreed_facts(clause: Clause) -> Clause:
    """A clause without the words by which somebody only agrees on how things are.

    "She agrees that it hurts" lets nobody do anything.
    """
    if _ON_A_FACT.search(" ".join(clause.texts)) is None:
        return clause
    return replace(clause, words=tuple(w for w in clause.words if w.text not in _AGREEING))


def without_refusals(texts: Sequence[str]) -> list[str]:
    """The words but those of a refusal, and those by which somebody agrees on how things are."""
    refused = refusal(texts) or range(0)
    only_on_facts = _ON_A_FACT.search(" ".join(texts)) is not None
    return [
        word
        for at, word in enumerate(texts)
        if at not in refused and not (only_on_facts and word in _AGREES)
    ]
