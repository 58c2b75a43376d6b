"""What a clause denies: which negation belongs to which of its words."""

from __future__ import annotations

from coach.language.clause import Clause, Word
from coach.language.clause_words import (
    BE,
    DETERMINERS,
    LINKS,
    LOOKING,
    NEGATORS,
    OMISSIONS,
    TELLING,
    VERB_NEGATORS,
)
from coach.language.regrets import regretted

DEGREES = frozenset("so very really quite fully completely entirely all that exactly even".split())
"""Words between a "not" and what it denies: "not so awake"."""


def denied(clause: Clause, covered: frozenset[int], reach: int, finding: bool = False) -> bool:
    """Whether what stands at the places up to `reach` is denied by a negation not in `covered`.

    A denied verb denies all that follows in its clause, and two of them cancel out ("I didn't
    forget the gloves"). Any other negation denies what it stands in or right before, unless that
    is a negative itself; of a `finding` it denies all up to the next "and" ("no gag or cough").
    """
    verbs = 0
    near = _told_nothing(clause, covered)
    negative = any(w.place in covered and w.text in NEGATORS for w in clause.words)
    about = covered or frozenset({reach})
    regret = regretted(clause.texts)
    for number, word in enumerate(clause.words):
        if word.place > reach or word.place in covered:
            continue
        follows = [w.text for w in clause.words if w.place == word.place + 1]
        if (
            number == regret
            or word.text in OMISSIONS
            or (not negative and (word.text in VERB_NEGATORS or _verb_not(clause, word)))
        ):
            verbs += 1
        elif not negative and (word.text in NEGATORS or _free_of(word.text, follows)):
            near = near or _reaches(clause, word, follows, about, finding)
    return verbs % 2 == 1 or near


def _told_nothing(clause: Clause, covered: frozenset[int]) -> bool:
    """Whether words of telling end in a "nothing": "I told him nothing"."""
    telling = any(w.place in covered and w.text in TELLING | {"tell"} for w in clause.words)
    last = clause.words[-1]
    return telling and last.text == "nothing" and last.place == max(covered) + 1


def _reaches(
    clause: Clause, negator: Word, follows: list[str], about: frozenset[int], finding: bool
) -> bool:
    """Whether a "no", "not" or "free of" belongs to what stands at the places `about`."""
    if negator.text == "no" and follows[:1] in (["problem"], ["problems"], ["worries"]):
        return negator.place + 1 in about  # "no problem swallowing", not "fits, no problem"
    first = min(about)
    if negator.place > first:
        return True
    if any(negator.place < place < first for place in clause.ands):
        return False
    before = [w.text for w in clause.words if w.place == negator.place - 1]
    if negator.text in {"isn't", "aren't", "wasn't", "weren't"} or (
        negator.text == "not" and before[:1] and before[0] in BE
    ):
        return True  # what is said to be not so ("is not lubricated with ...")
    if negator.text == "nobody":
        return True  # it is who does what follows: "nobody has got the head"
    between = [w for w in clause.words if negator.place < w.place < first]
    small = DETERMINERS | LINKS | (DEGREES if negator.text == "not" else set())
    return finding or all(word.text in small for word in between)


def _free_of(text: str, follows: list[str]) -> bool:
    return text in {"free", "clear"} and follows[:1] in (["of"], ["from"])


def _verb_not(clause: Clause, word: Word) -> bool:
    if word.text != "not":
        return False
    before = [w.text for w in clause.words if w.place == word.place - 1]
    after = [w.text for w in clause.words if w.place == word.place + 1]
    if before[:1] in (["i'm"], ["we're"], ["am"]) and after and after[0].endswith("ing"):
        return True
    return before[:1] in (["did"], ["do"], ["have"], ["has"], ["had"], ["could"], ["can"], ["does"])


def looking_denied(clause: Clause) -> bool:
    """Whether the clause denies an act of looking ("I did not check for leaks")."""
    for word in clause.words:
        if word.stem in LOOKING:
            before = frozenset(w.place for w in clause.words if w.place >= word.place)
            return denied(clause, before, word.place - 1) if word.place else False
    return False
