"""Acts told of a part of the body that the step does not speak of: "it is on his neck"."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from coach.language.clause import Clause
from coach.language.clause_words import BE, DETERMINERS
from coach.language.match import Match
from coach.language.normal import plain
from coach.language.word_forms import stem

BODY = frozenset(
    map(
        stem,
        "head face forehead eyes eye ear ears nose nostril mouth lips lip tongue chin cheek cheeks"
        " jaw neck throat shoulder shoulders arm arms armpit armpits elbow elbows forearm wrist"
        " wrists hand hands finger fingers fingertip thumb palm palms knuckle knuckles chest"
        " breastbone sternum ribs rib belly stomach abdomen navel back spine hip hips pelvis"
        " buttock buttocks bottom groin thigh thighs leg legs knee knees shin calf ankle ankles"
        " foot feet heel toe toes collarbone skull shirt sleeve jacket clothes".split(),
    )
)
"""Parts of the body, and what covers them; as stems."""

_NEAR = tuple(
    frozenset(map(stem, pair.split()))
    for pair in ("nose nostril", "chest breastbone sternum", "finger fingertip", "mouth lips")
)
"""Parts of which one stands for the other in everyday words."""

_POSTURE = frozenset(map(stem, "back feet knees side".split()))
"""On these a patient lies or stands."""

PLACING = frozenset(
    map(
        stem,
        "put place lay stick press strike wrap seal insert slide push pinch tie tighten measure fit"
        " hold bend pack touch prick bring cover pull find choose strap".split(),
    )
)
"""Words of a step that is done at one part of the body and no other."""

_AT = frozenset("on onto over at under against into in around across below to up through".split())
_DESCRIBING = frozenset(
    "left right lower upper near far front bare broken injured hurt outer inner whole my his her"
    " patient's other middle sore bad good".split()
)


@lru_cache(maxsize=4096)
def parts_named(texts: tuple[str, ...]) -> frozenset[str]:
    """The parts of the body that texts speak of, as stems; none where nothing is placed on any.

    The first text is the one short sentence that says what to do.
    """
    first, *_ = [{stem(word) for word in plain(text).split()} for text in texts]
    if not first & PLACING:
        return frozenset()
    named = frozenset(stem(word) for text in texts for word in plain(text).split()) & BODY
    return named.union(*(near for near in _NEAR if near & named))


def at_another_part(match: Match, clause: Clause, known: frozenset[str]) -> bool:
    """Whether the act of a match is told of a part of the body that its step does not know.

    "Over his eyes", "on the left ear": after a word that says where, in the same part of the
    clause. A step that knows none (`known`) has nothing to do with the body.
    """
    if not known:
        return False
    first, last = min(match.places), max(match.places)
    named = {word.place for word in clause.words if word.stem in BODY}
    return any(
        part not in known
        and first < place
        and place not in match.places
        and not any(last < mark < place for mark in clause.ands)
        and not any(last < other < place for other in named)
        for place, part in _parts(clause)
    )


def _parts(clause: Clause) -> Iterator[tuple[int, str]]:
    """The parts of the body at which something is said to be, each with its place."""
    words = clause.words
    for at, word in enumerate(words):
        end = at + 1
        while end < len(words) and words[end].text in DETERMINERS | _DESCRIBING:
            end += 1
        if word.text not in _AT or end >= len(words) or words[end].stem not in BODY:
            continue
        if at and words[at - 1].text in {"not", "never"}:
            continue  # "to the lobe, not to the chin"
        lies = word.text in {"on", "onto"} and words[end].stem in _POSTURE
        following = words[end + 1].text if end + 1 < len(words) else ""
        begins_anew = following in BE or following.endswith("ed")
        if not lies and not begins_anew:  # "gloves on, his lips are pink"
            yield words[end].place, words[end].stem
