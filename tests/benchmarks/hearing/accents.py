"""Accents: voices of regions, and English said with the sounds of another first language.

The swaps are the usual ones of learners (compare M. Swan and B. Smith, Learner English, Cambridge
2001; put down here from memory). They make sounds of the accent, not its rhythm: real people would
be better, and hardly any were had.
"""

# ruff: noqa: RUF001 - IPA has letters that look like others

from __future__ import annotations

from collections.abc import Mapping

Swap = tuple[str, str, str, str]
"""A sound in espeak-ng's signs and in IPA (regular expressions), and what it becomes in each."""

TH: tuple[Swap, ...] = (("T", "θ", "t", "t"), ("D", "ð", "d", "d"))
TH_HISSED: tuple[Swap, ...] = (("T", "θ", "s", "s"), ("D", "ð", "z", "z"))
W_AS_V: tuple[Swap, ...] = (("w", "w", "v", "v"),)
V_AS_B: tuple[Swap, ...] = (("v", "v", "b", "b"),)
SHORT_I: tuple[Swap, ...] = (("(?<![aeO])I2?(?!@)", "(?<![aeɔ])ɪ", "i:", "iː"),)
FLAT_A: tuple[Swap, ...] = (("a(?![IU])", "æ", "E", "ɛ"),)
NO_H: tuple[Swap, ...] = (("h", "h", "", ""),)
Z_AS_S: tuple[Swap, ...] = (("z", "z", "s", "s"),)
UP_AS_A: tuple[Swap, ...] = (("V", "ʌ", "a", "a"),)

SWAPS: Mapping[str, tuple[Swap, ...]] = {
    "German": (*TH_HISSED, *W_AS_V, *FLAT_A),
    "French": (*TH_HISSED, *NO_H, *SHORT_I),
    "Spanish": (*TH, *V_AS_B, *Z_AS_S, *SHORT_I, *UP_AS_A),
    "Hindi": (*TH, *W_AS_V, *FLAT_A),
    "Greek": (*SHORT_I, *UP_AS_A, ("S", "ʃ", "s", "s"), ("Z", "ʒ", "z", "z")),
}

AT_HOME = ("en-us", "en-gb-x-rp", "en")
REGIONS = ("en-gb-scotland", "en-029", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-us-nyc")

SPEAKERS: Mapping[str, str] = {"theo": "US", "nicolas": "Belgian French", "george": "Greek"}
"""Accents of the Free Spoken Digit Dataset's speakers, from its metadata.py."""
