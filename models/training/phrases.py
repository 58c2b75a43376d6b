"""The sentences the recogniser is trained and tested on: commands, readings, steps, free speech.

A template is plain text with `[a|b|c]` for a choice (nested choices are allowed, an empty branch
makes a part optional) and `{name}` for a named list. Everything is written in lower case, numbers
in words, US spelling; abbreviations stand unspaced ("psi", "npa") and `spoken` spells them out for
a synthesiser. All text here was written for this project; none is quoted from a score sheet.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

from command_sentences import CONTROLS
from reading_sentences import reading
from step_sentences import LISTS, PARAPHRASES, PHRASES

SPELLED = {
    "psi": "P S I",
    "kpa": "K P A",
    "npa": "N P A",
    "opa": "O P A",
    "bvm": "B V M",
    "emt": "E M T",
    "ems": "E M S",
    "spo": "S P O",
    "bp": "B P",
    "ppe": "P P E",
    "bsi": "B S I",
    "mmhg": "M M H G",
    "lpm": "L P M",
    "id": "I D",
    "ok": "okay",
    "din": "din",
    "copd": "C O P D",
    "als": "A L S",
}

_CHOICE = re.compile(r"\[([^\[\]]*)\]")


def expand(template: str, rng: random.Random) -> str:
    """One random sentence of a template."""
    template = re.sub(r"\{(\w+)\}", lambda m: rng.choice(LISTS[m.group(1)]), template)
    while True:
        match = _CHOICE.search(template)
        if match is None:
            return " ".join(template.split())
        template = (
            template[: match.start()]
            + rng.choice(match.group(1).split("|"))
            + template[match.end() :]
        )


_FILLERS = (
    "okay",
    "um",
    "uh",
    "so",
    "well",
    "now",
    "alright",
    "and",
    "right",
    "okay so",
    "let me see",
    "hey",
    "yeah",
    "you know",
    "i think",
    "er",
)
_TAILS = (
    "now",
    "okay",
    "i think",
    "right",
    "please",
    "for you",
    "here",
    "so far",
    "already",
    "too",
    "thanks",
    "got it",
    "done",
)


def control(rng: random.Random) -> str:
    """A control phrase, sometimes with a filler, a repeat or a second command behind it."""
    text = rng.choice(CONTROLS)
    roll = rng.random()
    if roll < 0.12:
        return (
            rng.choice(("okay", "um", "coach", "please", "no", "yes", "hey", "well", "wait"))
            + " "
            + text
        )
    if roll < 0.18:
        return text + " " + rng.choice(("please", "coach", "now", "thanks", "okay", "again"))
    if roll < 0.22:
        return text + " " + rng.choice(CONTROLS)
    return text


def step(rng: random.Random) -> str:
    """A step report, sometimes with filler, tail or a reading after it."""
    text = expand(rng.choice(PHRASES if rng.random() < 0.62 else PARAPHRASES), rng)
    roll = rng.random()
    if roll < 0.15:
        text = rng.choice(_FILLERS) + " " + text
    elif roll < 0.25:
        text = text + " " + rng.choice(_TAILS)
    elif roll < 0.33:
        text = (
            text
            + " "
            + rng.choice(("and", "then", "", "so", "next"))
            + " "
            + expand(rng.choice(PHRASES), rng)
        )
    elif roll < 0.38:
        text = text + " " + reading(rng)
    return " ".join(text.split())


def random_words(rng: random.Random, lexicon: Sequence[str]) -> str:
    return " ".join(rng.choice(lexicon) for _ in range(rng.choice((1, 1, 2, 3, 4, 5))))


def clean(text: str) -> str:
    """Lower case, a-z, apostrophe and single spaces only; anything else becomes a space."""
    return " ".join(re.sub(r"[^a-z' ]", " ", text.lower().replace("’", "'")).split())


def spoken(text: str) -> str:
    """The same sentence as a synthesiser should read it."""
    return " ".join(SPELLED.get(word, word) for word in text.split())


def lexicon() -> list[str]:
    """Every word of the commands, steps, paraphrases in training and readings: about a thousand."""
    found: set[str] = set()
    for source in (
        *CONTROLS,
        *PHRASES,
        *PARAPHRASES,
        *(item for items in LISTS.values() for item in items),
    ):
        found |= set(clean(re.sub(r"\{\w+\}|[\[\]|]", " ", source)).split())
    rng = random.Random(11)
    for _ in range(4000):
        found |= set(clean(reading(rng)).split())
    return sorted(found)
