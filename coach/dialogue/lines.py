"""The coach's sentences: short, friendly, and never more than two at a time."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10

from coach.core.units import Flow, Unit
from coach.dialogue.state import Proposal, State
from coach.procedure.in_force import InForce
from coach.procedure.local_scoring import ScoringChange
from coach.procedure.model import (
    CountSpec,
    Forbidden,
    PaceSpec,
    Partner,
    Prerequisite,
    Repeat,
    Step,
)
from coach.report.attempt import Way
from coach.trade.account import OxygenAccount
from coach.trade.amounts import WrittenPressure
from coach.trade.birth_score import Sign
from coach.trade.consciousness import POINTS_OF_PART
from coach.trade.rates import CountedRate
from coach.trade.spoken import factor_words, flow_words, reserve_words
from coach.trade.wording import cardinal, duration_words, number_words, read_back, unit_words

CAUTION = "This is practice only, never patient care: local protocol and medical direction decide."
READY = "Say I'm ready to begin."
BEGIN = "Say I'm ready to begin, or help at any time."
CALL_FOR_HELP = "Call for help now."
PAUSED = "Paused. Say go on when you are ready."
BEGUN_ALREADY = "The attempt is under way."
STILL_PAUSED = "We are paused: say go on when you are ready."
CONFIRM_STOP = "Paused. Shall I end here?"
CHANGE_CYLINDER = "Zero minutes above the reserve: change the cylinder."
ATTEMPT_OVER = "That is the end of this attempt."
NOTHING_KNOWN = "I know nothing of that here: look for yourself, and say what you find."
DOSE_NEVER_TOLD = "I never tell a dose: read the label, and go by your local protocol."
NO_HELP = "I give no help before the end."
NO_RESTART = "An assessment is not started over: say stop to end it."
NOT_THE_SUM = "That is not what your own points make."
SCORE_AGAIN = "Say a part and its points again if they change."
TEMPERATURE_AGAIN = "Say the temperature again with its scale if it changes."
OUTSIDE_NOTED = "Noted, outside the usual range; your instructor decides."
IS_IT_FOR_TRAINING = "Is that a training cylinder without pressure?"
WILL_ASSUME = "A training cylinder: I shall assume a pressure where one is asked for."
A_REAL_ONE = "A real cylinder, then: read its gauge."
LONGEST_LIST = 4

HELP_PAGES = (
    "Describe what you do, or say done; ask what's next, why, how, or say that again. "
    "Say help again for more.",
    "Ask what's left or how long have I got; say go back, skip it, wait, or go on. "
    "Say help again for more.",
    "To take something back say I didn't do that, or that's not what I said. "
    "Say help again for more.",
    "Say start over, stop, slower, louder, or shorter. This is real silences me at once.",
)
"""Said page by page; each command has many more words, listed in the README."""


def sentence(words: str) -> str:
    """Words as a sentence, with a capital and a full stop."""
    text = words.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".?!" else ".")


def listed(names: Sequence[str], most: int = LONGEST_LIST) -> str:
    """Names as said in a row: "a, b and c"; what is more than `most` becomes a number."""
    shown = list(names)
    if len(shown) > most:
        rest = len(shown) - most + 1
        shown = [*shown[: most - 1], f"{cardinal(rest)} more"]
    if len(shown) < 2:
        return "".join(shown)
    return f"{', '.join(shown[:-1])} and {shown[-1]}"


def introduction(state: State) -> str:
    """The first line of a session: two sentences, with the caution."""
    return f"{introduction_quiet(state)} {BEGIN}"


def introduction_quiet(state: State) -> str:
    """The first sentence of a session in which the coach keeps quiet: which skill, the caution."""
    return (
        f"{_title(state)}: practice only, never patient care; your local protocol and medical "
        "direction decide."
    )


def introduction_by(state: State, rules: InForce) -> str:
    """The first sentence of a session by a program's rules: which, of when, and by whose word."""
    return (
        f"{_title(state)}, by the rules of {rules.named}: practice only, never patient care; "
        "your local protocol and medical direction decide."
    )


def _title(state: State) -> str:
    """The skill's title; a file of the user's own that hides the program's is named as such."""
    own = ", your own version" if state.skill_file.hides else ""
    return f"{state.skill.title}{own}"


def scored_otherwise(scoring: ScoringChange, ends: bool) -> str:
    """What a program does otherwise with an attempt, "" for nothing; its time is told with the
    frame. `ends`: an unsafe act ends this one."""
    told = scoring.told(ends)
    return sentence(f"by your program {told}") if told else ""


def quiet_frame(way: Way, limit_seconds: float) -> str:
    """What a quiet coach will and will not do, and how much time there is."""
    helps = "say next for a hint" if way is Way.RECALL else "I give no help"
    time = f"; you have {seconds_words(round(limit_seconds))}" if limit_seconds else ""
    return sentence(f"I keep quiet, {helps}, and say finish when you are through{time}")


def time_gone(seconds: float, limit_seconds: float) -> str:
    """How long an attempt has run, and how much of its time is left."""
    gone = seconds_words(int(seconds))
    if not limit_seconds:
        return sentence(f"{gone} gone")
    left = max(0, round(limit_seconds - seconds))
    return sentence(f"{gone} gone, {seconds_words(left)} left" if left else f"{gone} gone")


def time_is_up(limit_seconds: float) -> str:
    """The time limit is called."""
    return sentence(f"time: that was {seconds_words(round(limit_seconds))}")


def prompt(step: Step, short: bool, question: str = "") -> str:
    """The sentence that leads to a step, or asks for its reading."""
    if question:
        return sentence(question)
    return sentence(step.name if short else step.say)


def credited(names: Sequence[str], short: bool) -> str:
    """The word that what was done is noted."""
    if short and len(names) == 1:
        return ""
    return sentence(f"got it: {listed(names)}")


def first(step: Step, needed: Prerequisite, waits_for: Step | None = None) -> str:
    """What must come first, and why; and what the coach waits for now, if that is another step."""
    also = f"; I am still waiting for {waits_for.name}" if waits_for else ""
    return sentence(f"first {step.name}, because {_reason(needed.because)}{also}")


def you_said(words: str) -> str:
    """The words that were heard and are in doubt; nothing where there are none."""
    return sentence(f'you said "{words}".') if words else ""


def is_it_done(step: Step, doubted: str = "") -> str:
    """Whether a step is done that was perhaps meant; `doubted` are the words that are in doubt."""
    heard = f'you said "{doubted}"; ' if doubted else ""
    return sentence(f"{heard}is this done: {step.name}?")


def tell_me_about(step: Step) -> str:
    """The step that the coach waits for, after what it could not make out."""
    return sentence(f"tell me about {step.name}, or say help")


def told_early(prompt: str, after: Step) -> str:
    """What leads to a step that was told too early, and whether it is done after what comes first.

    What leads to it may tell what happens now, so the question does not stand in its place.
    """
    led = prompt.rstrip(".?!")
    return sentence(f"{led}: or is that done, as you told me, and after {after.name}?")


def must_not(act: Forbidden) -> str:
    """What must not happen, and why."""
    return sentence(f"{act.say.strip().rstrip('.!')}, because {_reason(act.because)}")


UPPER_AND_LOWER = "By ear there are two numbers: say the upper one over the lower one."
FIRST_IS_HIGHER = "That cannot be: the first of the two is the higher one."
TOO_HIGH_TO_SHOW = (
    "Too high for the meter to show: that is no number, so hand it over as above its range."
)
TOO_LOW_TO_SHOW = (
    "Too low for the meter to show: that is no number, so hand it over as below its range."
)
ONLY_UPPER = "By touch there is only the upper number: say that one."

COMES_FIRST = "If that happens it comes first: say what you do about it."
SAY_THE_TIME = "Say aloud what time it is by the clock."


def who_does_it(partner: Partner) -> str:
    """Who does a step for two has to be said."""
    return sentence(f"say aloud who does this: you or {partner.who}")


def seconds_words(seconds: int) -> str:
    """Whole seconds as said: "forty seconds", "one minute and thirty seconds", "two minutes"."""
    minutes, rest = divmod(seconds, 60)
    said = f"{cardinal(rest)} second{'' if rest == 1 else 's'}"
    if not minutes:
        return said
    return f"{duration_words(minutes)} and {said}" if rest else duration_words(minutes)


def how_to_start(pace: PaceSpec) -> str:
    """How a pace is begun."""
    start = (pace.start.phrases or ("starting now",))[0]
    return sentence(f'say "{start}", and I give the pace')


def round_begins(repeat: Repeat, number: int) -> str:
    """Another round begins."""
    of = "" if repeat.for_s else f" of {cardinal(repeat.times)}"
    return sentence(f"{repeat.name} {cardinal(number)}{of}")


def how_to_count(count: CountSpec) -> str:
    """How a count is begun."""
    start = (count.start.phrases or ("counting",))[0]
    seconds = cardinal(count.seconds)
    return sentence(f'say "{start}" as you start; I time {seconds} seconds and stop you')


def counted_rate(rate: CountedRate) -> str:
    """What was counted, and the rate it makes."""
    return sentence(
        f"you counted {cardinal(rate.count)} in {cardinal(round(rate.seconds))} seconds: "
        f"{cardinal(rate.whole)} a minute"
    )


def no_need_for(names: Sequence[str]) -> str:
    """What was to be done for a number that was wrong."""
    return sentence(f"then there is no need any more for {listed(names)}")


def _reason(because: str) -> str:
    """A reason as it follows "because"."""
    text = because.strip().rstrip(".")
    return text[8:] if text.lower().startswith("because ") else text


def comes_before(earlier: Step, later: Step, why: Prerequisite) -> str:
    """The order of two steps, and why."""
    because = why.because.strip().rstrip(".")
    return sentence(f"first {earlier.name}, then {later.name}, because {because}")


def say_aloud(step: Step) -> str:
    """What an evaluator must hear for this step."""
    return sentence(f"say aloud for the evaluator: {lowered(step.aloud)}")


def lowered(text: str) -> str:
    """A sentence that goes on after a colon."""
    return text[:1].lower() + text[1:]


def question_of_numbers(proposals: Sequence[Proposal]) -> str:
    """Numbers read back for a yes or a no, digits and words."""
    counted = all(p.reading.unit is Unit.COUNTED for p in proposals)
    if counted and (len(proposals) > 1 or any(p.name in _PARTS_OF_SCORES for p in proposals)):
        said = listed([f"{p.name} {_read_back(p)}" for p in proposals], most=len(proposals))
    else:
        said = " and ".join(_read_back(proposal) for proposal in proposals)
    doubtful = any(proposal.reading.doubt for proposal in proposals)
    return sentence(f"{said}; is that right?" if doubtful else f"{said}, right?")


_PARTS_OF_SCORES = frozenset({*POINTS_OF_PART, *map(str, Sign)})
"""Numbers that are read back by their name: points alone do not tell of which part they are."""


def _read_back(proposal: Proposal) -> str:
    """A number read back; of what was counted the number alone: "five"."""
    values, unit = proposal.reading.values, proposal.reading.unit
    said = read_back(values, unit)
    if unit is Unit.MILLIMETRES_OF_MERCURY and len(values) == 2 and proposal.reading.unit_said:
        return f"{said} {unit_words(unit, values[0])}"
    if proposal.assumed:
        return f"assumed for training, {said}"
    return said.removesuffix(unit_words(unit, values[0])).strip() if unit is Unit.COUNTED else said


def cannot_be(low: float, high: float, unit: Unit) -> str:
    """What a number can be at all, said of one that cannot."""
    of = "" if unit is Unit.COUNTED else f" {unit_words(unit, high)}"
    return sentence(f"that cannot be: it goes from {number_words(low)} to {number_words(high)}{of}")


def assumed_now(pressure: WrittenPressure) -> str:
    """A quiet coach says which pressure counts from now on."""
    return sentence(f"I assume {pressure.words}, for training")


def minutes_of_oxygen(
    account: OxygenAccount,
    minutes: int,
    flow_litres: float,
    reserve_unit: Unit = Unit.PSI,
    assumed: bool = False,
) -> str:
    """The time the oxygen lasts, with what was assumed, in one sentence.

    `assumed`: the pressure itself was, too.
    """
    by = ", by the pressure assumed for training" if assumed else ""
    if minutes <= 0:
        return sentence(f"{CHANGE_CYLINDER.rstrip('.')}{by}")
    kept = _as_on_a_gauge(account.supply.reserve.in_unit(reserve_unit))
    reserve = reserve_words(WrittenPressure(kept, reserve_unit))
    factor = factor_words(account.supply.litres_per_psi)
    return sentence(
        f"about {duration_words(minutes)} of oxygen at {flow_words(Flow(flow_litres))}{by}, "
        f"{reserve}, {factor}"
    )


def _as_on_a_gauge(pressure: float) -> float:
    """A pressure in three digits, which is more than a gauge shows; four in psi are one exact."""
    digits = 2 - floor(log10(pressure)) if pressure > 0 else 0
    return round(pressure, max(digits, 0))


def elapsed(seconds: float, planned_minutes: int) -> str:
    """How long the session has run, against what the skill is planned for."""
    whole = int(seconds // 60)
    gone = "less than a minute" if whole < 1 else duration_words(whole)
    left = planned_minutes - whole
    if left > 0:
        return sentence(f"{gone} gone, about {duration_words(left)} left for this skill")
    return sentence(f"{gone} gone; {duration_words(planned_minutes)} are usual")
