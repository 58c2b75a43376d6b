"""The coma scale of eye, verbal and motor responses: its total, its group, its odd combinations.

Scores and meaning of the steps, in own words: for adults [coma-groups], for infants [coma-infants];
other infants' tables differ in the verbal part ([coma-infants-other]).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.trade.questions import Question, first_question, question_outside


class Scale(StrEnum):
    """Whose responses are scored."""

    ADULT = "adult or child who talks"
    INFANT = "infant"


EYE = {
    4: "open on their own",
    3: "open to a voice",
    2: "open to pressure or pain",
    1: "stay closed",
}
"""Eye responses by score; the same on both scales."""

VERBAL = {
    Scale.ADULT: {
        5: "knows who, where and when",
        4: "talks, but confused",
        3: "single words that do not fit",
        2: "sounds without words",
        1: "no sound",
    },
    Scale.INFANT: {
        5: "coos and babbles",
        4: "cries, irritable",
        3: "cries to pain",
        2: "moans to pain",
        1: "no sound",
    },
}
"""Verbal responses by score."""

MOTOR = {
    Scale.ADULT: {
        6: "does what is asked",
        5: "reaches for the pain",
        4: "pulls away from pain",
        3: "bends abnormally",
        2: "stretches abnormally",
        1: "does not move",
    },
    Scale.INFANT: {
        6: "moves freely and with purpose",
        5: "pulls away from touch",
        4: "pulls away from pain",
        3: "bends abnormally",
        2: "stretches abnormally",
        1: "does not move",
    },
}
"""Motor responses by score."""

POINTS_OF_PART: dict[str, tuple[int, int]] = {
    "eye": (1, max(EYE)),
    "verbal": (1, max(VERBAL[Scale.ADULT])),
    "motor": (1, max(MOTOR[Scale.ADULT])),
}
"""Fewest and most points of each part; the same on both scales."""

FULL_SCORE = 15
"""Points of somebody fully awake: the best of each part."""


class Group(StrEnum):
    """How a total is grouped."""

    MILD = "mild"
    MODERATE = "moderate"
    SEVERE = "severe"


@dataclass(frozen=True, slots=True)
class GroupBounds:
    """Totals from which an adult's score is mild and moderate; less is severe.

    Made for head injuries; the numbers are those of the table of facts.
    """

    least_mild: float
    least_moderate: float

    def group_of(self, total: int) -> Group:
        """The group of a total."""
        if total >= self.least_mild:
            return Group.MILD
        return Group.MODERATE if total >= self.least_moderate else Group.SEVERE


@dataclass(frozen=True, slots=True)
class ConsciousnessScore:
    """Points for eye (1 to 4), verbal (1 to 5) and motor (1 to 6) responses.

    None is a part that could not be tested (swollen eyes, a tube, a splint: [coma-invalid]). There
    is then no total: it would look like a worse score, and the parts describe one person better
    ([coma-parts]); some note a 1 with a letter instead. `check` asks about a combination that
    hardly occurs.
    """

    eye: int | None
    verbal: int | None
    motor: int | None
    bounds: GroupBounds
    scale: Scale = Scale.ADULT
    check: Question | None = None

    @property
    def total(self) -> int | None:
        """3 to 15 points; None while a part could not be tested."""
        if self.eye is None or self.verbal is None or self.motor is None:
            return None
        return self.eye + self.verbal + self.motor

    @property
    def group(self) -> Group | None:
        """The group of the total; None without a total.

        None for infants: for them [coma-infants] calls 12 already severe, so the adult's
        groups would mislead.
        """
        total = self.total
        if total is None or self.scale is Scale.INFANT:
            return None
        return self.bounds.group_of(total)


def consciousness_score(
    eye: float | None,
    verbal: float | None,
    motor: float | None,
    bounds: GroupBounds,
    scale: Scale = Scale.ADULT,
) -> ConsciousnessScore | Question:
    """The score from its parts (None: could not be tested); what no part can be is asked about."""
    question = first_question(
        _question("eye", eye),
        _question("verbal", verbal),
        _question("motor", motor),
    )
    if question:
        return question
    eyes, voice, limbs = _whole(eye), _whole(verbal), _whole(motor)
    check = _odd_combination(eyes, voice, limbs) if scale is Scale.ADULT else None
    return ConsciousnessScore(eyes, voice, limbs, bounds, scale, check)


def _question(part: str, points: float | None) -> Question | None:
    if points is None:
        return None
    return question_outside(points, *POINTS_OF_PART[part], f"the {part} score", whole=True)


def _whole(points: float | None) -> int | None:
    return None if points is None else int(points)


def _odd_combination(eye: int | None, verbal: int | None, motor: int | None) -> Question | None:
    """Combinations that point to a slip (common practice, no source); each can still be true.

    Infants are not asked: they cry and move with their eyes shut.
    """
    talks = verbal is not None and verbal >= 4
    if talks and eye == 1:
        return Question("Talking with eyes that never open: could the eyes not be tested?")
    if motor == 6 and eye == 1:
        return Question("Doing what is asked with eyes that never open: could they not be tested?")
    if talks and motor is not None and motor <= 3:
        return Question("Talking, but moving so little: will you score the best limb again?")
    return None
