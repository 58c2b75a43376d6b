"""Whether a number is told as it is, or only of what is to come: planned, wished for, supposed."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set

from coach.core.meaning import Outlook
from coach.language.clause import Clause
from coach.language.clause_words import AUXILIARIES, DETERMINERS, ELSEWHEN, SUBJECTS
from coach.language.clauses import clauses
from coach.language.number_words import FILLERS

_SUPPOSED = re.compile(
    r" (?:should|shouldn't|ought to|supposed to|needs?|must|have to|has to|could|might|may"
    r"|would(?! (?:say|call|put))|wouldn't|won't|he'd|she'd|it'd|they'd"
    r"|(?:hop(?:e|es|ing)|wish(?:es)?|expect(?:s|ing)?)(?: that)?(?: there's| it's)?"
    r"|(?:my|our|the|his|her) (?:target|goal|aim)|aiming|looking for|waiting (?:for|until)"
    r"|usually|typically|(?:we|you|they|it|it's|that|that's|which) normally"
    r"|normal (?:is|would|range)|(?:anything|something|everything)"
    r"|in case|whenever|as soon as|imagine|suppose|for example|let's say|wonder(?:ing)?|whether"
    r"|(?:i|i'd) bet|most \w+|(?:protocols?|course|books?|textbook|guidelines?|teacher|instructor)"
    r" (?:has|have|say|says|said|wants?|asks?|calls?|gives?))(?: that)?(?: there's| it's)?(?= )"
)
"""Duties, wishes, what is usual, and what is only thought of."""

_INTENDED = re.compile(
    r" (?:\w+'ll|will(?! you)|going to|gonna|about to|plan(?:s|ning)? (?:to|on)|intend(?:ing)? to"
    r"|(?:i|we|i'd|we'd) (?:want|like)|(?:i'd|we'd)(?! (?:say|call|put))"
    r"|let me(?! (?:see|check|look|think))|let's(?! (?:see|check|look|say))|try(?:ing)? to"
    r"|next (?:i|we|comes|is|up)|(?:comes|goes|is) next|later)(?= )"
)
"""What the speaker means to do, and has not done."""

_FOUND_MEANWHILE = re.compile(
    r" (?:reads|shows|says|stands at|comes to|it's|that's|it is|that is|there's"
    r"|(?<!to )(?:i|we) (?:see|get|read|count|measure|have(?! to)|set|got))(?= )"
)
"""Told after a plan without a pause: what follows is found, and no plan any more."""

_SAID_AFTER = re.compile(
    r"^(?: (?:or (?:more|less|so|better)|of oxygen))? (?:should|ought|would|will|could|might|may"
    r"|must|needs?|is (?:what|where|how) \w+(?: \w+)? (?:should|would|will|want|wants|need|needs"
    r"|expect|hope)|is (?:what|where) \w+'(?:d|ll)|is (?:my|our|the) (?:target|goal|aim))\b"
)
"""What makes a plan, a duty or a wish of a number right before it."""

_MOVES_TO = re.compile(r" going to$| going to (?:the|a|an|my|his|her)(?= )")
"""A needle goes to a number, and so does the hand on the dial: nothing is planned."""

_NOT_YET = re.compile(r"^(?:and |then |so )*in (?:a|one) (?:second|sec|minute|moment|bit)$")
_LIMIT = re.compile(
    r"^ (?:(?:and|but|so) )?(?:below|under|above|over|less than|more than|at|from) $"
)
_THEN_I = re.compile(r"^(?:then )?(?:i'd|i'll|i would|i will|we'd|we'll|you'd|you )")

_OTHER_TIMES = tuple(
    phrase
    for phrase in ELSEWHEN
    if phrase not in {"today", "this morning", "everybody", "everyone", "somebody", "someone"}
)
"""Talk of another time or of other people; today's numbers are of today."""

_TIMES = frozenset({"when", "once", "before"})
_CONDITIONS = frozenset({"if", "unless"})
_MAIN = frozenset("i we it he she that they".split())
_STARTS_OF_CONDITION = 2
"""Words of a condition among which its own subject stands."""

_MAY_STAND_BESIDE = FILLERS | frozenset("say maybe probably about around a an at to".split())
"""Words beside a bare number that tell nothing of it by themselves."""


def outlook(words: Sequence[str], breaks: Set[int], start: int, end: int) -> Outlook | None:
    """How the number at the words `start` to `end` is told; None where it is told as it is.

    `breaks` are the places after which there is a pause. What is planned, supposed or asked
    counts from where that is said up to the end of its statement; a bare number after a plan is
    the plan's: "next I will measure, ninety".
    """
    parts = clauses(words, [place in breaks for place in range(len(words))])
    holding = [number for number, part in enumerate(parts) if part.words[0].place <= start]
    if not holding:
        return None
    number = holding[-1]
    part = parts[number]
    before = [word.text for word in part.words if word.place < start]
    after = " ".join(["", *(word.text for word in part.words if word.place >= end)])
    led = f" {' '.join(before)} " if before else " "
    if _is_condition(part.head, before) or _asks(part) or _SAID_AFTER.search(after):
        return Outlook.SUPPOSED
    if _follows_from_condition(parts, number):
        return Outlook.SUPPOSED
    if any(f" {phrase} " in led for phrase in _OTHER_TIMES) or _is_limit(parts, number, led, after):
        return Outlook.SUPPOSED
    if told := _told_before(led):
        return told
    if number and _NOT_YET.search(" ".join(parts[number - 1].texts)):
        return Outlook.INTENDED
    alone = all(text in _MAY_STAND_BESIDE for text in before)
    if number and alone and part.head not in {"but", "because"}:
        earlier = parts[number - 1]
        if _told_before(f" {' '.join(earlier.texts)} ") is Outlook.INTENDED:
            return Outlook.INTENDED
    return None


def _told_before(led: str) -> Outlook | None:
    """What the words that lead up to a number make of it."""
    led = _MOVES_TO.sub("", led.rstrip()) + " "
    for pattern, told in ((_SUPPOSED, Outlook.SUPPOSED), (_INTENDED, Outlook.INTENDED)):
        *_, last = [None, *pattern.finditer(led)]
        if last is not None and not _FOUND_MEANWHILE.search(led, last.end()):
            return told
    return None


def _is_condition(head: str, before: Sequence[str]) -> bool:
    """Whether the number belongs to a condition: "if it is under ninety".

    After a time that is told ("when the tubing is kinked it pulls ...") the main statement begins
    with a subject of its own.
    """
    if head in _CONDITIONS:
        return True
    return head in _TIMES and not _MAIN & set(before[_STARTS_OF_CONDITION:])


def _is_limit(parts: Sequence[Clause], number: int, led: str, after: str) -> bool:
    """Whether it is told what is done from a number on: "below two hundred I'd change it"."""
    following = " ".join(parts[number + 1].texts) if number + 1 < len(parts) else ""
    acts = _THEN_I.search(after.strip()) or (not after.strip() and _THEN_I.search(following))
    return bool(_LIMIT.search(led) and acts)


def _follows_from_condition(parts: Sequence[Clause], number: int) -> bool:
    """Whether it is told what is done in a case: "if it drops, I turn it up to fifteen"."""
    beside = [parts[at] for at in (number - 1, number + 1) if 0 <= at < len(parts)]
    case = any(
        part.head in _CONDITIONS and part.texts[0] not in {"i", "you", "that's", "it's"}
        for part in beside
    )
    acts = parts[number].texts[0] in {"i", "we", "turn", "set", "give", "go"}
    return case and acts and not any(text.endswith("ed") for text in parts[number].texts)


def _asks(part: Clause) -> bool:
    """Whether it is a question: "should I set it to ten", "is it fifteen"."""
    first, second, *_ = [*part.texts, "", ""]
    return first in AUXILIARIES and (
        second in SUBJECTS or (second in DETERMINERS and first not in {"have", "did"})
    )
