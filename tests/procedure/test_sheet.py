"""What a guide tells beside a step: who does it, to which beat, how often, and what must not be."""

from __future__ import annotations

from bench_skill import TEXT, bench_skill

from coach.edges.skill_files import load_skill
from coach.procedure.sheet import Sheet, sheet_of, told_of

BAG = """steps:
  - id: bag
    name: the bag
    say: Have the bag squeezed.
    why: The chest has to rise.
    how: Until it rises.
    heard-as: {phrases: [i gave the breaths], keys: [breaths given]}
    partner: {who: the second rescuer}
    readings:
      - {name: breaths, quantity: count, unit: counted, low: "{no-fact.2}", high: "{no-fact.2}",
         ask: How many breaths?, sources: [common]}
  - id: beat
    name: the beat
    say: Squeeze to the beat.
    why: Too fast is too much.
    how: One squeeze a beat.
    heard-as: {phrases: [i kept to the beat], keys: [kept beat]}
    pace: {of: ventilations, low: "{no-fact.20}", high: "{no-fact.30}", for-s: "{no-fact.60}"}
    sources: [common]
"""
MORE = """never:
  - id: hard
    name: squeezing hard
    say: Squeeze less
    because: Because it fills the stomach.
    heard-as: {keys: [squeeze/squeezing hard]}
repeats:
  - {id: turns, name: turn, steps: [bag, beat], times: "{no-fact.3}", for-s: "{no-fact.90}"}
"""


def sheet() -> Sheet:
    text = TEXT.replace("steps:\n", MORE + BAG, 1)
    return sheet_of(bench_skill(text).chosen({"device": "mask"}))


def test_beside_a_step_stand_the_partner_the_beat_and_the_rounds() -> None:
    bag, beat, *rest = sheet().steps
    assert told_of(bag) == ("For two: you or the second rescuer.", "Breaths ______")
    # 25 lies in the middle of 20 to 30 a minute.
    assert told_of(beat) == (
        "To the beat, 25 a minute.",
        "From 1 again, 3 turns in all, or 90 seconds.",
    )
    assert not any("From" in remark for step in rest for remark in told_of(step))


def test_a_unit_that_is_measured_stays_on_its_line() -> None:
    remarks = [remark for step in sheet().steps for remark in told_of(step)]
    assert "Pressure ______ psi or bar" in remarks


def test_what_must_not_happen_stands_with_the_cautions() -> None:
    assert sheet().cautions[-1] == "Must not happen: squeezing hard, because it fills the stomach."


def test_what_is_counted_and_a_pressure_by_ear_have_two_lines_each() -> None:
    asks = {step.number: step.asks for step in sheet_of(load_skill("vital-signs").chosen({})).steps}
    assert ("beats in 30 s ______, a minute ______",) in asks.values()
    assert ("pressure ______ over ______ mmHg",) in asks.values()
    by_touch = sheet_of(load_skill("vital-signs").chosen({"pressure": "touch"}))
    assert ("pressure ______ mmHg",) in [step.asks for step in by_touch.steps]


def test_a_length_has_the_unit_in_which_it_is_asked_for() -> None:
    metric = sheet_of(load_skill("bleeding-control").chosen({"measure": "centimeters"}))
    assert ("distance ______ cm",) in [step.asks for step in metric.steps]
    airway = sheet_of(load_skill("oral-airway").chosen({}))
    assert ("length ______ mm",) in [step.asks for step in airway.steps]
