"""Texts of people and machines made fit to be shown: one line, of bounded length."""

from __future__ import annotations

import re

LONGEST = 300
"""Letters that are shown of one text; the JSON beside a report has all of them."""

_HIDDEN = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Letters that turn the direction of what follows, the report's own words among it (UAX #9)."""

_UNFIT = re.compile(
    "[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff"
    + "".join(
        f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(1 << 16, 17 << 16, 1 << 16)
    )
    + "]"
)
"""Controls, surrogates and code points that are no letters: XML, HTML and UTF-8 take none."""

UNKNOWN = "\ufffd"
"""Shown for a letter that is none."""


def shown(text: str, longest: int = LONGEST) -> str:
    """The text in one line, cut to `longest` letters with an ellipsis. It is not escaped."""
    line = " ".join(_HIDDEN.sub("", text).split())
    fit = _UNFIT.sub(UNKNOWN, line)
    return fit if len(fit) <= longest else f"{fit[: longest - 1].rstrip()}\u2026"


_MOST = 1e9
"""From here on nothing of the trade is counted or timed."""


def clock(seconds: float) -> str:
    """Minutes and seconds as a stopwatch shows them: "3:05"."""
    minutes, rest = divmod(int(min(max(0.0, seconds), _MOST)), 60)
    return f"{minutes}:{rest:02d}"


def number(value: float) -> str:
    """A number without needless zeros: "2.5", "1700"; only a monstrous one has an exponent."""
    if abs(value) >= _MOST:
        return f"{value:.6g}"
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def percent(share: float) -> str:
    """A share of 0 to 1 as whole percent; 100 only for all, 0 only for none."""
    whole = round(100 * share)
    if whole == 100 and share < 1:
        whole = 99
    if whole == 0 and share > 0:
        whole = 1
    return f"{whole}\u00a0%"


_INSTANT = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d(?:\.\d+)?)?(Z|[+-]\d\d:\d\d)?")


def instant(iso: str) -> str:
    """An ISO 8601 instant for people, in the zone it was written in; another text as it is."""
    found = _INSTANT.fullmatch(iso)
    if found is None:
        return shown(iso)
    day, minute, zone = found.groups()
    if zone is None:
        return f"{day}, {minute}"
    return f"{day}, {minute} (UTC{'' if zone in ('Z', '+00:00') else zone})"
