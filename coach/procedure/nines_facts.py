"""The facts of the rule of nines: which part of the body each is, and whether they fit together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coach.procedure.facts import FactTable
from coach.procedure.facts_together import value_of
from coach.procedure.resolve import mapping
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json
from coach.trade.burns import NinesPart, RuleOfNines

GROWS_FROM, GROWN_AT = "burn-grows-from", "burn-grown-at"

ADULT: Mapping[NinesPart, str] = {
    NinesPart.HEAD: "burn-head",
    NinesPart.FRONT: "burn-front",
    NinesPart.BACK: "burn-back",
    NinesPart.LEFT_ARM: "burn-arm",
    NinesPart.RIGHT_ARM: "burn-arm",
    NinesPart.LEFT_LEG: "burn-leg",
    NinesPart.RIGHT_LEG: "burn-leg",
    NinesPart.GENITALS: "burn-genitals",
}
INFANT: Mapping[NinesPart, str] = {
    **ADULT,
    NinesPart.HEAD: "burn-head-infant",
    NinesPart.LEFT_ARM: "burn-arm-infant",
    NinesPart.RIGHT_ARM: "burn-arm-infant",
    NinesPart.LEFT_LEG: "burn-leg-infant",
    NinesPart.RIGHT_LEG: "burn-leg-infant",
}

NINES_FACTS = tuple(dict.fromkeys((*ADULT.values(), *INFANT.values(), GROWS_FROM, GROWN_AT)))

_WHOLE_BODY = 100.0
_ROUNDING = 1e-6


def nines_of(values: Mapping[str, float]) -> RuleOfNines:
    """The rule by the values of its facts."""
    return RuleOfNines(
        {part: values[name] for part, name in INFANT.items()},
        {part: values[name] for part, name in ADULT.items()},
        values[GROWS_FROM],
        values[GROWN_AT],
    )


def nines_mistakes(root: dict[str, Json], beside: FactTable) -> Iterator[Mistake]:
    """A body that does not come to 100 percent by a file's facts and those of a table beside it."""
    facts = mapping(root.get("facts"))
    values = {name: value_of(facts, beside, name) for name in NINES_FACTS}
    for who, names in (("an adult", ADULT), ("an infant", INFANT)):
        here = [name for name in dict.fromkeys(names.values()) if name in facts]
        shares = [values[name] for name in names.values()]
        known = [share for share in shares if share is not None]
        if not here or len(known) < len(shares) or abs(sum(known) - _WHOLE_BODY) <= _ROUNDING:
            continue
        yield (
            ("facts", here[0]),
            f"the parts of {who} come to {sum(known):g} percent with {_listed(here)}: head, front, "
            "back, both arms, both legs and genitals have to come to 100, so mend what is wrong.",
        )


def _listed(names: list[str]) -> str:
    quoted = [f"'{name}'" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} and {quoted[-1]}"
