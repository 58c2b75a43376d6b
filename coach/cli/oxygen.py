"""`coach oxygen`: how long a cylinder lasts, or the gauge that a job needs."""

from __future__ import annotations

import json
from dataclasses import dataclass

import click

from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.trade import amounts, spoken
from coach.trade.cylinders import (
    FILL_MARGIN,
    REGION_NAMES,
    Cylinder,
    Region,
    checked_pressure,
    find_cylinder,
    highest_plausible_pressure,
)
from coach.trade.oxygen import DEFAULT_RESERVE, Supply, lasts, minutes_of_contents
from coach.trade.wording import number_words

CAUTION = (
    "Training aid only, never for patient care: local protocol, medical direction and licensed "
    "practice decide."
)


@dataclass(frozen=True, slots=True)
class Source:
    """What the cylinder is known by.

    `gives` is litres per psi, or all that is left. `highest` is the gauge that cannot be passed,
    `full` the gauge when full (None: unknown), `words` are spoken and `line` is printed.
    """

    words: str
    line: str
    highest: Pressure
    gives: float | Volume
    full: Pressure | None = None
    cylinder: Cylinder | None = None

    @property
    def litres_per_psi(self) -> float | None:
        """The factor, or None where only the contents are known."""
        return None if isinstance(self.gives, Volume) else self.gives


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that is told, for people and for programs; None where it is not known."""

    source: Source
    flow: Flow
    gauge: amounts.WrittenPressure | None
    reserve: amounts.WrittenPressure
    left: Duration | None
    usable: Volume | None
    need: spoken.Need | None
    minimum: Pressure | None

    @property
    def sentence(self) -> str:
        """The answer as the coach says it."""
        kept = "no reserve kept"
        if self.source.litres_per_psi is not None:
            kept = spoken.reserve_words(self.reserve)
        return spoken.spoken_answer(self.left, self.flow, (self.source.words, kept), self.need)


@click.command(
    epilog='Example: coach oxygen --cylinder D --pressure "1700 psi" --flow 15',
    short_help="How long a cylinder lasts, or the pressure a job needs.",
)
@click.option("--cylinder", help="Size of the cylinder by its letter, for example D.")
@click.option("--factor", help="Instead of a letter: liters per psi, for example 0.16.")
@click.option(
    "--contents",
    help='Instead of a letter: liters left, for example "360 L"; with --full, liters when full.',
)
@click.option("--water", help='Instead of a letter: water capacity, for example "5 L".')
@click.option(
    "--region",
    type=click.Choice([region.value for region in Region], case_sensitive=False),
    help="Where the letter comes from: letters differ by country.  [default: us]",
)
@click.option("--full", help='With --contents: the gauge when full, for example "2000 psi".')
@click.option("--pressure", help='What the gauge reads, with its unit: "1700 psi", "117 bar".')
@click.option("--flow", help="Liters a minute, for example 15.")
@click.option(
    "--reserve",
    help="What is kept in the cylinder; a bare number is in the unit of --pressure.  "
    "[default: 200 psi]",
)
@click.option("--minutes", help="How long it must last: adds the least pressure for that.")
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(
    cylinder: str | None,
    factor: str | None,
    contents: str | None,
    water: str | None,
    region: str | None,
    full: str | None,
    pressure: str | None,
    flow: str | None,
    reserve: str | None,
    minutes: str | None,
    as_json: bool,
) -> None:
    """Work out how long the oxygen lasts, keeping a reserve.

    The time is rounded down and a needed pressure rounded up. A training aid only, never for
    patient care.
    """
    place = Region(region.lower()) if region else None
    source = _source(cylinder, factor, contents, water, full, place)
    if flow is None:
        raise InputError("What is the flow? Give --flow in liters a minute, for example 15.")
    needed = amounts.parse_minutes(minutes, "--minutes") if minutes is not None else None
    answer = _answer(source, amounts.parse_flow(flow, "--flow"), pressure, reserve, needed)
    click.echo(_as_json(answer) if as_json else _as_text(answer))


def _source(
    letter: str | None,
    factor: str | None,
    contents: str | None,
    water: str | None,
    full: str | None,
    region: Region | None,
) -> Source:
    given = [
        option
        for option, text in (
            ("--cylinder", letter),
            ("--factor", factor),
            ("--contents", contents),
            ("--water", water),
        )
        if text is not None
    ]
    if len(given) != 1:
        so_far = f"you gave {' and '.join(given)}" if given else "none was given"
        raise InputError(
            "Which cylinder is it? Give exactly one of --cylinder, --factor, --contents and "
            f"--water; {so_far}."
        )
    if full is not None and contents is None:
        raise InputError("--full goes with --contents: leave it out, or give the contents.")
    if letter is not None:
        return _of_letter(find_cylinder(letter, region or Region.US))
    if factor is not None:
        return _of_factor(amounts.parse_factor(factor, "--factor"), region or Region.US)
    if water is not None:
        # Water capacity is the custom of many countries, so no one country's fill is assumed.
        return _of_water(amounts.parse_water(water, "--water"), highest_plausible_pressure(region))
    return _of_contents(amounts.parse_litres(str(contents), "--contents"), full)


def _of_letter(cylinder: Cylinder) -> Source:
    return Source(
        words=spoken.cylinder_words(cylinder),
        line=f"{REGION_NAMES[cylinder.region]} size {cylinder.letter}, {cylinder.full.litres:g} L "
        f"at {cylinder.full_pressure.psi:.0f} psi when full, {cylinder.litres_per_psi:g} L per psi",
        highest=cylinder.highest_plausible,
        gives=cylinder.litres_per_psi,
        full=cylinder.highest_fill,
        cylinder=cylinder,
    )


def _of_factor(factor: float, region: Region) -> Source:
    return Source(
        words=spoken.factor_words(factor),
        line=f"{factor:g} L per psi",
        highest=highest_plausible_pressure(region),
        gives=factor,
    )


def _of_water(litres: float, highest: Pressure) -> Source:
    unit = "liter" if litres == 1 else "liters"
    return Source(
        words=f"{number_words(litres)} {unit} of water times the gauge in bar",
        line=f"{litres:g} L water capacity, so {litres:g} L of oxygen per bar",
        highest=highest,
        gives=Supply.of_water(litres).litres_per_psi,
    )


def _of_contents(contents: Volume, full: str | None) -> Source:
    litres = contents.litres
    words = f"{number_words(litres)} {'liter' if litres == 1 else 'liters'}"
    if full is None:
        return Source(
            words=f"all of {words} used",
            line=f"{litres:g} L left, all of it used",
            highest=highest_plausible_pressure(),
            gives=contents,
        )
    written = amounts.parse_pressure(full, "--full")
    supply = Supply.in_proportion(contents, written.pressure)
    checked_pressure(written.pressure, highest_plausible_pressure(), f"--full {written}")
    return Source(
        words=f"{words} when full at {written.words}",
        line=f"{litres:g} L at {written} when full",
        highest=Pressure(written.pressure.psi * FILL_MARGIN),
        gives=supply.litres_per_psi,
        full=written.pressure,
    )


def _answer(
    source: Source,
    flow: Flow,
    pressure: str | None,
    reserve: str | None,
    needed: Duration | None,
) -> Answer:
    gauge = amounts.parse_pressure(pressure, "--pressure") if pressure is not None else None
    if gauge is not None:
        checked_pressure(gauge.pressure, source.highest, f"--pressure {gauge}")
    kept = amounts.WrittenPressure(DEFAULT_RESERVE.psi, Unit.PSI)
    if reserve is not None:
        kept = amounts.parse_pressure(reserve, "--reserve", gauge.unit if gauge else Unit.PSI)
        checked_pressure(kept.pressure, source.highest, f"--reserve {kept}")
    if isinstance(source.gives, Volume):
        _refuse_pressures(gauge, kept if reserve is not None else None)
        return _of_what_is_left(source, source.gives, flow, needed)
    supply = Supply(source.gives, kept.pressure)
    left = supply.minutes_left(gauge.pressure, flow) if gauge else None
    if left is None and needed is None:
        raise InputError(
            'What does the gauge read? Give --pressure, for example "1700 psi"; or --minutes, to '
            "get the pressure needed."
        )
    minimum = supply.minimum_pressure(flow, needed) if needed else None
    return Answer(
        source,
        flow,
        gauge,
        kept,
        left,
        supply.usable(gauge.pressure) if gauge else None,
        _need(source, flow, left, needed, minimum, gauge.unit if gauge else kept.unit),
        minimum,
    )


def _refuse_pressures(
    gauge: amounts.WrittenPressure | None, reserve: amounts.WrittenPressure | None
) -> None:
    if gauge is not None:
        raise InputError(
            "--contents with --pressure needs --full too, the gauge when the cylinder is full; or "
            "leave --pressure out, and the contents are what is left now."
        )
    if reserve is not None and reserve.value > 0:
        raise InputError(
            "A reserve in pressure cannot be taken from liters: give --full and --pressure too, or "
            "leave --reserve out."
        )


def _of_what_is_left(
    source: Source, contents: Volume, flow: Flow, needed: Duration | None
) -> Answer:
    left = minutes_of_contents(contents, flow)
    nothing = amounts.WrittenPressure(0.0, Unit.PSI)
    need = _need(source, flow, left, needed, None, Unit.PSI)
    return Answer(source, flow, None, nothing, left, contents, need, None)


def _need(
    source: Source,
    flow: Flow,
    left: Duration | None,
    needed: Duration | None,
    minimum: Pressure | None,
    unit: Unit,
) -> spoken.Need | None:
    if needed is None:
        return None
    return spoken.Need(
        needed,
        flow.litres_per_minute * needed.minutes,
        spoken.rounded_up_in(minimum, unit) if minimum else None,
        lasts(left, needed) if left is not None else None,
        minimum is not None and minimum > (source.full or source.highest),
    )


def _as_json(answer: Answer) -> str:
    left, need, cylinder = answer.left, answer.need, answer.source.cylinder
    data: dict[str, object] = {
        "minutes": left.minutes if left else None,
        "whole_minutes": left.whole_minutes if left else None,
        "litres": answer.usable.litres if answer.usable else None,
        "factor_l_per_psi": answer.source.litres_per_psi,
        "reserve_psi": answer.reserve.pressure.psi,
        "pressure_psi": answer.gauge.pressure.psi if answer.gauge else None,
        "flow_l_min": answer.flow.litres_per_minute,
        "cylinder": cylinder.letter if cylinder else None,
        "region": cylinder.region.value if cylinder else None,
        "spoken": answer.sentence,
    }
    if need:
        data["needed_minutes"] = need.minutes.minutes
        data["needed_litres"] = need.litres
        data["minimum_psi"] = int(answer.minimum.psi) if answer.minimum else None
        data["enough"] = need.enough
    return json.dumps(data)


def _as_text(answer: Answer) -> str:
    lines = [answer.sentence, "", f"  Cylinder   {answer.source.line}"]
    if answer.gauge:
        lines.append(f"  Gauge      {answer.gauge}")
    if answer.source.litres_per_psi is not None:
        lines.append(f"  Reserve    {answer.reserve}, kept back")
    lines.append(f"  Flow       {answer.flow.litres_per_minute:g} L/min")
    if answer.left and answer.usable:
        lines.append(f"  Usable     {answer.usable.litres:.1f} L")
        lines.append(f"  Time left  {answer.left.whole_minutes} min (rounded down)")
    if answer.need:
        least = f"{answer.need.litres:g} L"
        if answer.need.minimum:
            least = f"{answer.need.minimum} on the gauge (rounded up)"
        lines.append(f"  Needed     for {answer.need.minutes.minutes:g} min at least {least}")
    if answer.source.cylinder and answer.source.cylinder.note:
        lines.extend(("", answer.source.cylinder.note))
    lines.extend(("", CAUTION))
    return "\n".join(lines)
