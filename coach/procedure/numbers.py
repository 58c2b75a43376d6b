"""The numbers of what is worked out: which facts each sum rests on, and what they come to.

Those of a skill are of the rules in force when it is read, and are kept with it, so that an attempt
is judged by the numbers that it was practised with.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from coach.procedure.facts import Amount, FactTable
from coach.procedure.facts_together import order_mistakes, whole_mistakes
from coach.procedure.nines_facts import GROWN_AT, GROWS_FROM, NINES_FACTS, nines_mistakes, nines_of
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json
from coach.trade.birth_score import BirthTable
from coach.trade.blood_pressure import PressureBounds
from coach.trade.burns import BodyChart, BurnTables, RuleOfPalms
from coach.trade.consciousness import GroupBounds
from coach.trade.rates import Counted, FastestRates
from coach.trade.temperature import UsualReadings

PRESSURE_BELIEVED = "pressure-believed"
LOWER_BELIEVED = "diastolic-believed"
NARROW = "pulse-pressure-narrow"
WIDE = "pulse-pressure-wide"
PALM, PALM_MEASURED = "burn-palm", "burn-palm-measured"
PALMS_MOST = "burn-palms-most"
MILD, MODERATE = "coma-mild", "coma-moderate"
BIRTH_FIRST, BIRTH_SECOND = "birth-score-first", "birth-score-second"
BIRTH_AGAIN, BIRTH_LAST = "birth-score-again", "birth-score-last"
BIRTH_UPPER, BIRTH_MIDDLE = "birth-upper", "birth-middle"
_BIRTH = (BIRTH_FIRST, BIRTH_SECOND, BIRTH_AGAIN, BIRTH_LAST, BIRTH_UPPER, BIRTH_MIDDLE)
THERMOMETER = "temperature-measured"
FASTEST = {Counted.BREATHS: "fastest-breaths", Counted.PULSE: "fastest-pulse"}


class Sum(StrEnum):
    """What is worked out; each is how a message names it."""

    PRESSURES = "the sums of a blood pressure"
    RATES = "the rate that a count makes"
    BURNS = "the parts of the body for a burned area"
    CONSCIOUSNESS = "the groups of a consciousness score"
    TEMPERATURE = "the range of a thermometer"
    BIRTH = "the minutes and bands of a newborn's score"


FACTS_OF: Mapping[Sum, tuple[str, ...]] = {
    Sum.PRESSURES: (PRESSURE_BELIEVED, LOWER_BELIEVED, NARROW, WIDE),
    Sum.RATES: tuple(FASTEST.values()),
    Sum.BURNS: (*NINES_FACTS, PALM, PALM_MEASURED, PALMS_MOST),
    Sum.CONSCIOUSNESS: (MILD, MODERATE),
    Sum.BIRTH: _BIRTH,
    Sum.TEMPERATURE: (THERMOMETER,),
}
"""The facts that each rests on."""

RANGES = frozenset({PRESSURE_BELIEVED, LOWER_BELIEVED, THERMOMETER})
"""Those of them that have two ends; the others are one number."""


IN_ORDER = (
    (GROWS_FROM, GROWN_AT),
    (MODERATE, MILD),
    (BIRTH_FIRST, BIRTH_SECOND),
    (BIRTH_MIDDLE, BIRTH_UPPER),
)
"""Facts of which the first has to be below the second."""

WHOLE = (MILD, MODERATE, *_BIRTH)
"""Facts that count something whole."""


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

    @property
    def consciousness(self) -> GroupBounds:
        """How a consciousness score is grouped."""
        return GroupBounds(self._one(MILD), self._one(MODERATE))

    @property
    def birth(self) -> BirthTable:
        """When a newborn is scored, and how the scores are banded."""
        first, second, *others = (int(self._one(name)) for name in _BIRTH)
        return BirthTable((first, second), *others)

    @property
    def temperatures(self) -> UsualReadings:
        """The body temperatures that are not measured again."""
        return UsualReadings(*self._range(THERMOMETER))

    def _one(self, name: str) -> float:
        value = self.amounts[name].value
        assert isinstance(value, float)
        return value

    def _range(self, name: str) -> tuple[float, float]:
        low, high = self.amounts[name].low, self.amounts[name].high
        assert low is not None
        assert high is not None
        return low, high


def numbers_of(names: tuple[str, ...], table: FactTable) -> Numbers:
    """The numbers of these facts, all of which the table has."""
    chart = table.chart.chart if table.chart and PALM in names else None
    return Numbers({name: table.facts[name].amount for name in names}, chart)


def together_mistakes(root: dict[str, Json], beside: FactTable) -> Iterator[Mistake]:
    """What does not fit together of the facts in a file, with those of a table beside it."""
    yield from nines_mistakes(root, beside)
    yield from order_mistakes(root, beside, IN_ORDER)
    yield from whole_mistakes(root, WHOLE)
