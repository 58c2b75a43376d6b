"""What a learner tells those who are there, and what he puts off, as strangers told it.

Telling the patient what comes is the act of a step that tells, a request to a helper that of a step
that another one does; what is put off for later is no step that may have been done.
"""

from __future__ import annotations

import pytest

from coach.core.meaning import Meaning
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand


def meant(skill: str, says: str) -> Meaning:
    return understand(says, asked_context(load_skill(skill).chosen({}, frozenset()), None, None))


HEARD = [
    ("cpap-setup", "explain", "it'll push air at you"),
    ("cpap-setup", "explain", "okay, this blows air at your face"),
    ("pulse-oximetry", "explain", "this little clip shines a light through your finger"),
    ("choking", "aftercare", "you still gotta get checked by a doctor"),
    ("choking", "aftercare", "you need to be checked by a doctor"),
    ("spinal-motion-restriction", "head", "Marco, come round please and take hold of his head"),
    ("cpap-setup", "sit", "put your feet down, my dear, feet dangling over the side, that's it"),
    ("cpap-setup", "watch", "I'll recheck her every three minutes"),
    ("recovery-position", "watch", "I'll check his breathing every two minutes"),
    ("trauma-assessment", "bare", "I cut his clothes off, blanket over whatever I'm done with"),
    ("cpap-setup", "supply", "gauge says fifteen hundred, that's plenty for a ten minute ride"),
    ("bleeding-control", "watch", "I keep checking the wound and whenever we move him"),
    ("oxygen-cylinder", "test-date", "the hydro stamp is from last year, so that's good"),
]

NOT_HEARD = [
    ("cpap-setup", "explain", "if it pushes air at you it's on"),
    ("cpap-setup", "explain", "this tells you how to explain the mask"),
    ("choking", "aftercare", "if you need to be checked by a doctor, tell me"),
    ("spinal-motion-restriction", "head", "please explain how to hold the head"),
    ("cpap-setup", "sit", "feet dangling over the side, that's it"),
    ("cpap-setup", "supply", "the gauge says fifteen hundred, that's plenty for me"),
    ("cpap-setup", "watch", "I'll recheck her"),
    ("trauma-assessment", "bare", "I cut his clothes off, whatever"),
    ("bleeding-control", "watch", "I check the wound, whenever"),
]

PUT_OFF = [
    ("traction-splint", "after", "I'll feel that foot pulse again once we're in the truck"),
    ("spinal-motion-restriction", "neck", "I should check the neck, I'll do that after the tape"),
    ("recovery-position", "pockets", "I'll empty his pockets later"),
]


@pytest.mark.parametrize(("skill", "step", "says"), HEARD)
def test_what_is_told_to_those_there_is_heard(skill: str, step: str, says: str) -> None:
    assert step in {told.step for told in meant(skill, says).steps if not told.denied}


@pytest.mark.parametrize(("skill", "step", "says"), NOT_HEARD)
def test_what_only_sounds_like_it_is_not(skill: str, step: str, says: str) -> None:
    assert step not in {told.step for told in meant(skill, says).steps if not told.denied}


@pytest.mark.parametrize(("skill", "step", "says"), PUT_OFF)
def test_what_is_put_off_was_not_done_perhaps(skill: str, step: str, says: str) -> None:
    told = meant(skill, says)
    assert step not in told.likely
    assert step not in {one.step for one in told.steps}


def test_a_plan_that_is_not_put_off_may_be_going_on() -> None:
    assert "after" in meant("traction-splint", "I'll feel that foot pulse again").likely


@pytest.mark.parametrize("says", ["no, she's not", "she's not"])
def test_a_pronoun_names_nothing_that_was_left_out(says: str) -> None:
    assert meant("pulse-oximetry", says).steps == ()
