"""Words as a recogniser of speech writes them."""

from __future__ import annotations

import re

from coach.trade.wording import number_words

_FIGURES = re.compile(r"\d+(?:\.\d+)?")
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_NOT_WRITTEN = re.compile(r"[^a-z']+")


def as_recognised(text: str) -> str:
    """The text in lower case, numbers in words, without punctuation and hyphens.

    The program's own recogniser writes the letters of English and the apostrophe, and no more.
    """
    line = text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    worded = _FIGURES.sub(lambda n: f" {number_words(float(n[0]))} ", _THOUSANDS.sub("", line))
    return _NOT_WRITTEN.sub(" ", worded).strip()
