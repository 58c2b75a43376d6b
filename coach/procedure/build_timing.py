"""The timed parts of a step from checked content: clocks, counts, and what runs on."""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.units import Quantity, Unit
from coach.procedure.filler import Filler, texts
from coach.procedure.model import COUNTED, ClockSpec, CountSpec, HeardAs, ReadingSpec, Since
from coach.procedure.yaml_tree import Json
from coach.trade.rates import SECONDS_PER_MINUTE, Counted

COUNTING = HeardAs(
    phrases=("counting", "counting now", "i'm counting", "start counting", "i start to count"),
    keys=("start/starting/begin/beginning count/counting", "counting now", "i'm/am counting"),
)
"""What starts a count where the skill says nothing else."""


def clock_from(written: Mapping[str, Json], filler: Filler) -> ClockSpec:
    """What is timed, as written."""
    return ClockSpec(
        limit_s=_seconds(written, "limit-s", filler, 0),
        start=filler.heard_as(written["start"]),
        end=filler.heard_as(written["end"]),
        over=filler.sentence(written.get("over")),
        least_s=_seconds(written, "least-s", filler, 0),
        reached=filler.sentence(written.get("reached")),
        under=filler.sentence(written.get("under")),
        calls_every_s=_seconds(written, "calls-every-s", filler, 1),
    )


def since_from(written: Mapping[str, Json], filler: Filler) -> Since:
    """What runs on, as written."""
    return Since(
        says=filler.text(written["says"]),
        time_aloud=bool(written.get("time-aloud", False)),
        calls_every_s=_seconds(written, "calls-every-s", filler, 0),
    )


def _seconds(written: Mapping[str, Json], key: str, filler: Filler, without: int) -> int:
    return int(filler.number(written[key])) if key in written else without


def count_from(written: Mapping[str, Json], filler: Filler) -> CountSpec:
    """What is counted, as written."""
    start = written.get("start")
    return CountSpec(
        of=Counted(str(written["of"])),
        seconds=int(filler.number(written["seconds"])),
        low=filler.number(written["low"]),
        high=filler.number(written["high"]),
        start=COUNTING if start is None else filler.heard_as(start),
        outside=filler.sentence(written.get("outside")),
        sources=texts(written.get("sources")),
    )


def reading_of(count: CountSpec) -> ReadingSpec:
    """The number that a count asks for, with the range that its rate has in those seconds."""
    share = count.seconds / SECONDS_PER_MINUTE
    return ReadingSpec(
        name=COUNTED,
        quantity=Quantity.COUNT,
        unit=Unit.COUNTED,
        low=count.low * share,
        high=count.high * share,
        ask=f"How many {count.of} did you count?",
        outside=count.outside,
        sources=count.sources,
    )
