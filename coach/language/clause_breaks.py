"""Where the clauses of an utterance part: at pauses, at words that join, at new statements."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.asking import asks_for
from coach.language.clause_words import (
    AUXILIARIES,
    BE,
    BREAKS,
    DETERMINERS,
    DOINGS,
    NEGATORS,
    NEW_SUBJECTS,
    NOT_THINGS,
    OMISSIONS,
    PAST,
    PLACING_WORDS,
    SUBJECTS,
)
from coach.language.manner import mild
from coach.language.moods import is_past, tells_plainly
from coach.language.new_statements import starts_anew
from coach.language.number_words import GRAMMAR_WORDS

AFTER_WHICH = frozenset("i we you i'd we'd i've we've".split())
"""Words with which a statement of its own begins after "after"."""

_ONCE_AGAIN = frozenset("again more with gently and".split())
"""Words before which "once" tells how often, and not when."""


_AFTERWARDS = frozenset({"afterwards", "afterward"})

_NAMES_SEVERAL = frozenset("and or two both".split())
"""Words after "you" with which people are named."""


def spans(words: Sequence[str], breaks: Sequence[bool]) -> list[tuple[list[int], str]]:
    """The places of the words of each clause, with the word that opened it ("" for none).

    `breaks[i]` is true where punctuation follows word i.
    """
    found: list[list[int]] = [[]]
    heads: list[str] = [""]

    def begin(head: str = "") -> None:
        found.append([])
        heads.append(head)

    passed_over = mild(words)
    for place, word in enumerate(words):
        sofar = [words[earlier] for earlier in found[-1]]
        well = word == "but" and place - 1 in passed_over and bool(sofar) and sofar[-1] in BE
        opener = None if well else _opener(words, place, sofar)
        if opener is None and heads[-1] == "when" and _goes_on_with_no(words, place, found):
            opener = word
        if starts_anew(words, place, sofar) and not _tells_only_when(sofar):
            begin()
        if opener is not None:
            begin(opener)
        if opener in {None, "instead"} and not well and place not in passed_over:
            found[-1].append(place)
        goes_on = _is_list(words, breaks, found[-1], place + 1) or _contrasts(words, place + 1)
        so_far = [words[earlier] for earlier in found[-1]]
        if breaks[place] and found[-1] and not goes_on and not _tells_only_when(so_far):
            begin()
    return [(span, head) for span, head in zip(found, heads, strict=True) if span]


def _tells_only_when(texts: Sequence[str]) -> bool:
    """Whether nothing is told but that it was afterwards: "and afterwards, he moves his feet"."""
    return not _AFTERWARDS.isdisjoint(texts) and _AFTERWARDS.issuperset(texts[1:])


def _opener(words: Sequence[str], place: int, sofar: Sequence[str]) -> str | None:
    """What opens a clause at a place: its word, "instead", "so" for a new act; None for nothing."""
    word, following = words[place], words[place + 1 : place + 3]
    if word in {"instead", "rather"} and following[:1] in (["of"], ["than"]):
        return "instead"
    if word in BREAKS and not _goes_on(words, place, sofar) and not asks_for(word, sofar):
        return word
    if word == "after" and not AFTER_WHICH.isdisjoint(following[:1]):
        return word
    if word == "and" and _new_verb(following, sofar):
        return "so"
    if word == "and" and _new_subject(words, place + 1, sofar):
        return word
    return None


def _goes_on(words: Sequence[str], place: int, sofar: Sequence[str]) -> bool:
    """Whether a word that else parts clauses is part of this one: "at once", "from before",
    "do you mind if I help"."""
    before, after = sofar[-1:], words[place + 1 : place + 2]
    match words[place]:
        case "once":
            return words[place - 1 : place] == ["at"] or not _ONCE_AGAIN.isdisjoint(after)
        case "if":
            return before == ["mind"] or sofar[:2] == ["is", "it"]
        case "before":
            return before == ["from"]
        case "so":
            return before == ["not"]
        case _:
            return False


def _goes_on_with_no(words: Sequence[str], place: int, spans: Sequence[Sequence[int]]) -> bool:
    """Whether what is not there is told on: "no answer when I call and no cough"."""
    told = len(spans) > 1 and bool(spans[-2]) and words[spans[-2][0]] in NEGATORS
    following = [word for word in words[place + 1 : place + 3] if word not in {"um", "uh"}]
    return told and words[place] == "and" and following[:1] == ["no"]


def _is_list(words: Sequence[str], breaks: Sequence[bool], span: list[int], start: int) -> bool:
    """Whether a pause only parts one thing named from the next: "my gloves, goggles and mask"."""
    end = next((p + 1 for p in range(start, len(words)) if breaks[p]), len(words))
    here, following = [words[p] for p in span], list(words[start:end])
    if not following or any(word in NEGATORS for word in (*here, *following)):
        return False
    if _tells_you(following) or _only_numbers(following):
        return False
    if _only_things(here):
        return True
    if not _only_things(following):
        return False
    last = next((p + 1 for p in range(end, len(words)) if breaks[p]), len(words))
    beyond = words[end:last]  # "..., and my gloves, goggles and mask are on" is a list of its own
    return not any(word in BE for word in beyond) or beyond[0] in SUBJECTS


def _only_numbers(texts: Sequence[str]) -> bool:
    """Whether only a number is said: "I'm pushing, one, two", "how bad zero to ten, seven"."""
    return all(text in GRAMMAR_WORDS - {"a", "and", "over"} for text in texts)


def _tells_you(texts: Sequence[str]) -> bool:
    """Whether words tell somebody what he does: "you take the baby"; "you and I" are people."""
    said = list(texts[1:] if texts[0] == "and" else texts)
    return said[:1] == ["you"] and len(said) > 2 and said[1] not in _NAMES_SEVERAL


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
    said = is_past(["", *before]) or any(w in BE or w.endswith("ing") for w in before)
    said = said or (len(before) > 1 and before[0] in {"it", "they"})  # "they move and the ..."
    return said and following[0] in DETERMINERS and any(word in BE for word in following[1:])


def _new_verb(following: Sequence[str], before: Sequence[str]) -> bool:
    """Whether "and" begins a second act with its own object: "closed the kit and opened the valve".

    What is denied or planned goes on instead ("I haven't opened it and checked the joint").
    """
    if len(following) < 2 or any(word in NEGATORS | OMISSIONS for word in before):
        return False
    acts = following[0] in DOINGS - {"took"} or following[0].endswith(("ed", "ing"))
    return acts and following[1] in DETERMINERS and tells_plainly(before)
