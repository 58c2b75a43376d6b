"""An utterance in clauses: what is said plainly, denied, asked, planned, or only thought of."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from coach.language.word_forms import stem


class Mood(StrEnum):
    """How a clause speaks of what it speaks of."""

    PLAIN = "plain"
    QUESTION = "question"
    PLAN = "plan"
    SUPPOSED = "supposed"


@dataclass(frozen=True, slots=True)
class Word:
    """One word at its place in the utterance."""

    text: str
    stem: str
    place: int


@dataclass(frozen=True, slots=True)
class Clause:
    """Words between two breaks, in one mood; `ands` are the places of "and" within it."""

    words: tuple[Word, ...]
    mood: Mood = Mood.PLAIN
    ands: tuple[int, ...] = ()


NEGATORS = frozenset(
    "no not never without nothing none nobody neither nor cannot isn't aren't wasn't weren't don't"
    " doesn't didn't haven't hasn't hadn't won't wouldn't can't couldn't shouldn't ain't".split()
)
VERB_NEGATORS = frozenset(
    "don't doesn't didn't haven't hasn't hadn't never won't cannot can't couldn't".split()
)
"""They deny what follows up to the end of the clause; the others only up to the next "and"."""

OMISSIONS = frozenset("forgot forgotten forget skipped missed omitted failed neglected".split())
"""Verbs that deny what follows them ("I forgot the gloves")."""

LOOKING = frozenset(stem(w) for w in "check look test inspect examine verify assess search".split())
"""Acts of looking: denied, nothing was looked for, whatever would have been found."""

HALVES = frozenset("almost nearly partly halfway trying try attempting attempt".split())

_BREAKS = frozenset("then but because so before if unless once when while though although".split())
_SUPPOSING = frozenset("if unless once when before because".split())
_TELLING = frozenset("told tells explained explain informed said saying announced".split())
"""What follows them may be a plan, but it has been told: "I told him what I'm going to do"."""
_PAST = frozenset(
    "was were did had took went came held felt found got made gave kept left saw slid"
    " stood heard bled blew drew ran turned chose wore fed hung i've we've been".split()
)
_ELSEWHEN = (
    "last week|last time|last semester|last month|last year|last night|last class|last session|"
    "yesterday|years ago|weeks ago|days ago|a while ago|tomorrow|next week|next time|every time|"
    "next table|other table|next station|other station|next group|other group|next door|"
    "he said|she said|they said|book says|instructor says|instructor said|teacher said|"
    "supposed to|on tv|in the video|for example|imagine|the guy|the girl|some guy|somebody else|"
    "someone else|my roommate|my friend|wait until|not until"
).split("|")
"""Talk of another time or of other people."""
_QUESTION_HEADS = frozenset(
    "what what's why how when where which who whose whats how's where's who's".split()
)
_AUXILIARIES = frozenset(
    "is are was were do does did have has had should shall can could must may would will am".split()
)
_SUBJECTS = frozenset("i we you it they he she there this that".split())
_DETERMINERS = frozenset("the my your his her its their any a an".split())
_TELLS = frozenset("tell explain remind show describe".split())
_PROMISES = (
    ("i'll", "only"),
    ("i", "will", "only"),
    ("i'm", "only", "going"),
    ("i'd", "never"),
    ("i", "will", "not"),
)
"""Steps that are a promise ("only as far as I can see") are done by making it."""

_NOT_THINGS = frozenset(
    "i i'm i've yes yeah yep no okay ok well so um uh right sorry wait hey coach done on off in out"
    " up open closed first next now there here good fine check ready it that this he she we stop go"
    " full empty clear".split()
)
"""Words that make a short clause more than a thing named."""

_PUT_AWAY = re.compile(
    r" (?:in|on|inside) (?:my|its|the|his|her|a) (?:\w+ )?(?:hand|hands|wrapper|package|packet|box"
    r"|kit|pocket|table|shelf|floor|bench|cart|counter|chair|drawer|ambulance|truck) "
)
"""Where a thing lies before it is used."""

_PLANS = (
    ("i", "will"),
    ("i'll",),
    ("we'll",),
    ("going", "to"),
    ("gonna",),
    ("about", "to"),
    ("need", "to"),
    ("needs", "to"),
    ("have", "to"),
    ("has", "to"),
    ("should",),
    ("must",),
    ("would",),
    ("i'd",),
    ("want", "to"),
    ("let", "me"),
    ("let's",),
    ("ready", "to"),
    ("next", "i"),
    ("could",),
    ("might",),
    ("may",),
    ("maybe",),
    ("supposed", "to"),
    ("can", "i"),
    ("later",),
)
_I = frozenset("i i've i'm".split())
_NO_NEW_I = frozenset(
    "and that as what where why how because so before after when if than like did do can could"
    " should must may have had will would am was which then but while until unless the".split()
)
"""Words after which "I" goes on with the clause: "as far as I can see"."""

_NEW_SUBJECTS = frozenset("i i've i'm we it it's they he she there there's that now".split())
_BE = frozenset("is are was were has have isn't aren't wasn't".split())


def clauses(words: Sequence[str], breaks: Sequence[bool], asked: bool = False) -> list[Clause]:
    """Split words (with `breaks[i]` true where punctuation follows word i) into clauses.

    `asked`: the utterance ends in a question mark, so its last clause is a question.
    """
    spans: list[list[int]] = [[]]
    heads: list[str] = [""]
    for place, word in enumerate(words):
        sofar = [words[earlier] for earlier in spans[-1]]
        opens = word in _BREAKS or (word == "and" and _new_subject(words, place + 1, sofar))
        if word in _I and len(spans[-1]) >= 3 and words[place - 1] not in _NO_NEW_I:
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
            heads[-1] = "instead" if instead else word
        if not opens:
            spans[-1].append(place)
        if breaks[place] and spans[-1] and not _is_list(words, breaks, spans[-1], place + 1):
            spans.append([])
            heads.append("")
    result = []
    padded = f" {' '.join(words)} "
    elsewhen = any(f" {phrase} " in padded for phrase in _ELSEWHEN)
    filled = [(span, head) for span, head in zip(spans, heads, strict=True) if span]
    for number, (span, head) in enumerate(filled):
        texts = [words[place] for place in span]
        last = number == len(filled) - 1
        mood = _mood(texts, head, asked and last)
        after_supposing = number and filled[number - 1][1] in _SUPPOSING - {"because"}
        if mood is Mood.PLAIN and after_supposing and texts[0] in _I and not _is_past(texts):
            mood = Mood.PLAN
        if mood is Mood.PLAIN and elsewhen:
            mood = Mood.SUPPOSED
        result.append(
            Clause(
                tuple(Word(words[place], stem(words[place]), place) for place in span),
                mood,
                tuple(place for place in span if words[place] in {"and", "plus"}),
            )
        )
    return result


def _is_list(words: Sequence[str], breaks: Sequence[bool], span: list[int], start: int) -> bool:
    """Whether a pause only parts one thing named from the next: "my gloves, goggles and mask"."""
    end = next((p + 1 for p in range(start, len(words)) if breaks[p]), len(words))
    here, following = [words[p] for p in span], list(words[start:end])
    if not following or any(word in NEGATORS for word in (*here, *following)):
        return False
    return _only_things(here) or _only_things(following)


def _only_things(texts: list[str]) -> bool:
    things = [word for word in texts if word not in _DETERMINERS | {"and", "on"}]
    return 0 < len(things) <= 3 and not any(
        word in _BE | _NOT_THINGS | _PAST | _BREAKS | _AUXILIARIES
        or word.endswith(("ed", "ing", "ly"))
        for word in things
    )


def _new_subject(words: Sequence[str], start: int, before: Sequence[str]) -> bool:
    """Whether a new statement begins at `start`; "my gloves and my goggles are on" is only one."""
    following = list(words[start : start + 4])
    if not following:
        return False
    if following[0] in _NEW_SUBJECTS:
        return True
    said = _is_past(["", *before]) or any(w in _BE or w.endswith("ing") for w in before)
    return said and following[0] in _DETERMINERS and any(word in _BE for word in following[1:])


def _mood(texts: list[str], head: str, asked: bool) -> Mood:
    if asked:
        return Mood.QUESTION
    lead = [word for word in texts if word not in {"um", "uh", "okay", "ok", "and", "coach", "hey"}]
    if lead[:1] and (
        lead[0] in _QUESTION_HEADS
        or (lead[0] in _TELLS and "me" in lead[:3])
        or (
            lead[0] in _AUXILIARIES
            and len(lead) > 1
            and (lead[1] in _SUBJECTS or (lead[1] in _DETERMINERS and lead[0] != "have"))
        )
    ):
        return Mood.QUESTION
    if head in _SUPPOSING or head == "instead":
        return Mood.SUPPOSED
    if any(_contains(texts, promise) for promise in _PROMISES):
        return Mood.PLAIN
    padded = f" {' '.join(texts)} "
    if _PUT_AWAY.search(padded):
        return Mood.PLAN
    told = any(word in _TELLING for word in texts) and texts[0] not in {"i'll", "let"}
    if (any(_contains(texts, plan) for plan in _PLANS) and not told) or any(
        word in HALVES for word in texts
    ):
        return Mood.PLAN
    return Mood.PLAIN


def _is_past(texts: list[str]) -> bool:
    return any(word.endswith("ed") or word in _PAST for word in texts[1:]) or texts[0] == "i've"


def _contains(texts: list[str], run: tuple[str, ...]) -> bool:
    return any(tuple(texts[i : i + len(run)]) == run for i in range(len(texts) - len(run) + 1))


def denied(clause: Clause, covered: frozenset[int], reach: int, finding: bool = False) -> bool:
    """Whether what stands at the places up to `reach` is denied by a negation not in `covered`.

    A denied verb denies all that follows in its clause, and two of them cancel out ("I didn't
    forget the gloves"). Any other negation denies what it stands in or right before, unless that
    is a negative itself; of a `finding` it denies all up to the next "and" ("no gag or cough").
    """
    verbs = 0
    near = False
    negative = any(w.place in covered and w.text in NEGATORS for w in clause.words)
    first = min(covered, default=reach)
    for word in clause.words:
        if word.place > reach or word.place in covered:
            continue
        follows = [w.text for w in clause.words if w.place == word.place + 1]
        if word.text in OMISSIONS or word.text in VERB_NEGATORS or _verb_not(clause, word):
            verbs += 1
        elif not negative and (word.text in NEGATORS or _free_of(word.text, follows)):
            near = near or _reaches(clause, word, follows, first, finding)
    return (verbs % 2 == 1) != near


def _reaches(clause: Clause, negator: Word, follows: list[str], first: int, finding: bool) -> bool:
    """Whether a "no", "not" or "free of" belongs to what begins at the place `first`."""
    if negator.text == "no" and follows[:1] in (["problem"], ["problems"], ["worries"]):
        return False
    if negator.place > first:
        return True
    if any(negator.place < place < first for place in clause.ands):
        return False
    between = [w for w in clause.words if negator.place < w.place < first]
    return finding or all(word.text in _DETERMINERS | LINKS for word in between)


LINKS = frozenset("on in of to is it with been being wearing".split())
"""Small words that may stand between a "no" and what it denies."""


def _free_of(text: str, follows: list[str]) -> bool:
    return text in {"free", "clear"} and follows[:1] in (["of"], ["from"])


def _verb_not(clause: Clause, word: Word) -> bool:
    if word.text != "not":
        return False
    before = [w.text for w in clause.words if w.place == word.place - 1]
    return before[:1] in (["did"], ["do"], ["have"], ["has"], ["had"], ["could"], ["can"], ["does"])


def looking_denied(clause: Clause) -> bool:
    """Whether the clause denies an act of looking ("I did not check for leaks")."""
    for word in clause.words:
        if word.stem in LOOKING:
            before = frozenset(w.place for w in clause.words if w.place >= word.place)
            return denied(clause, before, word.place - 1) if word.place else False
    return False
