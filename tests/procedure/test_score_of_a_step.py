"""What a skill file may say of a score, and what is told of a wrong one."""

from __future__ import annotations

import pytest
from skill_samples import SAMPLE, parsed

from coach.procedure.model import Scored
from coach.trade.consciousness import Scale

COUNT = (
    '      - {{name: {}, quantity: count, unit: counted, low: "{{no-fact.1}}", '
    'high: "{{no-fact.4}}", ask: How many points?, sources: [common]}}\n'
)
NUMBERS = "".join(map(COUNT.format, ("eye", "verbal", "motor")))


def with_score(score: str, numbers: str = NUMBERS) -> str:
    part = f"    readings:\n{numbers}    score: {score}\n"
    return SAMPLE.replace("    name: the fit\n", "    name: the fit\n" + part)


def test_a_score_is_built_of_its_own_readings() -> None:
    found = parsed(with_score("{of: consciousness, scale: infant}"))
    assert found.skill_file is not None, found.problems
    score = found.skill_file.chosen({}).step("fit").score
    assert score is not None
    assert (score.of, score.parts, score.scale) == (Scored.CONSCIOUSNESS, ("fit",), Scale.INFANT)


@pytest.mark.parametrize(
    ("score", "told"),
    [
        (
            "{of: consciousness, from: [fitt]}",
            "'score' of step 'fit' names 'fitt', which is no step: did you mean 'fit'?",
        ),
        (
            "{of: consciousness, from: [calm]}",
            "'score' of step 'fit' has no number for 'eye': give one of its steps a reading of "
            "quantity 'count' with the name 'eye'.",
        ),
        (
            '{of: birth, minute: "{no-fact.1}"}',
            "'score' of step 'fit' has no number for 'appearance': give one of its steps a "
            "reading of quantity 'count' with the name 'appearance'.",
        ),
        (
            '{of: birth, minute: "{no-fact.2}"}',
            "'score' of step 'fit' needs the 'minute' at which a newborn is scored: one of 1, 5, "
            "10, 15, 20.",
        ),
        (
            "{of: birth}",
            "'score' of step 'fit' needs the 'minute' at which a newborn is scored: one of 1, 5, "
            "10, 15, 20.",
        ),
    ],
)
def test_a_wrong_score_is_told(score: str, told: str) -> None:
    assert told in [problem.message for problem in parsed(with_score(score)).problems]
