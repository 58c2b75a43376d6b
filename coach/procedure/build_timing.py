"""The timed parts of a step from checked content: clocks, counts, paces, repeats, what runs on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coach.core.units import Quantity, Unit
from coach.procedure.filler import Filler, texts
from coach.procedure.model import (
    COUNTED,
    ClockSpec,
    CountSpec,
    HeardAs,
    PaceSpec,
    ReadingSpec,
    Repeat,
    Since,
)
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.pacing import COUNTED_TO, Pattern, middle_rate
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
        unless_found=written.get("unless-found") is True,
    )


def clock_mistakes(
    root: dict[str, Json], path: Path, written: dict[str, Json]
) -> Iterator[Mistake]:
    """What is timed unless something is found needs something that the step looks for."""
    if mapping(written.get("clock")).get("unless-found") is not True:
        return
    step = mapping(listed(root.get("steps"))[int(path[1])])
    looks_for = mapping(written.get("heard-as", step.get("heard-as")))
    if not listed(looks_for.get("absent")):
        yield (
            (*path, "clock", "unless-found"),
            f"'clock' of {place(root, path)} ends with a finding, but the step looks for none: add "
            "'absent' to its heard-as, or take 'unless-found' out.",
        )


def since_from(written: Mapping[str, Json], present: frozenset[str], filler: Filler) -> Since:
    """What runs on, as written; until a step that is not `present` it runs on for good."""
    until = str(written.get("until", ""))
    return Since(
        says=filler.text(written["says"]),
        time_aloud=bool(written.get("time-aloud", False)),
        calls_every_s=_seconds(written, "calls-every-s", filler, 0),
        until=until if until in present else "",
    )


PACING = HeardAs(
    phrases=("starting now", "start the pace", "i'm starting now"),
    keys=("start/starting/begin/beginning compressions/breaths/ventilations/pace/now",),
)
PACED = HeardAs(phrases=("i'm done", "that's enough"), keys=("compressions/breaths done/stopped",))
"""What starts and ends a pace where the skill says nothing else."""


def pace_from(written: Mapping[str, Json], filler: Filler) -> PaceSpec:
    """What is paced, as written."""
    start, end = written.get("start"), written.get("end")
    return PaceSpec(
        pattern=_pattern(written, filler),
        seconds=int(filler.number(written["for-s"])),
        start=PACING if start is None else filler.heard_as(start),
        end=PACED if end is None else filler.heard_as(end),
        after=filler.sentence(written.get("after")),
        least_s=_seconds(written, "least-s", filler, 0),
        sources=texts(written.get("sources")),
    )


def _pattern(written: Mapping[str, Json], filler: Filler) -> Pattern:
    rate = middle_rate(filler.number(written["low"]), filler.number(written["high"]))
    if written.get("of") == "ventilations":
        return Pattern(rate, compressions=0, breaths=1)
    breaths = _seconds(written, "breaths", filler, 0)
    breath_s = filler.number(written["breath-s"]) if "breath-s" in written else 1.0
    # Without breaths a row has no end; ten is the row that is counted.
    compressions = _seconds(written, "compressions", filler, COUNTED_TO)
    return Pattern(rate, compressions, breaths, breath_s)


def repeat_from(written: Mapping[str, Json], present: frozenset[str], filler: Filler) -> Repeat:
    """What is repeated, as written; steps that are not `present` vanish."""
    return Repeat(
        id=str(written["id"]),
        steps=tuple(step for step in texts(written["steps"]) if step in present),
        times=_seconds(written, "times", filler, 1),
        name=filler.text(written.get("name")) or "round",
        for_s=_seconds(written, "for-s", filler, 0),
        sources=texts(written.get("sources")),
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
