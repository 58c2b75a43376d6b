"""Names of people: how they are kept, and when two are the same."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping

from coach.core.errors import InputError
from coach.procedure.wording import nearest
from coach.report.cells import FORMULA_SIGNS

LONGEST = 300
"""Letters of the longest name; the longest names on record are shorter (no source: a bound that
keeps a pasted page from becoming a name)."""

ID_DIGITS = 8
"""Digits of an id by which people of one name are told apart."""

_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the direction of all that follows (Unicode Standard Annex 9, section 2); names
written from right to left need none."""


def tidy_name(text: str, called: str = "The name") -> str:
    """A name as it is kept: composed letters (NFC), single spaces.

    InputError for one that is empty, too long, looks like a formula, or holds what is no letter:
    control characters, halves of surrogates, marks that turn the direction of the text.
    """
    name = _tidy(text, called)
    if not name:
        raise InputError(f"{called} is empty: give one.")
    if name[0] in FORMULA_SIGNS:
        raise InputError(
            f'{called} "{_short(name)}" begins with {name[0]}, which a spreadsheet would take '
            "for a formula: leave the sign out."
        )
    if not any(unicodedata.category(letter)[0] in "LN" for letter in name):
        raise InputError(f'{called} "{_short(name)}" holds no letter: give a name.')
    return name


def tidy_note(text: str, called: str = "The note") -> str:
    """As `tidy_name`, for words that may be empty or begin with any sign."""
    return _tidy(text, called)


def called_by(name: str, note: str) -> str:
    """What somebody is called: the name, with the note in brackets if there is one."""
    return f"{name} ({note})" if note else name


def nearest_called(name: str, called: Iterable[str]) -> str | None:
    """Who of those called so was probably meant by a name that nobody has; None for nobody."""
    folded = {one.casefold(): one for one in called}
    near = nearest(name.casefold(), folded)
    return None if near is None else folded[near]


def name_key(name: str) -> str:
    """Two names are the same when their keys are: composed (NFC), case folded (Unicode 3.13,
    toCasefold), without letters that cannot be seen."""
    seen = "".join(letter for letter in name if unicodedata.category(letter) != "Cf")
    folded = unicodedata.normalize("NFC", seen).casefold()
    return " ".join(unicodedata.normalize("NFC", folded).split())


def told_apart(called: Mapping[str, str]) -> dict[str, str]:
    """What people are called, by id, with the beginning of the id where several are called alike.

    One register has no two of one name; a database that stations share may.
    """
    alike = Counter(map(name_key, called.values()))
    return {
        id_: f"{name} ({id_[:ID_DIGITS]})" if alike[name_key(name)] > 1 else name
        for id_, name in called.items()
    }


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name as they are heard: case folded, without accents and signs."""
    letters = unicodedata.normalize("NFKD", name_key(name))
    heard = "".join(
        letter if unicodedata.category(letter)[0] in "LN" else " "
        for letter in letters
        if not unicodedata.combining(letter) and letter not in "'\u2019"
    )
    return tuple(heard.split())


def _tidy(text: str, called: str) -> str:
    name = " ".join(unicodedata.normalize("NFC", text).split())
    if len(name) > LONGEST:
        raise InputError(
            f'{called} "{_short(name)}" is {len(name)} letters long: {LONGEST} are the most.'
        )
    wrong = next((letter for letter in name if _is_no_letter(letter)), None)
    if wrong is not None:
        raise InputError(
            f"{called} holds the character U+{ord(wrong):04X}, which cannot be seen and is no part "
            "of a name: write it anew without."
        )
    return name


def _is_no_letter(letter: str) -> bool:
    return letter in _TURNING or unicodedata.category(letter) in ("Cc", "Cs", "Cn", "Co")


def _short(name: str) -> str:
    return name if len(name) <= 40 else f"{name[:37]}..."
