"""What a scenario shows: to who asks or does what reveals it, and what happens by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coach.core.meaning import Command, Kind, Meaning
from coach.core.units import Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.complications import come, come_again, open_again
from coach.dialogue.effects import CancelTimer, StartTimer
from coach.dialogue.state import State, Told
from coach.dialogue.turn import MINUTE, About, Turn
from coach.dialogue.weight import know_weight
from coach.language.clause_words import AUXILIARIES, QUESTION_HEADS
from coach.language.questions import BEFORE, asked_about
from coach.procedure.model import Step
from coach.procedure.scenario import Finding, Happening, Scenario
from coach.report.attempt import Way
from coach.trade.changing import Towards, value_at
from coach.trade.unit_conversions import converted_to, read_to

MINUTE_S = 60.0
SOONEST_S = 0.05
"""After so long comes what was due already."""

CALLED_ONCE_FROM = 2
"""The way of talking in which a minute that ends the time is called once, and a question that the
scenario has no finding for is answered."""

TENTHS_FROM = 3
"""The way of talking in which degrees and millimoles are shown in tenths."""

SHOWN = frozenset(
    "pulse heart rate breath breathe breathing respirations pressure saturation oximeter oxygen"
    " sugar glucose temperature skin color colour lips pupils eyes airway mouth lungs chest belly"
    " back neck head arm arms leg legs hands feet wound bleeding blood pain gauge capillary refill"
    " awake alert conscious allergies allergy medicines medications history rash swelling nausea"
    " fever cough dizzy".split()
)
"""What a patient or a device could show (common practice, no source); questions about anything else
may be other people's talk."""

HAPPENS = "happens:"
"""Begins the names of these timers; the happening's id follows."""


def scenario_of(state: State) -> Scenario | None:
    """The scenario that is played, if one is."""
    named = state.started is not None and state.started.scenario
    return state.skill_file.scenario if named else None


def begin_scenario(turn: Turn) -> None:
    """The learner is ready, goes on or starts over: what happens by itself has its timers.

    They run for what is left of their time; what was due meanwhile comes now, and what was to come
    once more waits anew.
    """
    gone_s = turn.state.at_s - turn.state.begun_s
    for each in _drawn(turn.state):
        if each.at_s and each.id not in turn.state.happened:
            left_s = max(SOONEST_S, each.at_s - gone_s)
            turn.do(StartTimer(HAPPENS + each.id, left_s, at_once=True))
        elif each.id in turn.state.coming_again:
            turn.do(StartTimer(HAPPENS + each.id, each.again_s, at_once=True))
    if turn.state.way is Way.DRILL:
        turn.do(StartTimer(MINUTE, MINUTE_S - gone_s % MINUTE_S, at_once=True))


def call_minute(turn: Turn) -> None:
    """In a drill the coach is the clock too: it calls each minute; that the time is up with it is
    told by the limit alone."""
    state = turn.state
    seconds = round((state.at_s - state.begun_s) / MINUTE_S) * MINUTE_S
    limit_s = state.started.limit_seconds if state.started else 0.0
    if state.conversation < CALLED_ONCE_FROM or seconds != limit_s:
        turn.say(lines.time_gone(seconds, 0.0), About.FRAME)
    turn.do(StartTimer(MINUTE, MINUTE_S, at_once=True))


def answer_as_partner(turn: Turn, step: Step) -> None:
    """The other person of a step for two says that the part is done, in a scenario that has one."""
    scenario = scenario_of(turn.state)
    if scenario is None or not scenario.partner or step.partner is None:
        return
    words = (step.partner.heard_as.phrases or ("done",))[0]
    turn.note("partner-answered", step=step.id)
    turn.say(lines.sentence(f"{step.partner.who}: {words}"), About.FINDING)


def end_scenario(turn: Turn) -> None:
    """Forget the timers."""
    turn.do(CancelTimer(MINUTE))
    for each in _drawn(turn.state):
        if each.at_s or each.again_s:
            turn.do(CancelTimer(HAPPENS + each.id))


def answered_from_scenario(turn: Turn, meaning: Meaning) -> bool:
    """Answer a question about a finding; false for anything else.

    What was also told in that breath is taken as told.
    """
    scenario = scenario_of(turn.state)
    if scenario is None:
        return False
    asked = {finding.id: finding.asked for finding in scenario.findings if finding.asked}
    name = asked_about(meaning.text, asked)
    finding = scenario.finding(name) if name else None
    if finding is None:
        return False
    _tell(turn, finding)
    return True


def asked_of_the_patient(state: State, meaning: Meaning) -> Meaning:
    """A "why" in whose words something is named that a patient shows asks for that: "what's the
    pulse" sounds like "what's the purpose"."""
    named = SHOWN.intersection(meaning.text.split())
    played = scenario_of(state) is not None and state.conversation >= CALLED_ONCE_FROM
    if played and named and meaning.command is Command.WHY:
        return replace(meaning, command=None, kind=Kind.NONE)
    return meaning


def knows_nothing_of_it(turn: Turn, meaning: Meaning) -> None:
    """A question about the patient that the scenario has no finding for: nothing is invented."""
    state = turn.state
    if scenario_of(state) is None or state.conversation < CALLED_ONCE_FROM:
        return
    known = {step.id: step for step in state.skill.steps}
    asks_the_patient = all(
        m.step in known and known[m.step].history and not m.denied for m in meaning.steps
    )
    about = meaning.steps or meaning.likely or SHOWN.intersection(meaning.text.split())
    answered = turn.says(About.FINDING) or meaning.readings
    if asks_the_patient and about and not answered and _asks_to_know(meaning.text):
        turn.note("nothing-known", text=meaning.text)
        turn.say(lines.NOTHING_KNOWN, About.FINDING)


def _asks_to_know(text: str) -> bool:
    """Whether it is a question for what is, not for what somebody should do."""
    words = [word for word in text.split() if word not in BEFORE]
    first, second = (*words, "", "")[:2]
    if first in {"can", "could", "may", "tell"}:
        return second in {"i", "me"}
    return first in QUESTION_HEADS | {"whats", "hows", "any"} or (
        first in AUXILIARIES - {"should", "shall", "must", "may", "would", "will"}
        and (second != "you" or first in {"do", "did", "have"})
    )


def show_what_was_revealed(turn: Turn) -> None:
    """After what was just credited: what it reveals, then what happens after it."""
    scenario = scenario_of(turn.state)
    if scenario is None:
        return
    for finding in scenario.findings:
        if finding.shown_by and finding.shown_by in turn.state.last_credited:
            _tell(turn, finding)
    for each in _drawn(turn.state):
        first = each.id not in turn.state.happened
        if first and each.after and each.after in turn.state.last_credited:
            happen(turn, each.id)
        elif not first:
            _let_it_come_again(turn, each)


def _let_it_come_again(turn: Turn, each: Happening) -> None:
    """Once all that it brought is done, what was drawn more often comes again after its seconds."""
    state = turn.state
    if each.id in state.coming_again or not _left(state, each.id):
        return
    brought = {step.id for step in state.skill.steps if step.complication == each.complication}
    brought = (brought if each.complication else set()) | set(each.reopens)
    if state.done.issuperset(brought & {step.id for step in state.skill.steps}):
        turn.state = replace(state, coming_again=state.coming_again | {each.id})
        turn.do(StartTimer(HAPPENS + each.id, each.again_s, at_once=True))


def _left(state: State, happening: str) -> int:
    """How often something still comes, of the times that were drawn."""
    drawn = state.started.happenings.count(happening) if state.started else 0
    return drawn - state.happened.count(happening)


def happen(turn: Turn, happening: str) -> None:
    """Something happens now, no more often than it was drawn."""
    known = {each.id: each for each in _drawn(turn.state)}
    each = known.get(happening)
    again = happening in turn.state.happened
    if each is None or not _left(turn.state, happening):
        return
    if again and happening not in turn.state.coming_again:
        return
    turn.state = replace(
        turn.state,
        happened=(*turn.state.happened, happening),
        coming_again=turn.state.coming_again - {happening},
    )
    turn.note("happened", happening=happening)
    waiting = [complication.id for complication in turn.state.skill.complications]
    if each.complication in waiting and each.complication not in turn.state.came:
        come(turn, each.complication, announced=not each.says)
    elif again and each.complication in turn.state.came:
        come_again(turn, each.complication, announced=not each.says)
    open_again(turn, each.reopens)
    turn.say(lines.sentence(each.says), About.FINDING)
    if not each.complication and not each.reopens:
        _let_it_come_again(turn, each)


def _drawn(state: State) -> Iterator[Happening]:
    """What happens in this attempt, as it was drawn at its beginning."""
    scenario = scenario_of(state)
    drawn = state.started.happenings if state.started else ()
    return (each for each in (scenario.happenings if scenario else ()) if each.id in drawn)


def _tell(turn: Turn, finding: Finding) -> None:
    """Say what is found now, and remember which number was told."""
    state = turn.state
    done = state.done
    says = finding.says
    for after, otherwise in finding.later:
        if after in done:
            says = otherwise
    value, told = shown_value(state, finding), None
    if value is not None and finding.value is not None:
        says = says.replace("{value}", f"{value:g}")
        of = finding.value
        told = Told(finding.id, of.quantity, float(value), of.unit, of.within)
        kept = tuple(other for other in state.told if other.finding != finding.id)
        turn.state = replace(state, told=(*kept, told))
    turn.note("finding-told", finding=finding.id, value=value)
    turn.say(lines.sentence(says), About.FINDING)
    if told is not None and told.quantity is Quantity.WEIGHT:
        know_weight(turn, converted_to(told.value, told.unit, Unit.KILOGRAMS))


def shown_value(state: State, finding: Finding) -> float | None:
    """The number that is shown now, or is to be estimated; None for a finding without one."""
    if finding.value is None:
        return None
    start = finding.value.start
    for each in _drawn(state):
        start = each.starts.get(finding.id, start)
    since = {credit.step: credit.at_s for credit in state.credits}
    changes = [
        Towards(since[change.after], change.towards, change.half_s)
        for change in finding.value.changes
        if change.after in since
    ]
    now = value_at(state.at_s, start, changes)
    if finding.value.within:
        return now
    tenths = read_to(finding.value.unit) < 1 and state.conversation >= TENTHS_FROM
    return round(now, 1) if tenths else round(now)
