"""What was said and not made out leaves a step open: nobody is failed for what was heard badly."""

from __future__ import annotations

from dataclasses import replace

from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.app.judging import rule_in_force
from coach.assessment.by_hand import ByHand, with_marks
from coach.assessment.rule import NEWEST_METHOD, WEIGHS_DOUBT, rule_of_text, rule_text
from coach.assessment.scoring import score
from coach.hearing.hypothesis import Hypothesis
from coach.language.carelessness import Carelessness, Weigher
from coach.report.attempt import Mark, Result
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalOpened
from coach.session.ports import EarEvent, TextHeard


def judged(
    *words: EarEvent | str | float,
    way: str = "assessed",
    text: str = TEXT,
    method: int = NEWEST_METHOD,
    careless: Weigher | None = None,
) -> Result:
    started = {"way": way}
    one = Run(*words, started=started, skill_file=bench_skill(text), careless=careless)
    opened = JournalOpened("bench", "2026-03-04T19:05:00+01:00", "0", attempt="a" * 32)
    contents = JournalContents(opened, tuple(one.journal.events), None, False, (), 0)
    return score(contents, bench_skill(text), replace(rule_in_force(), method=method))


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


def test_a_bare_done_may_have_been_any_step_that_was_due() -> None:
    """Nobody knows whether it was the gloves or the washer."""
    words = ("I'm ready", "done", 5.0, "the regulator is on")
    result = judged(*words)
    assert (marks(result)["gloves"], marks(result)["washer"]) == (Mark.UNCLEAR, Mark.UNCLEAR)
    assert not result.failures


def test_a_possible_safety_failure_is_told_as_possible() -> None:
    """Not known is neither safe nor unsafe; the sentence says what it hangs on."""
    begun = ("I'm ready", 5.0, "my gloves are on", 5.0, heard(0.4), 5.0, "the regulator is on")
    rest = ("it reads seventeen hundred psi", "the flow is set, twelve liters a minute")
    result = judged(*begun, *rest, "the mask is on", "suctioning", 4.0, "out")
    assert result.verdict == "unclear"
    assert "perhaps the regulator without the washer, which is unsafe" in result.why
    assert "it hangs on the washer" in result.why
    assert "perhaps the regulator without the washer" in judged(*begun).why


ACT = """never:
  - id: bare
    name: working with bare hands
    say: Not with bare hands.
    because: Blood is on the mask.
    heard-as: {phrases: [i work with my bare hands]}
complications:
"""


def possible(result: Result) -> list[tuple[str, str]]:
    return [(each.about, each.what) for each in result.possible]


def test_what_may_be_unsafe_is_named_where_neither_step_was_made_out() -> None:
    """Both the washer and the regulator may have been said, or the regulator alone."""
    words = ("I'm ready", 5.0, "my gloves are on", 5.0, heard(0.4), 5.0)
    result = judged(*words)
    assert ("washer", "the regulator without the washer") in possible(result)
    assert "perhaps the regulator without the washer" in result.why
    before = judged(*words, method=WEIGHS_DOUBT)
    assert not before.possible and "perhaps" not in before.why


def test_a_step_perhaps_spoken_of_before_what_comes_first_is_named() -> None:
    """The regulator was spoken of, unclearly, and the washer looked at afterwards."""
    perhaps = TextHeard(Hypothesis("the regulator is on", 0.1))
    words = ("I'm ready", 5.0, "my gloves are on", 5.0, perhaps, 5.0, "the washer is whole")
    assert ("mount", "the regulator before the washer") in possible(judged(*words))


def test_a_step_perhaps_done_with_a_wrong_number_before_it_is_named_first() -> None:
    """The flow is not that of a mask, and what came after it was not made out."""
    text = TEXT.replace(
        "    chooses: device\n",
        "    chooses: device\n    after: [{step: flow, because: it would not do, safety: true}]\n",
    )
    begun = ("I'm ready", 5.0, "my gloves are on", "the washer is whole", "the regulator is on")
    set_to = ("it reads seventeen hundred psi", "the flow is set, two liters a minute", 5.0)
    result = judged(*begun, *set_to, heard(0.4), 5.0, text=text)
    assert possible(result) == [("flow", "the fit with a wrong number of the flow")]


def test_a_forbidden_act_most_words_of_which_were_heard_badly_is_named() -> None:
    """Heard well, the same words are no act and nothing is named."""
    text = TEXT.replace("complications:\n", ACT)
    badly = Hypothesis("i work with my bear cans", 0.4)
    words = ("I'm ready", 5.0, "my gloves are on", 5.0, "the washer is whole", 5.0)
    result = judged(*words, TextHeard(badly), text=text)
    assert possible(result)[0] == ("bare", "working with bare hands")
    assert not result.failures
    well = replace(badly, confidence=0.95)
    assert ("bare", "working with bare hands") not in possible(
        judged(*words, TextHeard(well), text=text)
    )
    done = judged(*words, "I work with my bare hands", 5.0, TextHeard(badly), text=text)
    assert [failure.about for failure in done.failures] == ["bare"]
    assert "bare" not in [about for about, _ in possible(done)]


def test_a_person_who_sets_the_step_settles_what_may_have_been_unsafe() -> None:
    result = judged("I'm ready", 5.0, "my gloves are on", 5.0, heard(0.4), 5.0)
    seen = with_marks(result, {"washer": ByHand(Mark.DONE, "Ana Silva")}, rule_in_force())
    assert "washer" in [about for about, _ in possible(result)]
    assert "washer" not in [about for about, _ in possible(seen)]


def test_an_order_is_not_called_wrong_where_its_first_step_may_not_have_been_made_out() -> None:
    """The washer comes after the regulator; but what was said before that nobody made out."""
    words = ("I'm ready", 5.0, "my gloves are on", 5.0)
    late = (5.0, "the regulator is on", 5.0, "the washer is whole")
    wrong, unsure = judged(*words, *late), judged(*words, heard(0.4), *late)
    assert marks(wrong)["mount"] is Mark.OUT_OF_ORDER and wrong.verdict == "not-yet"
    assert marks(unsure)["mount"] is Mark.UNCLEAR and not unsure.failures
    assert "perhaps the regulator before the washer" in unsure.why
    assert unsure.verdict == "not-yet" and "33 %" in unsure.why
    assert marks(judged(*words, heard(0.95), *late))["mount"] is Mark.OUT_OF_ORDER


ROUNDS = """repeats:
  - id: twice
    name: rounds
    steps: [gloves, washer]
    times: "{no-fact.2}"
steps:
"""


def test_a_step_left_out_of_a_round_is_unclear_where_something_was_not_made_out_in_it() -> None:
    text = TEXT.replace("steps:\n", ROUNDS, 1)
    both = ("my gloves are on", 5.0, "the washer is whole", 5.0)
    plain = judged("I'm ready", *both, "my gloves are on", 5.0, text=text)
    assert marks(plain)["washer"] is Mark.MISSED
    garbled = judged("I'm ready", *both, "my gloves are on", 5.0, heard(0.4), 5.0, text=text)
    assert marks(garbled)["washer"] is Mark.UNCLEAR
    why = next(step.why for step in garbled.steps if step.step == "washer")
    assert "the which or is hole" in why


def test_attempts_kept_with_the_rule_of_before_are_scored_as_before() -> None:
    """A rule that was kept before there was a method has none written, and scores by the first."""
    rule = rule_in_force()
    assert rule.method == NEWEST_METHOD and rule_of_text(rule_text(rule)) == rule
    before = replace(rule, method=1)
    assert "method" not in rule_text(before) and rule_of_text(rule_text(before)) == before
    words = ("I'm ready", "done", 5.0, "the regulator is on")
    assert marks(judged(*words, method=1))["washer"] is Mark.MISSED


def test_what_may_have_been_done_carelessly_is_unclear_and_not_missed() -> None:
    """Alone, and where the same breath tells of another step."""
    shrugs = Carelessness({"word grin": 3.0}, -1.0, 0.0)
    alone = ("my gloves are on", "the washer is whole, grinning")
    for said in (alone, ("the washer is whole, grinning, and my gloves are on",)):
        told = ("I'm ready", *said, "the regulator is on")
        assert marks(judged(*told))["washer"] is Mark.DONE
        doubted = judged(*told, careless=shrugs)
        assert marks(doubted)["washer"] is Mark.UNCLEAR
        assert marks(doubted)["gloves"] is Mark.DONE
        assert not doubted.failures
        washer = next(step for step in doubted.steps if step.step == "washer")
        assert [piece.doubted for piece in washer.evidence] == ["grinning"]
        assert washer.why.endswith(', in doubt for "grinning".')
