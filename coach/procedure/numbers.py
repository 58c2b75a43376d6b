"""The numbers of what is worked out in a session: which facts each sum rests on, and their values.

They are those of the rules in force when a skill is read, and are kept with it, so that an attempt
is judged by the numbers that it was practised with.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from coach.procedure.chart_section import SECTION
from coach.procedure.facts import Amount, FactTable
from coach.procedure.nines_facts import NINES_FACTS, nines_of
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.blood_pressure import PressureBounds
from coach.trade.burns import BodyChart, BurnTables, RuleOfPalms
from coach.trade.rates import Counted, FastestRates

PRESSURE_BELIEVED = "pressure-believed"
LOWER_BELIEVED = "diastolic-believed"
NARROW = "pulse-pressure-narrow"
WIDE = "pulse-pressure-wide"
PALM, PALM_MEASURED = "burn-palm", "burn-palm-measured"
PALMS_MOST = "burn-palms-most"
FASTEST = {Counted.BREATHS: "fastest-breaths", Counted.PULSE: "fastest-pulse"}


class Sum(StrEnum):
    """What is worked out; each is how a message names it."""

    PRESSURES = "the sums of a blood pressure"
    RATES = "the rate that a count makes"
    BURNS = "the parts of the body for a burned area"


FACTS_OF: Mapping[Sum, tuple[str, ...]] = {
    Sum.PRESSURES: (PRESSURE_BELIEVED, LOWER_BELIEVED, NARROW, WIDE),
    Sum.RATES: tuple(FASTEST.values()),
    Sum.BURNS: (*NINES_FACTS, PALM, PALM_MEASURED, PALMS_MOST),
}
"""The facts that each rests on."""

_RANGES = frozenset({PRESSURE_BELIEVED, LOWER_BELIEVED})
"""Those of them that have two ends; the others are one number."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """The amounts of facts by name, and the chart of the body where a burned area is worked out.

    A KeyError for what rests on a fact that is not there.
    """

    amounts: Mapping[str, Amount] = field(default_factory=dict)
    chart: BodyChart | None = None

    @property
    def pressures(self) -> PressureBounds:
        """What a blood pressure is held against."""
        return PressureBounds(
            upper_mmhg=self._range(PRESSURE_BELIEVED),
            lower_mmhg=self._range(LOWER_BELIEVED),
            narrow_share=self._one(NARROW) / 100,
            wide_mmhg=self._one(WIDE),
        )

    @property
    def fastest(self) -> FastestRates:
        """The rates that a count is held against."""
        return FastestRates({counted: self._one(name) for counted, name in FASTEST.items()})

    @property
    def burns(self) -> BurnTables:
        """By what a burned area is worked out."""
        assert self.chart is not None
        palms = RuleOfPalms(self._one(PALM), self._one(PALM_MEASURED), self._one(PALMS_MOST))
        nines = nines_of({name: self._one(name) for name in NINES_FACTS})
        return BurnTables(nines, self.chart, palms)

    def _one(self, name: str) -> float:
        value = self.amounts[name].value
        assert isinstance(value, float)
        return value

    def _range(self, name: str) -> tuple[float, float]:
        low, high = self.amounts[name].low, self.amounts[name].high
        assert low is not None
        assert high is not None
        return low, high


def facts_worked_with(root: Json) -> tuple[str, ...]:
    """The facts that a skill's content works with though its texts name none of them."""
    found = {wanted: None for wanted, _ in _sums_in(mapping(root))}
    return tuple(dict.fromkeys(name for wanted in found for name in FACTS_OF[wanted]))


def has_burned_area(root: Json) -> bool:
    """Whether a skill's content works out a burned area."""
    return any(wanted is Sum.BURNS for wanted, _ in _sums_in(mapping(root)))


def numbers_of(names: tuple[str, ...], table: FactTable) -> Numbers:
    """The numbers of these facts, all of which the table has."""
    chart = table.chart.chart if table.chart and PALM in names else None
    return Numbers({name: table.facts[name].amount for name in names}, chart)


def number_mistakes(root: dict[str, Json], table: FactTable) -> Iterator[Mistake]:
    """What a skill has worked out without a number for it in the table of facts."""
    told: set[str] = set()
    for wanted, path in _sums_in(root):
        for name in FACTS_OF[wanted]:
            if name not in told and not _stands(table, name):
                told.add(name)
                kind = "'low' and 'high'" if name in _RANGES else "one number as 'value'"
                yield (
                    path,
                    f"{place(root, path)} needs {wanted}, and the table of facts has no '{name}' "
                    f"with {kind}: add it to facts.yaml.",
                )
        if wanted is Sum.BURNS and table.chart is None and SECTION not in told:
            told.add(SECTION)
            yield (
                path,
                f"{place(root, path)} needs {wanted}, and the table of facts has no '{SECTION}': "
                "add it to facts.yaml.",
            )


def _stands(table: FactTable, name: str) -> bool:
    if name not in table.facts:
        return False
    amount = table.facts[name].amount
    if name in _RANGES:
        return amount.low is not None and amount.high is not None
    return isinstance(amount.value, float)


def _sums_in(root: dict[str, Json]) -> Iterator[tuple[Sum, Path]]:
    """What is worked out, and where a skill file asks for it."""
    for at, written in enumerate(listed(root.get("steps"))):
        step, path = mapping(written), ("steps", at)
        yield from _sums_of(step, path)
        for number, variant in enumerate(listed(step.get("variants"))):
            yield from _sums_of(mapping(variant), (*path, "variants", number))


def _sums_of(part: dict[str, Json], path: Path) -> Iterator[tuple[Sum, Path]]:
    if mapping(part.get("count")):
        yield Sum.RATES, (*path, "count")
    for number, reading in enumerate(map(mapping, listed(part.get("readings")))):
        if reading.get("burned"):
            yield Sum.BURNS, (*path, "readings", number)
        if reading.get("by") == "ear":
            yield Sum.PRESSURES, (*path, "readings", number)
