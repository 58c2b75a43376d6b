"""The numbers of what is worked out that programs had before they kept them with each skill.

An attempt of then is judged by these for ever, whatever the table of facts says now: nothing here
is ever changed, and no new number belongs here.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.procedure.facts import Amount
from coach.procedure.yaml_tree import Json

EARLIER: Mapping[str, Amount] = {
    "pressure-believed": Amount(low=40.0, high=300.0),
    "diastolic-believed": Amount(low=0.0, high=200.0),
    "pulse-pressure-narrow": Amount(value=25.0),
    "pulse-pressure-wide": Amount(value=100.0),
    "fastest-breaths": Amount(value=120.0),
    "fastest-pulse": Amount(value=320.0),
    "burn-head": Amount(value=9.0),
    "burn-front": Amount(value=18.0),
    "burn-back": Amount(value=18.0),
    "burn-arm": Amount(value=9.0),
    "burn-leg": Amount(value=18.0),
    "burn-genitals": Amount(value=1.0),
    "burn-head-infant": Amount(value=18.0),
    "burn-arm-infant": Amount(value=9.0),
    "burn-leg-infant": Amount(value=13.5),
    "burn-grows-from": Amount(value=1.0),
    "burn-grown-at": Amount(value=10.0),
    "burn-palm": Amount(value=1.0),
    "burn-palm-measured": Amount(value=0.78),
    "burn-palms-most": Amount(value=15.0),
    "temperature-measured": Amount(low=34.0, high=43.0),
    "coma-mild": Amount(value=13.0),
    "coma-moderate": Amount(value=9.0),
    "birth-score-first": Amount(value=1.0),
    "birth-score-second": Amount(value=5.0),
    "birth-score-again": Amount(value=5.0),
    "birth-score-last": Amount(value=20.0),
    "birth-upper": Amount(value=7.0),
    "birth-middle": Amount(value=4.0),
}

EARLIER_CHART: Mapping[str, Json] = {
    "from-years": [0, 1, 5, 10, 15, 16],
    "parts": {
        "head": [19, 17, 13, 11, 9, 7],
        "neck": 2,
        "front": 13,
        "back": 13,
        "buttocks": 5,
        "genitals": 1,
        "upper-arms": 8,
        "forearms": 6,
        "hands": 5,
        "thighs": [11, 13, 16, 17, 18, 19],
        "lower-legs": [10, 10, 11, 12, 13, 14],
        "feet": 7,
    },
}
