"""Several runs from one cylinder: one flow after another, and how far the gauge carries them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coach.core.units import Duration, Flow, Pressure, Volume
from coach.trade.margins import NO_MARGIN, Margin
from coach.trade.oxygen import Supply, lasts
from coach.trade.questions import Question, first_question, question_outside

MOST_FLOW_L, LONGEST_RUN_MINUTES = 100.0, 1440.0
"""L/min, and minutes, beyond which a run is a slip: no outlet of the trade gives more, and no
cylinder is planned for more than a day (common practice, no source)."""

HIGHEST_GAUGE_PSI = 4800.0
"""psi: 300 bar, the highest fill listed, and a tenth (see cylinders.py)."""


@dataclass(frozen=True, slots=True)
class Run:
    """One stretch at one flow, for so many minutes."""

    flow: Flow
    minutes: Duration

    @property
    def litres(self) -> Volume:
        """Oxygen that it uses."""
        return Volume(self.flow.litres_per_minute * self.minutes.minutes)


@dataclass(frozen=True, slots=True)
class Leg:
    """A run as the cylinder carries it: the gauge at its end, and minutes of it that can be had.

    The gauge never falls below the reserve here: what would take it lower is not had.
    """

    run: Run
    had: Duration
    gauge_after: Pressure

    @property
    def complete(self) -> bool:
        """Whether the whole run can be had."""
        return lasts(self.had, self.run.minutes)


@dataclass(frozen=True, slots=True)
class RunPlan:
    """All runs in order; `left` is what is still planned for after the last."""

    legs: tuple[Leg, ...]
    left: Volume

    @property
    def short_in(self) -> int | None:
        """The number, from 1, of the first run that cannot be had in full; None if all can."""
        return next((n for n, leg in enumerate(self.legs, 1) if not leg.complete), None)

    @property
    def lasting(self) -> Duration:
        """Minutes until the first shortfall, or of the whole plan."""
        minutes = 0.0
        for leg in self.legs:
            minutes += leg.had.minutes
            if not leg.complete:
                break
        return Duration(minutes)


def plan_runs(
    supply: Supply, gauge: Pressure, runs: Sequence[Run], margin: Margin = NO_MARGIN
) -> RunPlan | Question:
    """What one cylinder gives to several runs, one after another, above its reserve.

    With a margin only `margin.usable` of that is planned for. No runs, a flow of zero, and
    numbers that no outlet or gauge shows are asked about.
    """
    question = _question_of_runs(runs) or _question_of_gauge(gauge)
    if question:
        return question
    litres = margin.usable(supply.usable(gauge)).litres
    psi = gauge.psi
    legs: list[Leg] = []
    for run in runs:
        had = min(run.litres.litres, litres)
        litres -= had
        psi -= had / supply.litres_per_psi
        minutes = Duration(had / run.flow.litres_per_minute)
        legs.append(Leg(run, minutes, Pressure(max(0.0, psi))))
    return RunPlan(tuple(legs), Volume(litres))


def minimum_pressure_for_runs(
    supply: Supply, runs: Sequence[Run], margin: Margin = NO_MARGIN
) -> Pressure | Question:
    """The least gauge, in whole psi rounded up, that carries all runs above the reserve."""
    question = _question_of_runs(runs)
    if question:
        return question
    litres = margin.planned(Volume(sum(run.litres.litres for run in runs))).litres
    return supply.minimum_pressure(Flow(litres), Duration(1.0))


def drawn_together(flows: Sequence[Flow]) -> Flow | Question:
    """The flow of several outlets open at the same time."""
    question = __question_of_flows(flows)
    return question or Flow(sum(flow.litres_per_minute for flow in flows))


def _question_of_flow(flow: Flow) -> Question | None:
    """What to ask of a flow that is zero or that no outlet gives; else None."""
    if flow.litres_per_minute == 0:
        return Question("At zero liters a minute nothing is used: what is the flow?")
    return question_outside(flow.litres_per_minute, 0, MOST_FLOW_L, "the flow")


def _question_of_gauge(gauge: Pressure) -> Question | None:
    return question_outside(gauge.psi, 0, HIGHEST_GAUGE_PSI, "the gauge")


def _question_of_runs(runs: Sequence[Run]) -> Question | None:
    times = (
        question_outside(run.minutes.minutes, 0, LONGEST_RUN_MINUTES, "the minutes")
        or (Question("A run of no time: how many minutes?") if not run.minutes.minutes else None)
        for run in runs
    )
    return __question_of_flows([run.flow for run in runs]) or first_question(*times)


def __question_of_flows(flows: Sequence[Flow]) -> Question | None:
    if not flows:
        return Question("Which flow, and for how many minutes?")
    return first_question(*(_question_of_flow(flow) for flow in flows))
