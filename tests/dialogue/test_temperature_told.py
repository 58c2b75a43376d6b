"""A temperature told by the way: said on both scales, asked about, and never anything else."""

from __future__ import annotations

import pint
import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.core.meaning import Doubt
from coach.core.units import Quantity, Unit
from coach.language.readings import find_readings
from coach.report.attempt import Way

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
SKILL = TEXT.replace("    how: Turn the knob", "    thermometer: true\n    how: Turn the knob", 1)


C, F = Unit.DEGREES_CELSIUS, Unit.DEGREES_FAHRENHEIT


def run(*words: str, way: Way = Way.LED, text: str = SKILL) -> Run:
    return Run(*("I'm ready", *words), skill_file=bench_skill(text), started={"way": way.value})


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("her temperature is thirty eight point five", (38.5, None)),
        ("temp is one hundred point four fahrenheit", (100.4, F)),
        ("thirty seven degrees celsius", (37.0, C)),
        ("it shows 38.5 c", (38.5, C)),
        ("the flow is fifteen", None),
        ("if the temperature is under thirty five", None),
        ("the temperature is not thirty eight", None),
        ("temperature", None),
        ("stop the water his temperature is thirty five point four", (35.4, None)),
        ("the water is about twenty degrees celsius", None),
        ("twenty degree water over the burn", None),
        ("the water temperature is eighteen", None),
        ("the temperature of the water is eighteen degrees", None),
        ("", None),
    ],
)
def test_what_temperature_is_told(said: str, told: tuple[float, Unit | None] | None) -> None:
    readings = find_readings(said, None, besides=frozenset({Quantity.TEMPERATURE}))
    found = [r for r in readings if r.quantity is Quantity.TEMPERATURE]
    assert [(r.values[0], r.unit if r.unit_said else None) for r in found] == [told][: bool(told)]
    assert find_readings(said, None) == tuple(r for r in readings if r not in found)


@pytest.mark.parametrize(
    ("said", "unit", "doubt"),
    [
        ("the temperature is thirty eight point five", C, Doubt.HEDGED),
        ("temp one oh one point three", F, Doubt.HEDGED),
        ("ninety nine degrees", F, Doubt.HEDGED),
        ("thirty seven point two celsius", C, None),
        ("two hundred fahrenheit", F, Doubt.OUT_OF_RANGE),
    ],
)
def test_a_scale_that_nobody_named_is_in_doubt(said: str, unit: Unit, doubt: Doubt | None) -> None:
    [reading] = find_readings(said, Quantity.TEMPERATURE)
    assert (reading.quantity, reading.unit, reading.doubt) == (Quantity.TEMPERATURE, unit, doubt)


def test_it_is_said_on_the_other_scale() -> None:
    said = run("the temperature is thirty nine celsius").reply_to(1)
    fahrenheit = REGISTRY.Quantity(39, "degC").to("degF").magnitude
    assert fahrenheit == pytest.approx(102.2)
    assert "one hundred two point two Fahrenheit" in said
    assert "Put on your gloves." in said


def test_one_that_cannot_be_is_asked_about_and_a_yes_credits_nothing() -> None:
    played = run("the temperature is thirty seven fahrenheit", "yes")
    assert "was it Celsius?" in played.reply_to(1)
    assert "Say the temperature again" in played.reply_to(2)
    assert played.done == ()


def test_what_is_told_besides_counts() -> None:
    played = run("my gloves are on and the temperature is thirty seven")
    assert played.done == ("gloves",)


@pytest.mark.parametrize("way", [Way.RECALL, Way.ASSESSED])
def test_a_quiet_coach_notes_it_and_is_quiet(way: Way) -> None:
    played = run("the temperature is thirty seven", "my gloves are on", way=way)
    assert "Fahrenheit" not in " ".join(played.voice.lines)
    assert played.done == ("gloves",)
    assert played.events("temperature-told") == [{"value": 37.0, "degree": None, "possible": True}]


def test_it_is_no_flow_and_has_no_place_in_other_skills() -> None:
    mounted = ("my gloves are on", "the washer is whole", "the regulator is on", "the flow is set")
    played = run(*mounted, "the temperature is twelve degrees", "yes")
    assert "flow" not in played.done
    other = run("the temperature is thirty seven", text=TEXT)
    assert "Fahrenheit" not in other.reply_to(1)
