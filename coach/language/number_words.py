"""The words numbers are said with, and which of them sound alike."""

from __future__ import annotations

DIGITS: dict[str, int] = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "fower": 4,
    "fife": 5,
    "niner": 9,
}
"""Digits but zero; the last three are the radio forms of ICAO Annex 10 vol. II, 5.2.1.4.3."""

ZEROS = frozenset({"zero", "nought", "naught"})
LETTER_ZEROS = frozenset({"oh", "o"})
"""Zero only among other digits: alone they are an exclamation, or the letter of oxygen."""

TEENS: dict[str, int] = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
TENS: dict[str, int] = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
REPEATS = {"double": 2, "triple": 3, "treble": 3}
SCALES = {"hundred": 100, "thousand": 1000}
POINTS = frozenset({"point", "decimal", "dot"})
MINUSES = frozenset({"minus", "negative"})
FRACTIONS: dict[tuple[str, ...], float] = {
    ("a", "half"): 0.5,
    ("one", "half"): 0.5,
    ("half",): 0.5,
    ("a", "quarter"): 0.25,
    ("one", "quarter"): 0.25,
    ("quarter",): 0.25,
    ("three", "quarters"): 0.75,
    ("three", "quarter"): 0.75,
}

TEEN_TO_TEN: dict[str, str] = {
    "thirteen": "thirty",
    "fourteen": "forty",
    "fifteen": "fifty",
    "sixteen": "sixty",
    "seventeen": "seventy",
    "eighteen": "eighty",
    "nineteen": "ninety",
}
"""The pairs that differ by stress and one nasal; fifteen heard for fifty is on record as a drug
error (Pennsylvania Patient Safety Advisory 3(2), June 2006)."""

SWAPS: dict[str, str] = {
    **TEEN_TO_TEN,
    **{ten: teen for teen, ten in TEEN_TO_TEN.items()},
    "fourty": "fourteen",
}

BEFORE_SCALES = ("two", "four", "eight")
"""Words that are lost most easily before "hundred": they sound like "to", "for" and "a"."""

GRAMMAR_WORDS: frozenset[str] = frozenset(
    {*DIGITS, *ZEROS, *LETTER_ZEROS, *TEENS, *TENS, *REPEATS, *SCALES, *POINTS, *MINUSES}
    | {word for phrase in FRACTIONS for word in phrase}
    | {"a", "and", "over"}
) - {"fourty"}
"""Every word the number grammar knows, as a recogniser spells it."""

MAY_BEGIN: frozenset[str] = GRAMMAR_WORDS | {"fourty"}
"""The words with which a number may begin, if it does not begin with a figure."""

FILLERS: frozenset[str] = frozenset(
    "um uh er erm ah hmm mm oh well so okay ok right yeah yes yep yup no nope and like just now "
    "please then there here sir maam good alright exactly precisely currently still again "
    "only even sharp flat correct incorrect wrong affirmative".split()
)
"""Words that may stand around a number without making it a number of something else."""

LEADS: frozenset[str] = frozenset(
    "is it's its it was are at i'm im i i've ive we've have has had got get getting see seeing "
    "read reads reading readings say says saying show shows showing showed "
    "that's thats the my a an of to on set put up down running run giving gives gave "
    "pressure flow gauge dial cylinder tank bottle meter flowmeter regulator monitor oximeter "
    "sat sats saturation spo2 oxygen o2 rate pulse heart breathing respiratory respiration "
    "respirations resps vacuum suction size number length distance measures measured measuring "
    "measure counted count counting equals turned dialed dialled opened "
    "blood bp systolic make call one's flow's gauge's pressure's saturation's sat's vacuum's "
    "sugar's glucose's pulse's rate's "
    "needle's needle pulls pulling climbs hits hit goes went sits sat stays "
    "ox satting hr rr resp breaths radial wrist pain severity sugar glucose bgl bg".split()
)
"""Words that may lead up to a number that was asked for ("the gauge reads ...")."""

ONE_LEADS: frozenset[str] = LEADS - frozenset("i put on a an my to up down have got has of".split())
"""The leads after which a lone "one" is still a number: not "I put one on", not "I have one"."""

SCORED = frozenset(
    "eye eyes verbal voice speech motor movement limbs arm score scores "
    "appearance color pulse heart grimace activity tone respiration breathing".split()
)
"""What points are given for: a bare number right after it is theirs ("motor six")."""
