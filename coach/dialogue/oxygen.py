"""The oxygen left, worked out from the numbers that stand."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from coach.core.meaning import Reading
from coach.core.units import Flow, Pressure, Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.state import Standing, State
from coach.dialogue.turn import About, Turn

CLOSES_FLOW = "flow-closed"
"""The step after which no oxygen runs."""

INTENDED = "intended"
"""A flow reading whose name begins so is a plan: nothing runs yet."""


def take_into_account(turn: Turn, name: str, reading: Reading, told: bool) -> None:
    """Bring the oxygen account up to a number that now stands, and say the minutes if `told`."""
    account = turn.state.account
    if account is None or reading.quantity not in {Quantity.PRESSURE, Quantity.FLOW}:
        return
    at_s = turn.state.at_s
    if reading.quantity is Quantity.PRESSURE:
        pressure = Pressure.of(reading.values[0], reading.unit)
        turn.state = replace(turn.state, account=account.with_pressure(at_s, pressure))
    elif name.startswith(INTENDED):
        turn.state = replace(turn.state, intended=Flow(reading.values[0]))
    else:
        turn.state = replace(turn.state, account=account.with_flow(at_s, Flow(reading.values[0])))
    if told and minutes_now(turn.state) is not None:
        turn.drop(About.OXYGEN)
        turn.say(oxygen_line(turn), About.OXYGEN)
        turn.led = turn.led or turn.state.told_minutes == 0


def close_flow(turn: Turn) -> None:
    """The flow was closed now."""
    account = turn.state.account
    if account is not None:
        closed = account.with_flow(turn.state.at_s, Flow(0.0))
        turn.state = replace(turn.state, account=closed)


def forget_gauge(turn: Turn) -> None:
    """No minutes are worked out until the gauge is read anew."""
    account = turn.state.account
    if account is not None:
        turn.state = replace(turn.state, account=replace(account, gauge=None))


def forget_numbers(turn: Turn, steps: Collection[str]) -> None:
    """Drop the numbers of these steps with all that was worked out from them.

    A flow that was not closed after all has run on since.
    """
    gone = [reading for reading in turn.state.readings if reading.step in steps]
    kept = tuple(reading for reading in turn.state.readings if reading.step not in steps)
    turn.state = replace(turn.state, readings=kept)
    if CLOSES_FLOW in steps and CLOSES_FLOW in turn.state.done:
        _open_flow_again(turn, kept)
    for reading in gone:
        if reading.quantity in {Quantity.PRESSURE, Quantity.FLOW}:
            _forget(turn, reading)


def _open_flow_again(turn: Turn, kept: Collection[Standing]) -> None:
    if turn.state.account is None:
        return
    flows = [
        Flow(reading.values[0])
        for reading in kept
        if reading.quantity is Quantity.FLOW and not reading.name.startswith(INTENDED)
    ]
    account = replace(turn.state.account, flow=flows[-1] if flows else None)
    turn.state = replace(turn.state, account=account)


def _forget(turn: Turn, reading: Standing) -> None:
    state = turn.state
    turn.state = replace(state, told_minutes=None)
    if state.account is None:
        return
    if reading.quantity is Quantity.PRESSURE:
        forget_gauge(turn)
    elif reading.name.startswith(INTENDED):
        turn.state = replace(turn.state, intended=None)
    else:
        left = state.account.pressure_at(state.at_s)
        account = replace(state.account, gauge=left, flow=None, since_s=state.at_s)
        turn.state = replace(turn.state, account=account)


def minutes_now(state: State) -> int | None:
    """Whole minutes of oxygen left at the flow set or intended; None when they can't be known."""
    if state.account is None:
        return None
    left = state.account.minutes_at(state.at_s)
    if left is None:
        gauge = state.account.pressure_at(state.at_s)
        if gauge is None or state.intended is None or not state.intended.litres_per_minute:
            return None
        left = state.account.supply.minutes_left(gauge, state.intended)
    return left.whole_minutes


def oxygen_line(turn: Turn) -> str:
    """The minutes of oxygen as a sentence, noted for the record; empty when they can't be known."""
    minutes = minutes_now(turn.state)
    state = turn.state
    if minutes is None or state.account is None:
        return ""
    flow = state.account.flow
    if flow is None or flow.litres_per_minute == 0:
        flow = state.intended
    if flow is None:
        return ""
    assumed = state.pressure_assumed
    turn.state = replace(turn.state, told_minutes=minutes, told_assumed=assumed)
    by = {"assumed": True} if assumed else {}
    turn.note("oxygen", minutes=minutes, flow=flow.litres_per_minute, **by)
    litres = flow.litres_per_minute
    return lines.minutes_of_oxygen(state.account, minutes, litres, _reserve_unit(state), assumed)


def _reserve_unit(state: State) -> Unit:
    """The unit in which the reserve was given; that of the gauge where it stands in psi alone,
    as in the table of facts."""
    given = state.started.reserve_unit if state.started else Unit.PSI
    pressures = [r for r in state.readings if r.quantity is Quantity.PRESSURE]
    if given is not Unit.PSI or not pressures:
        return given
    return max(pressures, key=lambda reading: reading.at_s).unit
