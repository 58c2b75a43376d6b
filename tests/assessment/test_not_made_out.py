"""What was said and not made out leaves a step open: nobody is failed for what was heard badly."""

from __future__ import annotations

from bench_session import Run
from bench_skill import bench_skill

from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.hearing.hypothesis import Hypothesis
from coach.report.attempt import Mark, Result
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalOpened
from coach.session.ports import EarEvent, TextHeard


def judged(*words: EarEvent | str | float, way: str = "assessed") -> Result:
    one = Run(*words, started={"way": way})
    opened = JournalOpened("bench", "2026-03-04T19:05:00+01:00", "0", attempt="a" * 32)
    contents = JournalContents(opened, tuple(one.journal.events), None, False, (), 0)
    return score(contents, bench_skill(), rule_in_force())


def marks(result: Result) -> dict[str, Mark]:
    return {step.step: step.mark for step in result.steps}


def heard(sure: float) -> TextHeard:
    return TextHeard(Hypothesis("the which or is hole", sure))


def test_a_step_is_unclear_where_something_was_not_made_out_in_its_place() -> None:
    """Between the gloves and the regulator: the washer may have been looked at."""
    begun = ("I'm ready", 5.0, "my gloves are on", 5.0)
    result = judged(*begun, heard(0.4), 5.0, "the regulator is on")
    assert marks(result)["washer"] is Mark.UNCLEAR
    why = next(step.why for step in result.steps if step.step == "washer")
    assert "the which or is hole" in why
    assert not result.failures
    assert result.verdict != "ready"


def test_what_was_heard_well_and_means_nothing_excuses_nothing() -> None:
    """Talk about something else, plainly heard, is no step."""
    result = judged("I'm ready", "my gloves are on", heard(0.95), "the regulator is on")
    assert marks(result)["washer"] is Mark.MISSED
    assert [failure.about for failure in result.failures] == ["washer"]


def test_what_was_not_made_out_elsewhere_excuses_nothing() -> None:
    """It was said before the gloves; the washer comes after them."""
    words = ("I'm ready", heard(0.4), 5.0, "my gloves are on", 5.0, "the regulator is on")
    assert marks(judged(*words))["washer"] is Mark.MISSED
