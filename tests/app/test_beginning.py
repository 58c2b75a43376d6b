"""How a session begins: choices, complications, the first event, and the moment of `understand`."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_skill import TEXT, bench_skill

from coach.app.beginning import choices_from, drawn, first_event
from coach.app.moment import expectation_from, moment_context
from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.core.units import Flow, Pressure, Quantity, Unit
from coach.dialogue.oxygen import oxygen_line
from coach.dialogue.state import opening
from coach.dialogue.turn import Turn
from coach.edges.settings import Settings
from coach.edges.skill_text import published_schema
from coach.procedure.parse import parse_skill
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Region


def test_choices_are_names_and_values() -> None:
    assert choices_from([], bench_skill()) == {}
    assert choices_from([" device = cannula "], bench_skill()) == {"device": "cannula"}
    assert choices_from(["device=mask", "device=mask"], bench_skill()) == {"device": "mask"}


@pytest.mark.parametrize(
    ("pairs", "told"),
    [
        (["device"], "--set 'device' is not name=value"),
        (["=mask"], "is not name=value"),
        (["device="], "is not name=value"),
        (["device=mask", "device=cannula"], "--set gives 'device' twice"),
        (["tube=mask"], "tube"),
        (["device=snorkel"], "snorkel"),
    ],
)
def test_choices_that_the_skill_does_not_have_are_told(pairs: list[str], told: str) -> None:
    with pytest.raises(InputError, match=told):
        choices_from(pairs, bench_skill())


def test_a_complication_comes_for_a_seed_always_and_without_one_only_live() -> None:
    assert drawn(bench_skill(), 7, live=False) == ("refused",)
    assert drawn(bench_skill(), 7, live=True) == ("refused",)
    assert drawn(bench_skill(), None, live=False) == ()
    came = {drawn(bench_skill(), None, live=True) for _ in range(200)}
    assert came == {(), ("refused",)}


def test_a_skill_without_complications_has_none_to_come() -> None:
    text = TEXT[: TEXT.index("  - id: swap")]
    parsed = parse_skill(text, "bench.yaml", published_schema("skill.schema.json"))
    assert parsed.skill_file is not None, parsed.problems
    assert drawn(parsed.skill_file, 7, live=True) == ()


def test_the_first_event_says_all_that_the_session_depends_on() -> None:
    settings = Settings(
        region=Region.US,
        cylinder="e",
        reserve=WrittenPressure(500.0, Unit.PSI),
        nudge_seconds=9.0,
    )
    event = first_event(bench_skill(), settings, {"device": "cannula"}, ("refused",))
    assert (event.at_s, event.skill, event.region, event.cylinder) == (0.0, "bench", "us", "E")
    # 0.28 liters per psi: 'Oxygen Cylinder Guidance', October 2010, Virginia EMS.
    assert event.factor_litres_per_psi == 0.28
    assert (event.reserve_psi, event.nudge_seconds) == (500.0, 9.0)
    assert (event.choices, event.complications) == ({"device": "cannula"}, ("refused",))
    assert event.highest_psi > 2000


def test_a_reserve_is_spoken_in_the_unit_it_was_given_in() -> None:
    settings = Settings(reserve=WrittenPressure(14.0, Unit.BAR))
    state = opening(bench_skill(), first_event(bench_skill(), settings, {}, ()))
    assert state.account is not None
    account = state.account.with_pressure(0.0, Pressure(1700.0)).with_flow(0.0, Flow(10.0))
    turn = Turn(replace(state, account=account))
    assert "keeping fourteen bar in reserve" in oxygen_line(turn)


def test_a_reserve_that_a_table_has_in_psi_is_spoken_as_a_gauge_in_bar_shows_it() -> None:
    # 435 psi are 29.99 bar (NIST SP 811, appendix B.8).
    settings = Settings(reserve=WrittenPressure(435.0, Unit.PSI), pressure_unit=Unit.BAR)
    state = opening(bench_skill(), first_event(bench_skill(), settings, {}, ()))
    assert state.account is not None
    account = state.account.with_pressure(0.0, Pressure(1700.0)).with_flow(0.0, Flow(10.0))
    assert "keeping thirty bar in reserve" in oxygen_line(Turn(replace(state, account=account)))


def test_what_was_asked_is_a_quantity_or_a_yes_or_no() -> None:
    assert expectation_from(None) is None
    assert expectation_from("yes-no") == YES_NO
    assert expectation_from("flow") is Quantity.FLOW
    with pytest.raises(InputError, match="--expect 'flwo' is not known: did you mean 'flow'"):
        expectation_from("flwo")


def test_a_moment_has_its_step_alone_or_every_step() -> None:
    context, hint = moment_context("suction", None, None)
    assert len(context.steps) > 5
    assert "go on" in hint.phrases
    one, _ = moment_context("suction", context.steps[0].id, "vacuum")
    assert [step.id for step in one.steps] == [context.steps[0].id]
    with pytest.raises(InputError, match="suction has no step 'glovs'"):
        moment_context("suction", "glovs", None)


def test_in_a_moment_that_is_only_asked_about_a_count_may_begin_or_end() -> None:
    context, _ = moment_context("suction", None, None)
    counted = [step for step in context.steps if step.clock_start.phrases or step.clock_start.keys]
    assert counted
    assert all(step.clock_end.phrases or step.clock_end.keys for step in counted)
