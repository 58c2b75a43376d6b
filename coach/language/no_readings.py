"""Numbers that are no reading: another length, a weight, a time that is set or asked for."""

from __future__ import annotations

from collections.abc import Sequence

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_ranges import Moment
from coach.language.number_words import FILLERS, LETTER_ZEROS, ZEROS
from coach.language.times import SHORTEST_CLOCK, is_clock

_PLEAS = frozenset("give wait hang hold just need in another take".split())
LAST_BEFORE_A_LIFT = 5
"""Nobody counts further before a lift (common practice, no source)."""

_MOVING = frozenset("we lift roll turn slide move go everybody".split())
"""Words after the number on which all move."""

_CLOCK = frozenset("time time's clock".split())
_LIMITS = frozenset("every each than most within under".split())


def is_other_length(mention: Mention, moment: Moment) -> bool:
    """Whether a length is told that no step asks for: "two centimeters deep"."""
    told = mention.quantity is Quantity.LENGTH and mention.unit is Unit.MILLIMETRES
    return (told or mention.unit is Unit.INCHES) and not moment.awaits(Quantity.LENGTH)


def is_unwanted_weight(mention: Mention, moment: Moment) -> bool:
    """Whether it is told what somebody weighs, and nobody has a use for that."""
    return mention.quantity is Quantity.WEIGHT and not moment.hears(Quantity.WEIGHT)


def is_count_to_lift(words: Sequence[str], mention: Mention) -> bool:
    """Whether a number is the one on which all move together: "on three we slide him over"."""
    bare = mention.unit is None and mention.quantity is None and len(mention.numbers) == 1
    if not bare or not 1 <= mention.values[0] <= LAST_BEFORE_A_LIFT:
        return False
    called = words[mention.start : mention.end]
    return any(
        words[at] == "on"
        and words[at + 1 : at + 1 + len(called)] == called
        and not _MOVING.isdisjoint(words[at + 1 + len(called) : at + 3 + len(called)])
        for at in range(len(words))
    )


def is_time_of_day(words: Sequence[str], mention: Mention, moment: Moment) -> bool:
    """Whether a bare number is told as the time by the clock: "time is ten oh five".

    After an "at" only where a dose is asked for, and not one that could be it: needles stand "at"
    a number, also at a wrong one.
    """
    bare = mention.unit is None and mention.quantity is None and len(mention.numbers) == 1
    if not bare or not is_clock(mention.values[0]) or mention.values[0] < SHORTEST_CLOCK:
        return False
    before = words[max(0, mention.start - 3) : mention.start]
    if not _CLOCK.isdisjoint(before):
        return True
    if before[-2:-1] == ["at"] and before[-1] in LETTER_ZEROS | ZEROS:
        return True  # "at oh three twelve"
    if moment.quantity is not Quantity.DOSE or before[-1:] != ["at"]:
        return False
    asked = moment.range_of(Quantity.DOSE)
    return asked is not None and not asked.low <= mention.values[0] <= asked.high


def is_limit_or_plea(words: Sequence[str], mention: Mention, moment: Moment) -> bool:
    """Whether a time is asked for or set, not told: "give me two minutes", "every six seconds"."""
    if mention.unit not in {Unit.SECONDS, Unit.MINUTES} or moment.quantity is Quantity.TIME:
        return False
    before = words[max(0, mention.start - 3) : mention.start]
    if any(word in _PLEAS for word in before) or any(word in _LIMITS for word in before[-1:]):
        return True
    last = words[mention.end - 1]
    wait = all(word in FILLERS for word in (*words[: mention.start], *words[mention.end :]))
    return wait and mention.values[0] <= 1 and last in {"second", "minute", "sec", "min"}
