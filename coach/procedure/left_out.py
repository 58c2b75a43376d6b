"""What the patient or the examination loses with a step that a program leaves out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coach.procedure.resolve import listed, mapping
from coach.procedure.yaml_tree import Json

_SMALL = frozenset(
    "a an the your his her its their of to on in at for and or with from by it is be again now"
    " first last one two other".split()
)
"""Words of a step's name by which no caution tells that it means the step."""


def lost_with(name: str, steps: Mapping[str, Mapping[str, Json]], cautions: Json = None) -> str:
    """Why leaving that step out is less safe, in words; "" where nothing is lost with it.

    `steps` are those of the skill by id, `cautions` the skill's. A step counts that another one
    or that itself is ordered for safety, that is unsafe to leave out, that an evaluator has to
    hear, whose number is held against a range or whose time against a limit, one that answers a
    bad finding or what may go wrong, and one that a caution names.
    """
    step = steps[name]
    parts = [step, *map(mapping, listed(step.get("variants")))]
    needing = [other for other, one in steps.items() if name in _every_safety_first(one)]
    if needing:
        return f"'{name}' must come before '{needing[0]}'"
    own = _every_safety_first(step)
    if own:
        return f"it is marked for safety: '{own[0]}' must come before it"
    return next(_marks(step, parts, listed(cautions)), "")


def safety_firsts(part: Mapping[str, Json]) -> list[str]:
    """The steps that have to come before, for safety."""
    return [
        str(mapping(first).get("step"))
        for first in listed(part.get("after"))
        if mapping(first).get("safety") is True
    ]


def safety_words(name: str, steps: Mapping[str, Mapping[str, Json]]) -> str:
    """Why safety hangs on what is told at that step, in words; "" where it does not.

    A step counts that must not be left out, that must come before another
    one for safety, and one that is read, counted or timed.
    """
    step = steps[name]
    parts = [step, *map(mapping, listed(step.get("variants")))]
    if any(part.get("unsafe-left-out") for part in parts):
        return "it is unsafe to leave it out"
    needing = [other for other, one in steps.items() if name in _every_safety_first(one)]
    if needing:
        return f"'{name}' must come before '{needing[0]}'"
    if any(part.get(key) for part in parts for key in ("readings", "count")):
        return "a number is read there"
    if any(part.get(key) for part in parts for key in ("clock", "pace", "since")):
        return "it is timed"
    return ""


def _every_safety_first(step: Mapping[str, Json]) -> list[str]:
    """The steps that have to come before, for safety, with some choice."""
    parts = (step, *map(mapping, listed(step.get("variants"))))
    return [first for part in parts for first in safety_firsts(part)]


def _marks(
    step: Mapping[str, Json], parts: list[Mapping[str, Json]], cautions: list[Json]
) -> Iterator[str]:
    if any(part.get("unsafe-left-out") for part in parts):
        yield "it is unsafe to leave it out"
    if any(part.get(key) for part in parts for key in ("aloud", "also-said", "partner")):
        yield "an evaluator has to hear it"
    if any(part.get(key) for part in parts for key in ("readings", "count")):
        yield "its number is held against a range"
    if any(part.get(key) for part in parts for key in ("clock", "pace", "since")):
        yield "it is timed"
    if step.get("complication"):
        yield "it answers what may go wrong"
    if any(part.get("found") for part in parts):
        yield "a bad finding is answered there"
    if any(part.get("cautions") for part in parts):
        yield "it has a caution of its own"
    if any(_names(str(caution), str(step.get("name", ""))) for caution in cautions):
        yield "a caution names it"


def _names(caution: str, step_name: str) -> bool:
    """Whether a caution has all the words of a step's name."""
    words = _words(step_name) - _SMALL
    return bool(words) and words <= _words(caution)


def _words(text: str) -> frozenset[str]:
    return frozenset(word.strip(".,;:!?()\"'").removesuffix("s") for word in text.lower().split())
