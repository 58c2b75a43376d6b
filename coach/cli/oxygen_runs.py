"""Several runs from one cylinder, one after another, as `coach oxygen --run` tells of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coach.cli.answered import answer_or_ask
from coach.cli.oxygen_source import Source
from coach.core.errors import InputError
from coach.core.units import Pressure, Unit, Volume
from coach.trade import planned_amounts
from coach.trade.amounts import WrittenPressure
from coach.trade.margins import Margin
from coach.trade.oxygen import Supply
from coach.trade.questions import capital
from coach.trade.runs import Run, RunPlan, minimum_pressure_for_runs, plan_runs
from coach.trade.spoken import reserve_words, rounded_up_in
from coach.trade.spoken_sums import margin_words, plan_minimum_words, plan_words


@dataclass(frozen=True, slots=True)
class RunsAnswer:
    """What a cylinder gives to all runs; `plan` is None where no gauge was given."""

    source: Source
    runs: tuple[Run, ...]
    gauge: WrittenPressure | None
    reserve: WrittenPressure
    margin: Margin
    plan: RunPlan | None
    least: Pressure

    @property
    def _unit(self) -> Unit:
        return (self.gauge or self.reserve).unit

    @property
    def _beyond_full(self) -> bool:
        return self.least > (self.source.full or self.source.highest)

    @property
    def sentence(self) -> str:
        """The answer as the coach would say it."""
        said = [plan_words(self.plan, self._unit)] if self.plan else []
        if self._beyond_full:
            said.append("All of it needs more than a full cylinder holds: plan for another.")
        elif not self.plan or self.plan.short_in:
            said.append(plan_minimum_words(self.runs, rounded_up_in(self.least, self._unit)))
        litres = sum(run.litres.litres for run in self.runs)
        said.append(f"{capital(self.source.words)}, {reserve_words(self.reserve)}.")
        return " ".join([*said, *margin_words(self.margin, Volume(litres))])

    def data(self) -> dict[str, object]:
        """The answer for programs."""
        plan = self.plan
        legs = plan.legs if plan else (None,) * len(self.runs)
        return {
            "runs": [
                {
                    "flow_l_min": run.flow.litres_per_minute,
                    "minutes": run.minutes.minutes,
                    "had_minutes": leg.had.minutes if leg else None,
                    "gauge_after_psi": leg.gauge_after.psi if leg else None,
                }
                for run, leg in zip(self.runs, legs, strict=True)
            ],
            "minutes": plan.lasting.minutes if plan else None,
            "short_in": plan.short_in if plan else None,
            "litres_left": plan.left.litres if plan else None,
            "minimum_psi": int(self.least.psi),
            **self.source.data(),
            "reserve_psi": self.reserve.pressure.psi,
            "pressure_psi": self.gauge.pressure.psi if self.gauge else None,
            "margin": self.margin.multiplier,
            "spoken": self.sentence,
        }

    def lines(self) -> list[str]:
        """What is printed below the sentence."""
        lines = [f"  Gauge      {self.gauge}"] if self.gauge else []
        lines.append(f"  Reserve    {self.reserve}, kept back")
        for number, run in enumerate(self.runs, 1):
            line = f"{run.flow.litres_per_minute:g} L/min for {run.minutes.minutes:g} min"
            if self.plan:
                leg = self.plan.legs[number - 1]
                # a hair below a whole number is rounding
                ends = int(leg.gauge_after.in_unit(self._unit) + 1e-9)
                had = "" if leg.complete else f", only {leg.had.whole_minutes} min of it"
                line += f"{had}: the gauge ends at {ends} {self._unit}"
            lines.append(f"  Run {number:<6} {line}")
        least = rounded_up_in(self.least, self._unit)
        beyond = ", more than a full cylinder holds" if self._beyond_full else ""
        lines.append(f"  Needed     at least {least} on the gauge (rounded up){beyond}")
        return lines


def runs_answer(
    source: Source,
    written: Sequence[str],
    gauge: WrittenPressure | None,
    reserve: WrittenPressure,
    margin: Margin,
) -> RunsAnswer:
    """What the runs come to; InputError for what no run can be, or without a gauge's cylinder."""
    if source.litres_per_psi is None:
        raise InputError(
            "--run tells what the gauge shows after each run, so it needs a cylinder with a gauge: "
            "give --cylinder, --factor, --water, or --contents with --full."
        )
    runs = tuple(planned_amounts.parse_run(text, "--run") for text in written)
    supply = Supply(source.litres_per_psi, reserve.pressure)
    least = answer_or_ask(minimum_pressure_for_runs(supply, runs, margin), "--run")
    plan = None
    if gauge is not None:
        plan = answer_or_ask(plan_runs(supply, gauge.pressure, runs, margin), "--run, --pressure")
    return RunsAnswer(source, runs, gauge, reserve, margin, plan, least)
