"""`coach oxygen`: how long a cylinder lasts, or the gauge that a job needs."""

from __future__ import annotations

import json
from dataclasses import dataclass

import click

from coach.cli.answered import answer_or_ask
from coach.cli.oxygen_draw import Draw, DrawOptions, draw_of
from coach.cli.oxygen_runs import RunsAnswer, runs_answer
from coach.cli.oxygen_source import Source, SourceOptions, source_of
from coach.cli.oxygen_usual import Usual, usual
from coach.cli.session_options import setting_options
from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.procedure.oxygen_numbers import ADULT, AIR, DEVICE, DRIVING, LIQUID, MARGIN_MOST
from coach.trade import amounts, planned_amounts, spoken
from coach.trade.cylinders import Region, checked_pressure
from coach.trade.margins import NO_MARGIN, Margin
from coach.trade.oxygen import Supply, lasts, minutes_of_contents
from coach.trade.spoken_sums import margin_words

CAUTION = (
    "Training aid only, never for patient care: local protocol, medical direction and licensed "
    "practice decide."
)


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that is told, for people and for programs; None where it is not known."""

    source: Source
    draw: Draw
    gauge: amounts.WrittenPressure | None
    reserve: amounts.WrittenPressure
    margin: Margin
    left: Duration | None
    usable: Volume | None
    need: spoken.Need | None
    minimum: Pressure | None
    usual: Usual

    @property
    def flow(self) -> Flow:
        """What is drawn, in liters a minute."""
        return self.draw.flow

    @property
    def _asked(self) -> Volume | None:
        """What a job of so many minutes uses, without the margin."""
        if self.need is None:
            return None
        return Volume(self.flow.litres_per_minute * self.need.minutes.minutes)

    @property
    def sentence(self) -> str:
        """The answer as the coach says it."""
        kept = self.source.kept
        if self.source.litres_per_psi is not None:
            kept = spoken.reserve_words(self.reserve)
        assumed = (self.source.words, kept) if kept else (self.source.words,)
        answer = spoken.spoken_answer(self.left, self.draw.said, assumed, self.need)
        first = (*self.draw.first, *([self.source.first] if self.source.first else []))
        return " ".join((*first, answer, *margin_words(self.margin, self._asked)))


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
    "--liquid",
    help='Instead of a letter: liquid oxygen in the vessel, for example "2 L", "5 lb" or "3 kg".',
)
@click.option("--filled", help="With --liquid: how many percent of that are in it now.")
@click.option(
    "--region",
    type=click.Choice([region.value for region in Region], case_sensitive=False),
    help="Where the letter comes from: letters differ by country.  [default: that of the settings]",
)
@click.option("--full", help='With --contents: the gauge when full, for example "2000 psi".')
@click.option("--pressure", help='What the gauge reads, with its unit: "1700 psi", "117 bar".')
@click.option(
    "--flow",
    multiple=True,
    help="Liters a minute, for example 15; given more than once, all are open at once.",
)
@click.option(
    "--run",
    multiple=True,
    help='Instead of --flow: one run after another, each as "15 L/min for 10 min".',
)
@click.option(
    "--breath",
    help='Instead of --flow, for a ventilation device: what one breath holds, as "500 mL".',
)
@click.option("--rate", help="Of the device: breaths a minute, for example 12.")
@click.option("--minute-volume", help="Of the device, instead of --breath: liters a minute.")
@click.option("--oxygen-percent", help="Of the device: how much oxygen is set.  [default: 100]")
@click.option("--driving-gas", help="Of the device: liters a minute that drive it.  [default: 0]")
@click.option(
    "--reserve",
    help="What is kept in the cylinder; a bare number is in the unit of --pressure.  "
    "[default: that of the settings or of the local program, else 200 psi]",
)
@setting_options("program")
@click.option("--minutes", help="How long it must last: adds the least pressure for that.")
@click.option(
    "--margin",
    help="Plan for so many times the need, for example 1.5; or leave a fifth, third or half.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(
    cylinder: str | None,
    factor: str | None,
    contents: str | None,
    water: str | None,
    liquid: str | None,
    filled: str | None,
    region: str | None,
    full: str | None,
    pressure: str | None,
    flow: tuple[str, ...],
    run: tuple[str, ...],
    breath: str | None,
    rate: str | None,
    minute_volume: str | None,
    oxygen_percent: str | None,
    driving_gas: str | None,
    reserve: str | None,
    program: str | None,
    minutes: str | None,
    margin: str | None,
    as_json: bool,
) -> None:
    """Work out how long the oxygen lasts, keeping a reserve.

    The time is rounded down and a needed pressure rounded up. A training aid only, never for
    patient care.
    """
    now = usual(program, reserve is not None)
    place = Region(region.lower()) if region else None
    if place is None and cylinder is not None:
        place = now.region
    source = source_of(
        SourceOptions(cylinder, factor, contents, water, liquid, filled, full, place),
        now.cylinders,
        now.numbers.liquid,
    )
    now = now.working_with(_facts_used(liquid, margin))
    drawing = DrawOptions(flow, breath, rate, minute_volume, oxygen_percent, driving_gas)
    planned = NO_MARGIN
    if margin is not None:
        parsed = planned_amounts.parse_margin(margin, "--margin", now.numbers.margins)
        planned = answer_or_ask(parsed, "--margin")
    answer: Answer | RunsAnswer
    if run:
        _refuse_beside_runs(drawing, minutes)
        gauge, kept = _pressures(source, pressure, reserve, now)
        answer = runs_answer(source, run, gauge, kept, planned)
        _show({**answer.data(), **now.data()} if as_json else _runs_as_text(answer, now))
        return
    draw = draw_of(drawing, now.numbers.device)
    if drawing.of_device:
        now = now.working_with((*DEVICE, *ADULT, AIR, DRIVING))
    needed = amounts.parse_minutes(minutes, "--minutes") if minutes is not None else None
    answer = _answer(source, draw, (pressure, reserve, now), planned, needed)
    _show(_as_data(answer) if as_json else _as_text(answer))


def _facts_used(liquid: str | None, margin: str | None) -> tuple[str, ...]:
    return (*(LIQUID if liquid is not None else ()), *([MARGIN_MOST] if margin is not None else []))


def _show(answer: dict[str, object] | list[str]) -> None:
    """Print data as one line of JSON, lines as text."""
    told = json.dumps(answer) if isinstance(answer, dict) else "\n".join([*answer, "", CAUTION])
    click.echo(told)


def _refuse_beside_runs(drawing: DrawOptions, minutes: str | None) -> None:
    beside = [*(["--flow"] if drawing.flow else []), *drawing.of_device]
    beside += ["--minutes"] if minutes is not None else []
    if beside:
        raise InputError(
            f"Each --run has its own flow and minutes: leave out {' and '.join(beside)}."
        )


def _pressures(
    source: Source, pressure: str | None, reserve: str | None, now: Usual
) -> tuple[amounts.WrittenPressure | None, amounts.WrittenPressure]:
    """The gauge, if one is given, and what is kept, both such as the source can have; what
    is usual is kept where nothing else is given."""
    gauge = amounts.parse_pressure(pressure, "--pressure") if pressure is not None else None
    if gauge is not None:
        checked_pressure(gauge.pressure, source.highest, f"--pressure {gauge}")
    if reserve is None:
        checked_pressure(now.reserve.pressure, source.highest, f"The usual reserve {now.reserve}")
        return gauge, now.reserve
    kept = amounts.parse_pressure(reserve, "--reserve", gauge.unit if gauge else Unit.PSI)
    checked_pressure(kept.pressure, source.highest, f"--reserve {kept}")
    return gauge, kept


def _answer(
    source: Source,
    draw: Draw,
    written: tuple[str | None, str | None, Usual],
    margin: Margin,
    needed: Duration | None,
) -> Answer:
    """The answer for one flow; `written` are the gauge and the reserve as they were given, and
    what is usual."""
    gauge, kept = _pressures(source, *written)
    if isinstance(source.gives, Volume):
        _refuse_pressures(source, gauge, kept if written[1] is not None else None)
        unruled = written[2].without_reserve()
        return _of_what_is_left(source, source.gives, draw, margin, needed, unruled)
    supply = Supply(source.gives, kept.pressure)
    usable = margin.usable(supply.usable(gauge.pressure)) if gauge else None
    left = minutes_of_contents(usable, draw.flow) if usable is not None else None
    if left is None and needed is None:
        raise InputError(
            'What does the gauge read? Give --pressure, for example "1700 psi"; or --minutes, to '
            "get the pressure needed."
        )
    planned = Flow(draw.flow.litres_per_minute * margin.multiplier)
    minimum = supply.minimum_pressure(planned, needed) if needed else None
    need = _need(source, planned, left, needed, minimum, gauge.unit if gauge else kept.unit)
    return Answer(source, draw, gauge, kept, margin, left, usable, need, minimum, written[2])


def _refuse_pressures(
    source: Source,
    gauge: amounts.WrittenPressure | None,
    reserve: amounts.WrittenPressure | None,
) -> None:
    if source.first and (gauge is not None or reserve is not None):
        raise InputError(
            "Liquid oxygen is told by its weight or level, not by a gauge: leave --pressure and "
            "--reserve out, and give --margin for what is to be left."
        )
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
    source: Source,
    contents: Volume,
    draw: Draw,
    margin: Margin,
    needed: Duration | None,
    now: Usual,
) -> Answer:
    usable = margin.usable(contents)
    left = minutes_of_contents(usable, draw.flow)
    nothing = amounts.WrittenPressure(0.0, Unit.PSI)
    planned = Flow(draw.flow.litres_per_minute * margin.multiplier)
    need = _need(source, planned, left, needed, None, Unit.PSI)
    return Answer(source, draw, None, nothing, margin, left, usable, need, None, now)


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


def _as_data(answer: Answer) -> dict[str, object]:
    left, need = answer.left, answer.need
    data: dict[str, object] = {
        "minutes": left.minutes if left else None,
        "whole_minutes": left.whole_minutes if left else None,
        "litres": answer.usable.litres if answer.usable else None,
        **answer.source.data(),
        "reserve_psi": answer.reserve.pressure.psi,
        "pressure_psi": answer.gauge.pressure.psi if answer.gauge else None,
        "flow_l_min": answer.flow.litres_per_minute,
        "spoken": answer.sentence,
        **answer.usual.data(),
    }
    if answer.margin.multiplier != 1:
        data["margin"] = answer.margin.multiplier
    if need:
        data["needed_minutes"] = need.minutes.minutes
        data["needed_litres"] = need.litres
        data["minimum_psi"] = int(answer.minimum.psi) if answer.minimum else None
        data["enough"] = need.enough
    return data


def _as_text(answer: Answer) -> list[str]:
    lines = [answer.sentence, "", f"  Cylinder   {answer.source.line}"]
    if answer.gauge:
        lines.append(f"  Gauge      {answer.gauge}")
    if answer.source.litres_per_psi is not None:
        lines.append(f"  Reserve    {answer.reserve}, kept back")
    lines.extend(answer.usual.lines())
    lines.extend(answer.draw.lines)
    lines.append(f"  Flow       {answer.flow.litres_per_minute:g} L/min")
    lines.extend(_margin_lines(answer.margin))
    if answer.left and answer.usable:
        lines.append(f"  Usable     {answer.usable.litres:.1f} L")
        lines.append(f"  Time left  {answer.left.whole_minutes} min (rounded down)")
    if answer.need:
        least = f"{answer.need.litres:g} L"
        if answer.need.minimum:
            least = f"{answer.need.minimum} on the gauge (rounded up)"
        lines.append(f"  Needed     for {answer.need.minutes.minutes:g} min at least {least}")
    return _with_notes(lines, answer.source)


def _runs_as_text(answer: RunsAnswer, now: Usual) -> list[str]:
    lines = [
        answer.sentence,
        "",
        f"  Cylinder   {answer.source.line}",
        *_margin_lines(answer.margin),
    ]
    return _with_notes([*lines, *answer.lines(), *now.lines()], answer.source)


def _margin_lines(margin: Margin) -> list[str]:
    if margin.multiplier == 1:
        return []
    left = f"{margin.left_share:.0%} is left over"
    return [f"  Margin     x {margin.multiplier:g}, {left} ({margin.source})"]


def _with_notes(lines: list[str], source: Source) -> list[str]:
    note = source.cylinder.note if source.cylinder else ""
    return [*lines, *(("", note) if note else ())]
