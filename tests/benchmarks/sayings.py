"""How learners say a number, and what they answer to a read-back: drawn by chance from a seed."""

from __future__ import annotations

import random
from dataclasses import dataclass
from enum import StrEnum

from coach.core.units import Quantity, Unit
from coach.procedure.model import ReadingSpec

ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()

UNITS: dict[Unit, tuple[str, ...]] = {
    Unit.PSI: ("P S I", "pounds"),
    Unit.LITRES_PER_MINUTE: ("liters a minute", "liters per minute", "liters"),
    Unit.PERCENT: ("percent",),
    Unit.MILLIMETRES_OF_MERCURY: ("millimeters of mercury", "millimeters"),
    Unit.MILLIMETRES: ("millimeters", "millimeters"),
    Unit.FRENCH: ("french",),
}
FRAMES: dict[Quantity, tuple[str, ...]] = {
    Quantity.PRESSURE: ("the gauge reads {}", "it reads {}", "pressure is {}", "I have {}"),
    Quantity.FLOW: ("flow is {}", "I set it to {}", "it's at {}", "running at {}"),
    Quantity.SATURATION: ("sats are {}", "saturation is {}", "he is at {}", "it says {}"),
    Quantity.VACUUM: ("the gauge reads {}", "vacuum is {}", "it shows {}", "suction is at {}"),
    Quantity.LENGTH: ("it's {}", "the length is {}", "it is {} long", "that's {}"),
    Quantity.SIZE: ("size {}", "it's a {}", "it says {}", "that's a {}"),
}
HEDGES = ("about {}", "around {}", "just under {}", "just over {}", "I think it's {}", "maybe {}")
CORRECTIONS = ("{}, no, {}", "{}, sorry, {}", "{}, I mean {}", "{}, correction, {}", "{}, wait, {}")
FILLERS = ("um, {}", "okay, {}", "uh, it's {}", "so, {}")
YES = ("yes", "yes", "yes", "yeah", "yep", "correct", "that's right", "right", "affirmative")
NO_AND = ("no, {}", "no, {}", "no, it's {}", "no, I said {}", "that's wrong, {}", "negative, {}")
NO = ("no", "no", "nope", "that's wrong", "that's not right")


class Intent(StrEnum):
    """What the learner means by an utterance."""

    VALUE = "value"
    YES = "yes"
    NO = "no"
    GO_ON = "go on"


@dataclass(frozen=True, slots=True)
class Saying:
    """Words for the voice and what they mean."""

    text: str
    intent: Intent


def draw_value(quantity: Quantity, low: float, high: float, dice: random.Random) -> float:
    """A value that such a gauge or label shows, within the range the skill allows."""
    while True:
        value = _any_value(quantity, dice)
        if low <= value <= high:
            return value


def _any_value(quantity: Quantity, dice: random.Random) -> float:
    match quantity:
        case Quantity.PRESSURE:
            step = dice.choice((100, 100, 100, 50, 50, 10))
            return float(dice.randrange(300 // step, 2200 // step + 1) * step)
        case Quantity.FLOW:
            return float(
                dice.choice((*range(1, 16), 2, 4, 6, 8, 10, 10, 12, 15, 15, 15, 0.5, 2.5, 25))
            )
        case Quantity.SATURATION:
            return float(dice.choice((dice.randint(78, 100), dice.randint(88, 99))))
        case Quantity.VACUUM:
            return float(dice.choice((dice.randrange(80, 310, 10), dice.randrange(300, 620, 20))))
        case Quantity.LENGTH:
            return float(dice.randrange(40, 200, dice.choice((5, 10))))
        case _:
            return float(dice.randrange(12, 38, 2))


def worded(value: float, dice: random.Random, spelled: bool = False) -> str:
    """The number in words, one of the ways people say it; digit by digit if `spelled`."""
    whole, tail = int(value), value - int(value)
    if tail:
        if spelled or dice.random() < 0.6:
            return f"{_below_hundred(whole) if whole else dice.choice(('zero', ''))} point five"
        return f"{_below_hundred(whole)} and a half" if whole else "half"
    if spelled:
        zero = dice.choice(("zero", "zero", "oh"))
        return " ".join(zero if digit == "0" else ONES[int(digit)] for digit in str(whole))
    return _whole(whole, dice)


def _whole(n: int, dice: random.Random) -> str:
    if n < 100:
        return _below_hundred(n)
    joint = dice.choice((" ", " ", " and "))
    hundreds, rest = divmod(n, 100)
    if n < 1000:
        if rest >= 10 and dice.random() < 0.4:
            return f"{ONES[hundreds]} {_below_hundred(rest)}"
        head = f"{dice.choice(('a', 'one')) if hundreds == 1 else ONES[hundreds]} hundred"
        return f"{head}{joint}{_below_hundred(rest)}" if rest else head
    thousands = n // 1000
    if n % 1000 and hundreds % 10 and dice.random() < 0.65:
        head = _below_hundred(hundreds)
        if not rest:
            return f"{head} hundred"
        return f"{head} {_below_hundred(rest)}" if rest >= 10 else f"{head} hundred {ONES[rest]}"
    head = f"{dice.choice(('a', 'one')) if thousands == 1 else ONES[thousands]} thousand"
    below = n % 1000
    if below >= 100:
        head += f" {ONES[below // 100]} hundred"
    return f"{head}{joint}{_below_hundred(rest)}" if rest else head


def _below_hundred(n: int) -> str:
    if n < 20:
        return ONES[n]
    tens, ones = divmod(n, 10)
    return f"{TENS[tens]} {ONES[ones]}" if ones else TENS[tens]


def near(value: float, quantity: Quantity, dice: random.Random) -> float:
    """Another value one might name first and then correct."""
    step = {Quantity.PRESSURE: 100, Quantity.VACUUM: 10, Quantity.LENGTH: 10}.get(quantity, 2)
    other = int(value) + dice.choice((-2, -1, 1, 2)) * step
    return float(other if other > 0 else int(value) + step)


class Ready:
    """A learner who talks as people do: units, frames, hedges, corrections, fillers."""

    def value(self, spec: ReadingSpec, dice: random.Random) -> float:
        """The true value."""
        return draw_value(spec.quantity, spec.low, spec.high, dice)

    def first(self, value: float, spec: ReadingSpec, dice: random.Random) -> Saying:
        """The first way a learner gives a reading."""
        way = dice.random()
        number = worded(value, dice, spelled=dice.random() < 0.22)
        if dice.random() < 0.5:
            number = f"{number} {dice.choice(UNITS[spec.unit])}"
        if way < 0.42:
            text = number
        elif way < 0.7:
            text = dice.choice(FRAMES[spec.quantity]).format(number)
        elif way < 0.8:
            text = dice.choice(HEDGES).format(number)
        elif way < 0.9:
            other = worded(near(value, spec.quantity, dice), dice)
            text = dice.choice(CORRECTIONS).format(other, number)
        else:
            text = dice.choice(FILLERS).format(number)
        return Saying(text, Intent.VALUE)

    def again(self, value: float, spec: ReadingSpec, dice: random.Random, spelled: bool) -> Saying:
        """The number once more; mostly digit by digit if the coach asked for that."""
        number = worded(value, dice, spelled=dice.random() < (0.8 if spelled else 0.3))
        with_unit = dice.random() < 0.4
        return Saying(f"{number} {UNITS[spec.unit][0]}" if with_unit else number, Intent.VALUE)

    def no(self, value: float, dice: random.Random) -> Saying:
        """What was read back is wrong; five times in six the right one follows."""
        if dice.random() < 1 / 6:
            return Saying(dice.choice(NO), Intent.NO)
        number = worded(value, dice, spelled=dice.random() < 0.4)
        return Saying(dice.choice(NO_AND).format(number), Intent.NO)

    def yes(self, dice: random.Random) -> Saying:
        """What was read back is right."""
        return Saying(dice.choice(YES), Intent.YES)

    def go_on(self, stopping: bool) -> Saying:
        """The coach took something for a pause, or (`stopping`) asks whether to end."""
        return Saying("no" if stopping else "go on", Intent.GO_ON)


class Plain(Ready):
    """A learner who knows only digits, yes and no: the recordings of real people."""

    def value(self, spec: ReadingSpec, dice: random.Random) -> float:
        """A true value that is a whole number."""
        while (value := super().value(spec, dice)) != int(value):
            pass
        return value

    def first(self, value: float, spec: ReadingSpec, dice: random.Random) -> Saying:
        """The digits."""
        return Saying(" ".join(ONES[int(digit)] for digit in str(int(value))), Intent.VALUE)

    def again(self, value: float, spec: ReadingSpec, dice: random.Random, spelled: bool) -> Saying:
        """The digits."""
        return self.first(value, spec, dice)

    def no(self, value: float, dice: random.Random) -> Saying:
        """Every other time with the digits."""
        digits = " ".join(ONES[int(digit)] for digit in str(int(value)))
        return Saying(dice.choice(("no", f"no, {digits}")), Intent.NO)

    def yes(self, dice: random.Random) -> Saying:
        """Yes."""
        return Saying("yes", Intent.YES)

    def go_on(self, stopping: bool) -> Saying:
        """There is only "go" among the recordings."""
        return Saying("no" if stopping else "go", Intent.GO_ON)


def kin_of(value: float) -> frozenset[float]:
    """Values that differ from this one only by a teen taken for its ten, or the other way."""
    found = set()
    for scale in (1, 100):
        rest = int(value) // scale % 100
        other = 0
        if 13 <= rest <= 19:
            other = (rest - 10) * 10
        elif rest >= 30 and rest % 10 == 0:
            other = rest // 10 + 10
        if other:
            found.add(value + (other - rest) * scale)
    return frozenset(found)
