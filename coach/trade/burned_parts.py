"""Which parts of a body are burned, as they are named in a sentence: "the whole left arm"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil, floor

from coach.trade.burns import (
    BurnedArea,
    BurnTables,
    ChartPart,
    NinesPart,
    burned_by_chart,
    burned_by_nines,
    burned_by_palms,
)
from coach.trade.questions import Question
from coach.trade.wording import cardinal

_LIMBS = {
    "arm": (NinesPart.LEFT_ARM, NinesPart.RIGHT_ARM),
    "leg": (NinesPart.LEFT_LEG, NinesPart.RIGHT_LEG),
}
_HALF_OF_FRONT = ("chest", "belly", "abdomen", "stomach")
_TRUNK = ("trunk", "torso")
_NAMED = (*_LIMBS, "arms", "legs", *_HALF_OF_FRONT, "back", "head")
_NOT_TOLD = (
    *("face", "neck", "scalp", "shoulder", "shoulders", "hand", "hands", "finger", "fingers"),
    *("forearm", "forearms", "elbow", "wrist", "thigh", "thighs", "shin", "shins", "calf", "knee"),
    *("knees", "foot", "feet", "toes", "groin", "genitals", "buttock", "buttocks", "side", "sides"),
    *("trunk", "torso", "body"),
)
"""Parts of which no table here gives a share of its own; "percent of the body" names none."""

_PERSON = r"(?:of\s+)?(?:the\s+|his\s+|her\s+|their\s+|its\s+)?"
_EXTENT = r"(?P<extent>whole|entire|all\s+of|half|front\s+of|back\s+of)\s+"
_SIDE = r"(?P<side>left\s+|right\s+|one\s+|both\s+|a\s+|an\s+)?"
_PART = rf"(?P<part>{'|'.join(sorted(_NAMED, key=len, reverse=True))})\b"
_TOLD = re.compile(rf"\b(?P<both>both\s+)?{_EXTENT}{_PERSON}{_SIDE}{_PART}")
_TRUNK_SIDE = re.compile(
    rf"\b(?P<share>half\s+(?:of\s+)?)?(?:the\s+)?(?P<side>front(?:\s+and\s+(?:the\s+)?back)?|back(?:\s+and\s+(?:the\s+)?front)?)\s+of\s+"
    rf"{_PERSON}"
    rf"(?:{'|'.join(_TRUNK)})\b"
)
_OF_THE_BODY = re.compile(r"\bof\s+(?:the\s+|his\s+|her\s+)?body\b")
_NOT_ALL = re.compile(
    r"\b(?:half|third|quarter|part|parts|most|some|except|but|or|maybe|if|not|no|without|red|redness"
    r"|superficial|isn't|aren't|first\s+degree)\b"
)
"""Words that take something from what was told of, or leave it open; red skin does not count."""

_ANY_PART = re.compile(rf"\b(?:{'|'.join((*_NAMED, *_NOT_TOLD))})\b")
_IN_ONE = {
    **dict.fromkeys(("head", "face", "scalp", "neck"), NinesPart.HEAD),
    **dict.fromkeys(("back", "buttock", "buttocks"), NinesPart.BACK),
    "genitals": NinesPart.GENITALS,
}
_IN_LIMB = {
    **dict.fromkeys(("arm", "hand", "finger", "forearm", "elbow", "wrist"), "arm"),
    **dict.fromkeys(("leg", "thigh", "shin", "calf", "knee", "foot", "feet", "toe"), "leg"),
}
"""What lies in which part of the rule of nines; shoulders, sides and the groin lie in several."""

_ONE_SIDE = re.compile(r"\b(left|right)\s+$")
_BOTH = re.compile(r"\bboth\s+(?:of\s+)?(?:the\s+|his\s+|her\s+|their\s+)?$")
_PERHAPS_MORE = re.compile(
    r"\b(?:except|but|or|maybe|if|not|no|without|isn't|aren't|also|too|well|plus|more|other|others"
    r"|rest|everything|altogether|total|together|already|earlier|before|besides|palms?|dressing"
    r"|sheet|water|gloves?|my)\b"
)
"""Words that tell of more, of other parts, or of what is done to them."""

_SMALL = {cardinal(number): number for number in range(1, 31)} | {"a": 1}
_PALMS = re.compile(r"\b(?P<number>[0-9]+|[-a-z]+)\s+(?:of\s+)?(?:his\s+|her\s+|their\s+)?palms?\b")

_ARM = {ChartPart.UPPER_ARMS: 0.5, ChartPart.FOREARMS: 0.5, ChartPart.HANDS: 0.5}
_LEG = {ChartPart.THIGHS: 0.5, ChartPart.LOWER_LEGS: 0.5, ChartPart.FEET: 0.5}
CHART_OF: dict[NinesPart, dict[ChartPart, float]] = {
    NinesPart.HEAD: {ChartPart.HEAD: 1.0, ChartPart.NECK: 1.0},
    NinesPart.FRONT: {ChartPart.FRONT: 1.0},
    NinesPart.BACK: {ChartPart.BACK: 1.0, ChartPart.BUTTOCKS: 1.0},
    NinesPart.LEFT_ARM: _ARM,
    NinesPart.RIGHT_ARM: _ARM,
    NinesPart.LEFT_LEG: _LEG,
    NinesPart.RIGHT_LEG: _LEG,
    NinesPart.GENITALS: {ChartPart.GENITALS: 1.0},
}
"""The parts of the one table in those of the other (what belongs to what: common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class BurnedParts:
    """What was told of as burned: the share (0 to 1) of each part, or palms of the patient."""

    shares: tuple[tuple[NinesPart, float], ...] = ()
    palms: float = 0.0


@dataclass(frozen=True, slots=True)
class PublishedArea:
    """The area by the usual rule, and between which percentages the published tables lie.

    `low` and `high` are whole percent, rounded outwards.
    """

    area: BurnedArea
    low: int
    high: int


def burned_parts(text: str) -> BurnedParts | None:
    """The burned parts that a sentence (lower case, no punctuation) tells with how much of each.

    None where it names none, or also one without saying how much, or one of which no table gives
    a share, or takes back some of it ("half of it red"): a sum of what is half known would be
    wrong.
    """
    palms = _palms(text)
    rest = _OF_THE_BODY.sub(" ", text)
    shares: dict[NinesPart, float] = {}
    for found in _TRUNK_SIDE.finditer(rest):
        for part in _sides(found):
            shares[part] = 0.5 if found["share"] else 1.0
    rest = _TRUNK_SIDE.sub(" ", rest)
    for found in _TOLD.finditer(rest):
        for part, share in _shares(found):
            shares[part] = min(1.0, shares.get(part, 0.0) + share)
    rest = _TOLD.sub(" ", rest)
    if _NOT_ALL.search(rest):
        return None
    if palms is not None:
        return None if shares else BurnedParts(palms=palms)
    if not shares or _ANY_PART.search(rest):
        return None
    return BurnedParts(tuple(shares.items()))


def parts_at_most(text: str) -> BurnedParts | None:
    """The parts that a sentence (lower case, no punctuation) names as burned, each as if it were
    burned all over: what it tells of is no more than these.

    None where it names none, or one of which no table bounds the share, or where other parts may
    be meant as well, or other ones ("the arm and more", "not the back").
    """
    rest = _OF_THE_BODY.sub(" ", text)
    shares: dict[NinesPart, float] = {}
    for found in _TRUNK_SIDE.finditer(rest):
        shares |= dict.fromkeys(_sides(found), 1.0)
    rest = _TRUNK_SIDE.sub(" ", rest)
    if _PERHAPS_MORE.search(rest):
        return None
    for found in _ANY_PART.finditer(rest):
        parts = _lies_in(found[0], rest[: found.start()])
        if not parts:
            return None
        for part, share in parts:
            shares[part] = min(1.0, shares.get(part, 0.0) + share)
    return BurnedParts(tuple(shares.items())) if shares else None


def _lies_in(named: str, before: str) -> list[tuple[NinesPart, float]]:
    """In which parts of the rule of nines a part lies, with the share that it can be at most."""
    if named in _HALF_OF_FRONT:
        return [(NinesPart.FRONT, 0.5)]
    if named in _TRUNK:
        return [(NinesPart.FRONT, 1.0), (NinesPart.BACK, 1.0)]
    alone = _IN_ONE.get(named)
    if alone is not None:
        return [(alone, 1.0)]
    limb = _IN_LIMB.get(named) or _IN_LIMB.get(named.removesuffix("s"))
    if limb is None:
        return []
    left, right = _LIMBS[limb]
    if _ONE_SIDE.search(before) and not named.endswith("s") and named != "feet":
        return [(right if _ONE_SIDE.findall(before)[-1] == "right" else left, 1.0)]
    one = not (named.endswith("s") or named == "feet" or _BOTH.search(before))
    return [(left, 1.0)] if one else [(left, 1.0), (right, 1.0)]


def _palms(text: str) -> float | None:
    found = _PALMS.search(text)
    if found is None:
        return None
    number = found["number"]
    return float(number) if number.isdigit() else _SMALL.get(number)


def _sides(found: re.Match[str]) -> list[NinesPart]:
    sides = {"front": NinesPart.FRONT, "back": NinesPart.BACK}
    return [part for side, part in sides.items() if side in found["side"].split()]


def _shares(found: re.Match[str]) -> list[tuple[NinesPart, float]]:
    share = 1.0 if found["extent"].split()[0] in ("whole", "entire", "all") else 0.5
    part = found["part"]
    if part in _HALF_OF_FRONT:
        return [(NinesPart.FRONT, share / 2)]
    if part in ("back", "head"):
        return [(NinesPart.BACK if part == "back" else NinesPart.HEAD, share)]
    left, right = _LIMBS[part.removesuffix("s")]
    if part.endswith("s"):
        return [(left, share), (right, share)]
    return [(right if (found["side"] or "").startswith("right") else left, share)]


def published_area(
    parts: BurnedParts, age_years: float, tables: BurnTables
) -> PublishedArea | Question:
    """The area of those parts at that age in years: by the rule of nines, or by palms."""
    if parts.palms:
        area = burned_by_palms(parts.palms, tables.palms)
        if isinstance(area, Question):
            return area
        measured = parts.palms * tables.palms.measured_percent
        low, high = sorted((area.percent, measured))
        return PublishedArea(area, floor(low), ceil(high))
    area = burned_by_nines(dict(parts.shares), age_years, tables.nines)
    on_chart: dict[ChartPart, float] = {}
    for part, share in parts.shares:
        for small, whole in CHART_OF[part].items():
            on_chart[small] = on_chart.get(small, 0.0) + whole * share
    chart = burned_by_chart(on_chart, age_years, tables.chart)
    if isinstance(area, Question):
        return area
    if isinstance(chart, Question):
        return chart
    low, high = sorted((area.percent, chart.percent))
    return PublishedArea(area, floor(low + 1e-9), ceil(high - 1e-9))
