"""A pull told as a share of the weight, once the weight is known."""

from __future__ import annotations

import pint
import pytest
from bench_session import Run, run_with_step
from bench_skill import TEXT, bench_skill

from coach.core.units import Quantity
from coach.dialogue.weight import weight_of
from coach.language.readings import find_readings
from coach.report.attempt import Way

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()

PULLED = """steps:
  - id: pull
    name: the pull
    say: Tighten it, and say the pull.
    why: It takes over.
    how: Slowly.
    heard-as: {phrases: [it is tight], keys: [tightened splint]}
    readings:
      - name: pull
        quantity: pull
        unit: lbf
        low: "{no-fact.1}"
        high: "{no-fact.15}"
        also:
          - {unit: "% of weight", low: "{no-fact.0}", high: "{no-fact.10}"}
        ask: How hard does it pull?
        outside: Give back.
        sources: [common]
"""


def run(*words: str, way: Way = Way.LED) -> Run:
    return run_with_step(PULLED, *words, way=way)


@pytest.mark.parametrize(
    ("said", "kilograms"),
    [
        ("he weighs ninety kilos", 90.0),
        ("a two hundred pound man", REGISTRY.Quantity(200, "pound").to("kilogram").magnitude),
        ("the patient weighs 80 kg", 80.0),
        ("ten percent of his weight", None),
        ("sixteen pounds", None),
        ("if he weighs ninety kilos", None),
        ("he weighs nine hundred kilos", None),
        ("", None),
    ],
)
def test_what_somebody_weighs(said: str, kilograms: float | None) -> None:
    readings = find_readings(said, None, besides=frozenset({Quantity.WEIGHT}))
    told = [r for r in readings if r.quantity is Quantity.WEIGHT and r.outlook is None]
    weight = weight_of(told)
    assert (weight and weight[1]) == (None if kilograms is None else pytest.approx(kilograms))


def test_ten_percent_is_enough_up_to_a_hundred_fifty_pounds() -> None:
    # 15 lb are 10 % of 150 lb
    assert run("he weighs 150 pounds", "ten percent of his weight", "yes").done == ("pull",)
    heavier = run("he weighs 155 pounds", "ten percent of his weight", "yes")
    assert heavier.done == ()
    assert "about fifteen point five pounds of pull" in heavier.reply_to(3)
    assert run("ten percent of his weight", "yes").done == ("pull",)


def test_insisted_upon_it_is_noted() -> None:
    again = ("ten percent of his weight", "yes")
    played = run("he weighs 200 pounds", *again, *again)
    assert played.done == ("pull",)
    assert not played.state.readings[0].in_range


@pytest.mark.parametrize("way", [Way.RECALL, Way.ASSESSED])
def test_a_quiet_coach_notes_it_whenever_the_weight_is_told(way: Way) -> None:
    before = run("he weighs 200 pounds", "it is tight, ten percent of his weight", way=way)
    after = run("it is tight, ten percent of his weight", "he weighs 200 pounds", way=way)
    light = run("it is tight, ten percent of his weight", "he weighs 140 pounds", way=way)
    assert [played.state.readings[0].in_range for played in (before, after, light)] == [
        False,
        False,
        True,
    ]
    assert before.done == after.done == ("pull",)


@pytest.mark.parametrize(
    ("weight", "pull", "enough"),
    [
        # by pint: 10 % of 54 kg are 11.9 lbf or 53 N; 15 lb are 10 % of 68 kg
        ("fifty four kilos", "eleven pounds of pull", True),
        ("fifty four kilos", "twelve pounds of pull", False),
        ("fifty four kilos", "fifty two newtons", True),
        ("fifty four kilos", "fifty four newtons", False),
        ("seventy kilos", "fifteen pounds of pull", True),
        ("sixty seven kilos", "fifteen pounds of pull", False),
    ],
)
def test_pounds_are_held_against_a_known_weight(weight: str, pull: str, enough: bool) -> None:
    played = run(f"she weighs {weight}", pull, "yes")
    assert (played.done == ("pull",)) is enough
    assert ("ten percent of that weight" in " ".join(played.voice.lines).lower()) is not enough
    afterwards = run(pull, "yes", f"she weighs {weight}")
    assert (afterwards.done == ("pull",)) is enough
    for way in (Way.RECALL, Way.ASSESSED):
        quiet = run(f"it is tight, {pull}", f"she weighs {weight}", way=way)
        assert quiet.state.readings[0].in_range is enough


def test_an_attempt_of_before_holds_no_pounds_against_the_weight() -> None:
    words = ("she weighs fifty kilos", "it is tight, fifteen pounds of pull")
    skill_file = bench_skill(TEXT.replace("steps:\n", PULLED, 1))
    started = {"way": "assessed", "conversation": 2}
    old = Run("I'm ready", *words, skill_file=skill_file, started=started)
    assert old.state.readings[0].in_range
