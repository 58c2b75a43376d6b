"""Points told in a row: "four five six", or each by its name, "eyes four, verbal five"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set

from coach.language.clause_words import DETERMINERS
from coach.language.number_words import DIGITS, ZEROS
from coach.language.numbers import find_numbers
from coach.language.word_forms import stem

_BESIDES = frozenset(
    "a an the and with for of is are was gets get got i say i'd give given it's he's she's that's"
    " score scored points point response responses part parts no yes yeah right correct sorry wait"
    " then so um uh okay total gcs apgar".split()
)
"""Words that may stand between the points of a row and name none of them."""


_POINTS = frozenset({"point", "points"})
_OF_WHAT = frozenset({"for", "on", "in"})

_BESIDES_A_NAME = _BESIDES | frozenset(
    "still now stays remains again actually his her its their your he she they i'll i've i'm we'd"
    " make makes call be were had have has would at also only just stands counts counted rate"
    " rates rated for".split()
)
"""Words that may stand beside points and the name of their part as well."""

ALSO_CALLED: Mapping[str, tuple[str, ...]] = {
    "eye": ("eyes", "lids"),
    "verbal": ("voice", "speech", "talk"),
    "motor": ("limbs", "arm", "arms", "movement"),
    "appearance": ("color", "colour", "skin"),
    "pulse": ("heart", "heartbeat", "heartrate"),
    "grimace": ("reflex", "reflexes", "irritability"),
    "activity": ("tone", "muscle", "movement"),
    "respiration": ("breathing", "breath", "breaths", "respirations"),
}
"""What else the parts of scores are called, by the name of their reading."""

_TOTALS = frozenset({"total", "totals", "sum", "altogether", "gcs", "apgar", "makes", "adds"})
_LEADS_TO_A_TOTAL = frozenset(
    "is are was of a an comes to now the still equals points score scores that it up all"
    " together".split()
)
_TIMES = frozenset({"minute", "minutes", "o'clock", "hundred", "hours", "am", "pm"})
"""Words around the number of a total; none of them a part's own."""

_LETTER_AND_POINTS = re.compile(r"\b([a-z])([0-9])\b")
"""A part and its points written as one: "e4"."""


def points_by_name(text: str, names: Mapping[str, Sequence[str]]) -> Mapping[str, int]:
    """The points of each part that is named with them, before or after; none where anything else is
    told: "the pulse gets two points", "two for the tone, one for the color"."""
    labels = {part: (*words, *ALSO_CALLED.get(part, ())) for part, words in names.items()}
    known = _labels(labels)
    words = _LETTER_AND_POINTS.sub(r"\1 \2", text).split()
    row = _row(_name_first(words, known), known, _BESIDES_A_NAME)
    told = [(part, points) for part, points in row if part is not None]
    if len({part for part, _ in told}) < len(row):
        return {}
    found = dict(told)
    return {part: found[part] for part in names if part in found}


def _name_first(words: Sequence[str], labels: Mapping[str, str]) -> list[str]:
    """The words with a part that follows its points ("two points for the tone") before them."""
    found: list[str] = []
    place = 0
    while place < len(words):
        name = _name_after(words, place, labels) if _points(words[place]) is not None else None
        if name is None:
            found.append(words[place])
            place += 1
        else:
            found += [words[name], words[place]]
            place = name + 1
    return found


def _name_after(words: Sequence[str], place: int, labels: Mapping[str, str]) -> int | None:
    """Where the part of the points at a place is named: after a "for", "on" or "in"."""
    rest = [at for at in range(place + 1, len(words)) if words[at] not in _POINTS]
    if not rest or words[rest[0]] not in _OF_WHAT:
        return None
    after = [at for at in rest[1:] if words[at] not in DETERMINERS][:1]
    return next((at for at in after if stem(words[at]) in labels), None)


def points_beside_names(text: str, names: Mapping[str, Sequence[str]]) -> Mapping[str, int]:
    """The points that follow the name of each part, whatever else is told."""
    labels = _labels({part: (*said, *ALSO_CALLED.get(part, ())) for part, said in names.items()})
    found: dict[str, int] = {}
    label: str | None = None
    for word in _LETTER_AND_POINTS.sub(r"\1 \2", text).split():
        points = _points(word)
        if points is not None and label is not None:
            found[label] = points
        if points is not None or word not in _BESIDES_A_NAME:
            label = labels.get(stem(word))
    return found


def totals_told(text: str, most: int) -> tuple[int, ...]:
    """The totals of a score that a text tells: "the total is twelve", "twelve out of fifteen".

    `most` is the highest total. A number after "at" is a time, and one of minutes tells when.
    """
    words = text.split()
    found = []
    for number in find_numbers(words):
        value = number.values[0]
        after = words[number.end : number.end + 3]
        whole = value == int(value) and 0 <= value <= most
        if whole and (_out_of(after, most) or _named_total(words, number.start, after)):
            found.append(int(value))
    return tuple(found)


def _out_of(after: Sequence[str], most: int) -> bool:
    rest = after[1:] if after[:1] == ["out"] else after
    numbers = find_numbers(rest[1:])
    return rest[:1] == ["of"] and bool(numbers) and numbers[0].values[0] == most


def _named_total(words: Sequence[str], start: int, after: Sequence[str]) -> bool:
    """Whether a total is named right before a number, and no time after it."""
    if after[:1] and (after[0] in _TIMES or find_numbers(after[:1])):
        return False
    at = start - 1
    while at >= 0 and words[at] in _LEADS_TO_A_TOTAL:
        at -= 1
    if at >= 1 and words[at] in _TIMES:  # "the score at one minute is eight"
        at -= 2 if words[at - 1] not in {"at", "after"} else 1
        at -= at >= 0 and words[at] in {"at", "after"}
    return at >= 0 and words[at] in _TOTALS and at < start


def points_in_a_row(text: str, names: Mapping[str, Sequence[str]]) -> Mapping[str, int]:
    """The points of each part, by its key of `names`, in the order of these; none where no row is.

    A row without names has points for all parts, in their order. One with names has a name right
    before each number, and may leave parts out. `names` are the words that each part is called by.
    """
    row = _row(_LETTER_AND_POINTS.sub(r"\1 \2", text).split(), _labels(names), _BESIDES)
    told = [part for part, _ in row]
    if row and not any(told) and len(row) == len(names):
        told = list(names)
    parts = [part for part in told if part is not None]
    if len(set(parts)) < len(row):
        return {}
    found = dict(zip(parts, (points for _, points in row), strict=True))
    return {part: found[part] for part in names if part in found}


def _row(
    words: Sequence[str], labels: Mapping[str, str], besides: Set[str]
) -> list[tuple[str | None, int]]:
    """The numbers of a text with the part named before each; empty where it tells anything else."""
    row: list[tuple[str | None, int]] = []
    label: str | None = None
    for word in words:
        points, named = _points(word), labels.get(stem(word))
        if points is not None:
            row.append((label, points))
            label = None
        elif named is not None and label in {None, named}:
            label = named
        elif named is not None or word not in besides:
            return []
    return row if label is None else []


def _labels(names: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """The part that each stem names; a first letter only where no two parts share it."""
    firsts = [part[:1] for part in names]
    labels = {part[:1]: part for part in names if firsts.count(part[:1]) == 1}
    return {**labels, **{stem(word): part for part, words in names.items() for word in words}}


def _points(word: str) -> int | None:
    if word in ZEROS:
        return 0
    if len(word) == 1 and word.isdecimal():
        return int(word)
    return DIGITS.get(word)
