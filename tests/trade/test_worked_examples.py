"""Every worked example, published or constructed, against our arithmetic.

The numbers, their sources and the check of each printed answer are in tests/data.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from known_cylinders import KEPT, find_cylinder

from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.trade.cylinders import Region
from coach.trade.oxygen import (
    minimum_pressure,
    minutes_left,
    minutes_of_contents,
)

DATA = Path(__file__).parent.parent / "data" / "worked_examples.yaml"
EXAMPLES: list[dict[str, Any]] = yaml.safe_load(DATA.read_text(encoding="utf-8"))["examples"]
BY_ID = {example["id"]: example for example in EXAMPLES}

RULE_OF_THUMB_FACTOR = 60 / 200
"""O11: hours = gauge / (200 x flow), so 0.30 L per psi and nothing kept."""


def _named(kind: str) -> list[Any]:
    """The examples of the kinds that begin so, named by id and source."""
    return [
        pytest.param(example, id=f"{example['id']}: {example['source']['text'][:60]}")
        for example in EXAMPLES
        if example["question_type"].startswith(kind)
    ]


def _by_formula(inputs: dict[str, Any]) -> Duration:
    return minutes_left(
        Pressure(inputs["gauge_psi"]),
        Pressure(inputs["residual_psi"]),
        inputs["factor_L_per_psi"],
        Flow(inputs["flow_L_min"]),
    )


@pytest.mark.parametrize(
    "example",
    [*_named("duration"), *_named("residual_500"), *_named("typical"), *_named("edge_below")],
)
def test_durations(example: dict[str, Any]) -> None:
    inputs, accepted = example["inputs"], example["accept"]
    if "contents_L" in inputs:
        left = minutes_of_contents(Volume(inputs["contents_L"]), Flow(inputs["flow_L_min"]))
    else:
        left = _by_formula(inputs)
    assert left.minutes == pytest.approx(example["exact_answer"]["value"], abs=1e-9)
    if "minutes" in accepted:
        assert abs(left.minutes - accepted["minutes"]) <= accepted.get("tolerance", 0) + 1e-9
    else:
        assert abs(left.minutes / 60 - accepted["hours"]) <= accepted["tolerance"]


@pytest.mark.parametrize("example", _named("minimum_gauge"))
def test_least_pressures_round_up(example: dict[str, Any]) -> None:
    inputs, accepted = example["inputs"], example["accept"]
    least = minimum_pressure(
        Flow(inputs["flow_L_min"]),
        Duration(inputs["minutes"]),
        inputs["factor_L_per_psi"],
        Pressure(inputs["residual_psi"]),
    )
    assert accepted["psi_min"] <= least.psi <= accepted["psi_max"]
    assert least.psi == {"O08": 1138, "O09": 393}[example["id"]]


def test_the_printed_392_psi_of_o09_would_fall_short() -> None:
    inputs = BY_ID["O09"]["inputs"]
    left = _by_formula({**inputs, "gauge_psi": 392})
    assert left.whole_minutes == 29


@pytest.mark.parametrize("example", _named("rule_of_thumb"))
def test_the_hours_rule(example: dict[str, Any]) -> None:
    inputs = example["inputs"]
    gauge, flow = Pressure(inputs["gauge_psi"]), Flow(inputs["flow_L_min"])
    left = minutes_left(gauge, Pressure(0), RULE_OF_THUMB_FACTOR, flow)
    assert left.minutes / 60 == pytest.approx(example["accept"]["hours"])
    ours = find_cylinder("E").litres_per_psi
    assert minutes_left(gauge, KEPT, ours, flow).minutes / 60 == pytest.approx(18.67, abs=0.005)


@pytest.mark.parametrize("example", _named("regional"))
def test_an_australian_d_is_no_us_d(example: dict[str, Any]) -> None:
    inputs, accepted = example["inputs"], example["accept"]
    flow = Flow(inputs["flow_L_min"])
    plain = minutes_of_contents(Volume(inputs["contents_L"]), flow)
    assert plain.minutes == example["exact_answer"]["value"]
    cylinder = find_cylinder("D", Region.ANZ)
    assert cylinder.full.litres == inputs["contents_L"]
    kept = minutes_left(cylinder.full_pressure, KEPT, cylinder.litres_per_psi, flow).minutes
    assert accepted["hours_low"] <= kept / 60 <= accepted["hours_high"]
    assert cylinder.full.litres > 4 * find_cylinder("D").full.litres


@pytest.mark.parametrize("example", _named("litres_needed"))
def test_a_uk_d_holds_what_a_doubled_transfer_needs(example: dict[str, Any]) -> None:
    inputs = example["inputs"]
    litres = inputs["safety_multiplier"] * inputs["flow_L_min"] * inputs["transfer_min"]
    assert litres == example["accept"]["litres"]
    flow = Flow(inputs["flow_L_min"])
    doubled = inputs["safety_multiplier"] * inputs["transfer_min"]
    assert minutes_of_contents(find_cylinder("D", Region.UK).full, flow).minutes >= doubled
    assert minutes_of_contents(find_cylinder("C", Region.UK).full, flow).minutes < doubled


@pytest.mark.parametrize("example", _named("invalid_flow"))
def test_a_flow_of_zero_is_asked_about(example: dict[str, Any]) -> None:
    with pytest.raises(InputError, match=r"^What is the flow\?"):
        _by_formula(example["inputs"])


def test_every_example_is_of_a_kind_that_is_tested() -> None:
    kinds = (
        "duration",
        "residual_500",
        "typical",
        "edge_below",
        "minimum_gauge",
        "rule_of_thumb",
        "regional",
        "litres_needed",
        "invalid_flow",
    )
    assert [e["id"] for e in EXAMPLES if not e["question_type"].startswith(kinds)] == []
    assert all(example["source"]["text"] for example in EXAMPLES)


def test_200_psi_is_the_published_13_8_bar() -> None:
    # Expedition-medicine page (2022) and the Virginia sheet both put 200 psi beside 13.8 bar.
    assert KEPT.in_unit(Unit.BAR) == pytest.approx(13.8, abs=0.05)
