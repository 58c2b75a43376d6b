"""What the language needs to know of the moment: the open steps' words and what was asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.meaning import Expectation
from coach.core.units import Quantity, Unit


@dataclass(frozen=True, slots=True)
class Words:
    """How something may be said.

    `phrases` are whole ways to say it. A line of `keys` is enough when all its words occur, in any
    order; a slash parts words of which one is enough ("flange lips/teeth"). `absent` are findings
    whose absence confirms it ("leak": "no leaks" is good news, "there is a leak" is not). The
    absence of other things confirms nothing: a line of `wrong` tells, where the act is told or due,
    that it is done wrongly ("on knee/elbow"), one of `signs` that it must not be ("he gags").
    """

    phrases: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Range:
    """Numbers that make sense for a quantity here, both ends included, in `unit`.

    `lower` is the range of the lower number of a blood pressure; None for the same one. `also` are
    those in units to which there is no way from this one (a pull as a share of the weight).
    `in_centimetres`: it is asked for in centimetres, so a bare number is one of those.
    """

    low: float
    high: float
    unit: Unit
    lower: tuple[float, float] | None = None
    also: tuple[Range, ...] = ()
    in_centimetres: bool = False


@dataclass(frozen=True, slots=True)
class StepWords:
    """The words of one step: to say it is done, to start and end its clock, to name its choice.

    `partner` are the words of the other person of a step for two. `for_two`: what "you" or a
    partner does counts for it. `forbidden`: it is no step, but an act that must not happen; even
    the plan of it counts. `history`: it asks for what the patient did, also at other times than
    now. `parts` are the parts of the body that it speaks of, as stems. `safety`: it must come first
    for safety, or something must come before it. `said_ahead`: all that it asks for is in what time
    something will be done. `ends_when_told`: its clock only sets a limit, so that what is found
    ends it. `bids`: somebody else is to do it, so that telling him is the act. `says` are the
    stems of the words that say something of what the coach says of it, `texts` those of all its
    texts.
    """

    id: str
    done: Words = Words()
    clock_start: Words = Words()
    clock_end: Words = Words()
    choices: Mapping[str, Words] = field(default_factory=dict)
    ranges: Mapping[Quantity, Range] = field(default_factory=dict)
    partner: Words = Words()
    for_two: bool = False
    forbidden: bool = False
    history: bool = False
    parts: frozenset[str] = frozenset()
    safety: bool = False
    said_ahead: bool = False
    ends_when_told: bool = False
    bids: bool = False
    says: frozenset[str] = frozenset()
    texts: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Context:
    """The moment an utterance falls in.

    `steps` are those that may be spoken of, the suggested one first. `expect` is what the
    coach has just asked, or None. `expect_range` narrows the numbers that make sense for the
    expected reading. `suggested` is the step a bare "done" would be about. `done` are steps
    among `steps` that are done already, `due` those that may be done now. `in_question` is the
    quantity of the number that was read back and awaits a yes. `who_asked` is the step for two of
    which the coach has just asked who does it, `who_named` the other person whom it named,
    `time_asked` the step of which it asked the time; `time_due` the step in hand, if the time of
    day is to be called in it, which is of what `time_of` says.
    `cylinder_asked`: the pressure asked for now is that of a cylinder, which may be one to train
    with; `cylinder_named`: the skill asks for such a pressure at some time.
    `led`: the coach leads, so that "I'm done" tells of the step in hand and not of everything.
    `highest_psi` is the highest gauge of a cylinder that is believed (psi). `without_unit` is the
    number, in figures, of which the coach has just asked the unit. `besides` are quantities that
    no step waits for, heard where they are told by name.
    """

    steps: tuple[StepWords, ...] = ()
    expect: Expectation | None = None
    expect_range: Range | None = None
    highest_psi: float = 2437.6
    suggested: str | None = None
    done: frozenset[str] = frozenset()
    due: frozenset[str] = frozenset()
    in_question: Quantity | None = None
    who_asked: str | None = None
    who_named: str = ""
    time_asked: str | None = None
    time_due: str | None = None
    time_of: str = ""
    cylinder_asked: bool = False
    cylinder_named: bool = False
    led: bool = True
    without_unit: str = ""
    besides: frozenset[Quantity] = frozenset()
