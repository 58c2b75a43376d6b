"""The table of facts: every number a skill works with, and the published texts behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from coach.core.problem import Problem
from coach.trade.burns import BodyChart
from coach.trade.cylinders import Cylinder, Cylinders, Region

OVERFILL = "cylinder-overfill"
"""The fact that says by how much a gauge may stand above the fill, in percent of it."""

EXCEPTION = "not-the-safest"
"""The key under which a fact or a cylinder says why a published number that is safer is not its
default."""

LOW, HIGH = "low", "high"
"""How the ends of a range are named after its fact; no differing value may be named so."""

AMOUNT_KEYS = ("value", LOW, HIGH)
"""What may be written of an amount."""


class Kept(StrEnum):
    """Why a number is only held against what a learner says, and not told."""

    DOSE = "dose"
    SIZE = "size"


class Safer(StrEnum):
    """The direction in which a number errs for the patient; neither, where more harms and less
    does not help."""

    LOWER = "lower"
    HIGHER = "higher"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True)
class Amount:
    """What a text gives: one `value` (a number, or words such as "two and five"), or a range of
    which one end may be open. In the unit of the fact."""

    value: str | float | None = None
    low: float | None = None
    high: float | None = None

    def part(self, name: str) -> str | float | None:
        """The value ("", also a range with two ends in words), "low" or "high"; None if not there.

        Whole numbers of a range in words are those a sentence would hold: "80 to 150".
        """
        if name == LOW:
            return self.low
        if name == HIGH:
            return self.high
        if self.value is None and self.low is not None and self.high is not None:
            return f"{in_words(self.low)} to {in_words(self.high)}"
        return self.value

    def shown(self, unit: str) -> str:
        """For print: "80 to 150 mmHg", "at least 5 cm"."""
        whole = self.part("")
        if whole is not None:
            return f"{in_words(whole)} {unit}"
        bound = f"at least {in_words(self.low)}" if self.low is not None else ""
        return f"{bound or f'at most {in_words(self.high or 0)}'} {unit}"


@dataclass(frozen=True, slots=True)
class Differing:
    """What other texts give for a fact, and what is to be known about it."""

    amount: Amount
    sources: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """A number with all that is to be known about it; `amount` is the default.

    `unit` is as in a skill file's readings where such a reading is possible. `sources` and those of
    `differs` are keys of the table's sources. `because` says why the default is the default.
    `safer` is set where one direction errs for the patient, or where it is said that neither does.
    `exception` is the reason why a published number that is safer is not the default. `kept` is set
    for what is only checked against the learner's own number.
    """

    name: str
    about: str
    population: str
    unit: str
    amount: Amount
    sources: tuple[str, ...]
    because: str = ""
    note: str = ""
    safer: Safer | None = None
    exception: str = ""
    kept: Kept | None = None
    differs: Mapping[str, Differing] = field(default_factory=dict)

    def part(self, rest: str) -> str | float | None:
        """What stands after the name: "" the default, "low", "high", or a differing value's name,
        alone or with ".low" or ".high"; None for nothing of the kind."""
        if rest in ("", LOW, HIGH):
            return self.amount.part(rest)
        name, _, end = rest.partition(".")
        if name not in self.differs or end not in ("", LOW, HIGH):
            return None
        return self.differs[name].amount.part(end)

    def parts(self) -> Iterator[str]:
        """Everything that may stand after the name and a point."""
        for prefix, amount in (
            ("", self.amount),
            *((name, differing.amount) for name, differing in self.differs.items()),
        ):
            names = [end for end in ("", LOW, HIGH) if amount.part(end) is not None]
            yield from (".".join(filter(None, (prefix, end))) for end in names)

    def all_sources(self) -> tuple[str, ...]:
        """The sources of the default, then those of the others, each once."""
        others = (key for differing in self.differs.values() for key in differing.sources)
        return tuple(dict.fromkeys((*self.sources, *others)))


@dataclass(frozen=True, slots=True)
class Source:
    """A published text. `year` is None where none is printed or it is custom without a text.

    `standing` says what kind of text it is. `weak` marks unsigned or commercial pages.
    `from_memory` marks what nobody looked up.
    """

    key: str
    name: str
    standing: str
    year: int | None = None
    at: str = ""
    weak: bool = False
    from_memory: bool = False


@dataclass(frozen=True, slots=True)
class ChartFact:
    """A chart of the body with what is to be known about it; `sources` are keys of the table's."""

    chart: BodyChart
    population: str
    sources: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class FactTable:
    """All facts by name, all sources by key, the oxygen cylinders by region and letter, and the
    chart of the body by age, if there is one.

    Two are equal only if they are the same object.
    """

    facts: Mapping[str, Fact] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    cylinders: Mapping[Region, Mapping[str, Cylinder]] = field(default_factory=dict)
    chart: ChartFact | None = None

    def with_more(self, more: FactTable) -> FactTable:
        """The table with another's content added; for equal names the other's stands."""
        regions = [region for region in Region if {region} & {*self.cylinders, *more.cylinders}]
        return replace(
            self,
            facts={**self.facts, **more.facts},
            sources={**self.sources, **more.sources},
            cylinders={
                region: {**self.cylinders.get(region, {}), **more.cylinders.get(region, {})}
                for region in regions
            },
            chart=more.chart or self.chart,
        )

    def every_cylinder(self) -> Iterator[Cylinder]:
        """The cylinders of all regions, in the order of the table."""
        for sizes in self.cylinders.values():
            yield from sizes.values()

    def oxygen_cylinders(self) -> Cylinders:
        """The cylinders with what may be believed of their gauges: nothing above the fill where
        no fact says more."""
        overfill = self.facts[OVERFILL].amount.value if OVERFILL in self.facts else None
        share = overfill / 100 if isinstance(overfill, float) else 0.0
        return Cylinders(self.cylinders, share)

    def names_of(self, keys: Iterable[str]) -> dict[str, str]:
        """Each of these keys that the table has, with the published name behind it."""
        return {key: self.sources[key].name for key in keys if key in self.sources}


EMPTY = FactTable()


@dataclass(frozen=True, slots=True)
class ParsedFacts:
    """Either a table or the problems (sorted by line) that keep it from being one."""

    table: FactTable | None
    problems: tuple[Problem, ...]


def in_words(value: str | float) -> str:
    """A fact within a sentence: 10.0 as "10", 0.5 as "0.5", 2216 as "2,216"."""
    if isinstance(value, str):
        return value
    if float(value).is_integer():
        return f"{int(value):,}"
    return str(value)
