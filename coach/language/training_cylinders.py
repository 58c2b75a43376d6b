"""What a learner says of the cylinder itself: one to train with, a real one, or just "empty"."""

from __future__ import annotations

import re

from coach.core.meaning import CylinderTold, Reading
from coach.core.units import Quantity
from coach.language.normal import plain

PHRASES = (
    "it's a training cylinder",
    "this is a training cylinder",
    "it's a practice cylinder",
    "it's a dummy cylinder",
    "it's a dummy",
    "the cylinder is a dummy",
    "a training cylinder without pressure",
    "it's only for training",
    "it's a real cylinder",
    "it's not a training cylinder",
    "the cylinder is empty",
    "the tank is empty",
    "it's empty",
    "there's no pressure in it",
    "it has no pressure",
    "the gauge reads zero and it's a dummy",
)
"""Whole ways to say it, for recognisers."""

_VESSEL = r"(?:oxygen )?(?:cylinders?|tanks?|bottles?)"
_FOR_TRAINING = (
    r"(?:training|trainer|practi[cs]e|practi[cs]ing|dummy|demo|demonstration|mock|teaching"
    r"|classroom|fake|inert|pretend)"
)
_IT = (
    rf"(?:it|this|that|this one|that one|the (?:old |new |full |other )?one|(?:the|this|my|our)"
    rf"(?: old| new| full| other)? {_VESSEL})"
)
_OTHER_THING = (
    r"(?:mani[ck]in|mannequin|patient|person|mask|airway|gauge|regulator|run|session|device"
    r"|scenario|exercise)"
)
_IS = r"(?:'s| is)(?: just| only| really| actually)?"

_NAMED = re.compile(
    rf"\b{_FOR_TRAINING}(?: (?:oxygen|empty|size|d|e))* {_VESSEL}\b"
    rf"|\b{_VESSEL}(?:{_IS})?(?: just| only)? (?:for (?:training|practi[cs]e|teaching)|a dummy)\b"
)
"""A cylinder called so, at any time."""

_POINTED_AT = re.compile(
    rf"\b{_IT}{_IS} (?:a |for )?{_FOR_TRAINING}\b(?! {_OTHER_THING}\b)"
    rf"|\ba {_FOR_TRAINING} one\b"
)
"""One that is pointed at, where its pressure is asked for."""

_NOT = re.compile(
    rf"\b(?:not|no|isn't|never|wasn't)\b(?: \w+){{0,2}} {_FOR_TRAINING}\b"
    rf"|\breal (?:\w+ )?{_VESSEL}\b|\b{_IT}{_IS} (?:a )?(?:real|charged)\b"
)
_DOUBTED = re.compile(r"\b(?:maybe|perhaps|probably|might|may|could|think|guess|not sure|or)\b")
_ASKED = re.compile(
    r"^(?:and |so |but |okay |ok )*(?:is|are|was|do|does|did|should|can|could|what|which|how|why"
    r"|if|whether|pretend|suppose)\b"
)

_EMPTY = re.compile(
    rf"^(?:(?:um|uh|oh|well|okay|ok|but|no|yes|and|so) )*"
    rf"(?:{_IT}|(?:the )?(?:gauge|needle|dial)|its)?"
    r"(?:'s| is| reads| shows| says| looks)?"
    r"(?: completely| totally| really| just| all| already| actually)? ?empty\b"
    r"|\bno pressure (?:in|on|left|at all|there)\b|\b(?:there's|has|got|have) no pressure\b"
    r"|\b(?:holds?|without|shows?|reads?) (?:no|any) pressure\b|\bwithout pressure\b"
    r"|\bnothing (?:in|inside) (?:it|the)\b"
    rf"|\b{_VESSEL}(?: is|'s) (?:empty|dead)\b|\bunpressuri[sz]ed\b|\bnot pressuri[sz]ed\b"
    r"|\b(?:gauge|needle|dial|pressure)(?: is| reads| shows| says| lies)?(?: at| on)? nothing\b"
)
_NOT_EMPTY = re.compile(
    r"\b(?:almost|nearly|half|not|isn't|never|getting|soon|about to|before|until|when|if|going)"
    r"(?: \w+){0,3} empty\b"
)


def cylinder_told(
    text: str, readings: tuple[Reading, ...], asked: bool, named: bool
) -> CylinderTold | None:
    """What an utterance says of the cylinder, None for nothing.

    `asked`: its pressure is asked for now, so that "it's empty" or a pressure of zero is about it.
    `named`: the skill asks for a pressure at some time, so that one may be called a training
    cylinder. What is doubted ("I think it's a dummy") is only empty, which is asked about.
    """
    words = plain(text)
    if not named or text.rstrip().endswith("?") or _ASKED.match(words):
        return None
    training = _NAMED.search(words) or (asked and _POINTED_AT.search(words))
    if training or asked:
        if _NOT.search(words):
            return CylinderTold.REAL
        if training and not _DOUBTED.search(words):
            return CylinderTold.TRAINING
    if not asked:
        return None
    zero = any(r.quantity is Quantity.PRESSURE and r.values[0] == 0 for r in readings)
    empty = _EMPTY.search(words) and not _NOT_EMPTY.search(words)
    return CylinderTold.EMPTY if zero or empty or training else None
