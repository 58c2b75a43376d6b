"""Whether a date of expiry lies ahead or is over: "expires next year", "expired last month"."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.word_forms import stem

EXPIRY = stem("expired")

_AHEAD = frozenset("next until till through later ahead".split())
_OVER = frozenset("last ago past already yesterday over".split())
_UNITS = frozenset("day days week weeks month months year years".split())


def is_over(texts: Sequence[str]) -> bool | None:
    """Whether what is told to expire has done so; None where it is not said."""
    words = set(texts)
    if words & _OVER or "expired" in words:
        return True
    if words & _AHEAD or ("in" in words and words & _UNITS):
        return False
    return None
