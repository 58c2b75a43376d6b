"""What a recogniser must listen for besides the phrases of a step: its bad findings.

They are written as words of which some are enough, and no phrase may hold them: "gasping".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set

from coach.language.context import Words


def finding_phrases(words: Words, known: Set[str]) -> Iterator[str]:
    """Short phrases that hold each word that is not `known` from a phrase.

    They are words of a finding, or of what is done wrongly:
    "mask small/big" gives "mask small" and "mask big".
    """
    for line in (*words.absent, *words.wrong, *words.signs):
        forms = [part.split("/") for part in line.lower().split()]
        for place, alike in enumerate(forms):
            for word in alike:
                if word not in known and word.isascii() and word.replace("'", "").isalpha():
                    yield " ".join([*_firsts(forms[:place]), word, *_firsts(forms[place + 1 :])])


def _firsts(forms: Iterable[list[str]]) -> list[str]:
    return [alike[0] for alike in forms]
