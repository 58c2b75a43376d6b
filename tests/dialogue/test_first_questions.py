"""What is asked before the first practice: only what is needed, and nothing is guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_cylinders import known_cylinders

from coach.dialogue.first_questions import (
    CYLINDER,
    REGION,
    UNIT,
    Interview,
    Outcome,
    begin,
    heard,
    needs_of,
    phrases,
    silent,
)
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.procedure.spoken_length import spoken_words
from coach.trade.cylinders import Region

LANDMARK = "oral-airway.landmark"
ALL = (REGION, UNIT, CYLINDER)


def oxygen(*decided: str) -> Interview:
    """The questions before the first practice with an oxygen cylinder."""
    return begin(needs_of(load_skill("oxygen-cylinder").chosen({}), decided, known_cylinders()))[0]


def talked(interview: Interview, *words: str, typed: bool = True) -> tuple[Interview, list[str]]:
    """The questions after these words, and what the coach said to each."""
    said = []
    for text in words:
        interview, line, _ = heard(interview, text, typed=typed)
        said.append(line)
    return interview, said


@pytest.mark.parametrize(
    ("skill", "asked"),
    [
        ("oxygen-cylinder", ALL),
        ("oxygen-delivery", ALL),
        ("cylinder-change", ALL),
        ("oral-airway", (LANDMARK,)),
        ("nasal-airway", ("nasal-airway.landmark",)),
        ("choking-infant", ("choking-infant.hand",)),
        ("recovery-position", ()),
        ("cpr", ()),
    ],
)
def test_only_what_the_skill_needs_is_asked(skill: str, asked: tuple[str, ...]) -> None:
    needs = needs_of(load_skill(skill).chosen({}), (), known_cylinders())
    assert needs.names == asked
    assert bool(begin(needs)[1]) is bool(asked)


def test_what_is_decided_is_not_asked() -> None:
    assert oxygen(REGION, CYLINDER).needs.names == (UNIT,)
    assert oxygen(*ALL).question is None


def test_answers_are_read_back_and_the_letters_follow_the_region() -> None:
    interview, said = talked(oxygen(), "we're in the UK", "bar", "a C D cylinder")
    assert interview.answers == {REGION: "uk", UNIT: "bar", CYLINDER: "CD"}
    assert said[0].startswith("The United Kingdom. Does your gauge show")
    assert said[1].startswith("Bar. Which cylinder do you use: D, C D, F")
    assert said[2] == "C D."
    assert interview.question is None


def test_who_does_not_know_gets_the_safer_default_which_is_said_and_not_kept() -> None:
    interview, said = talked(oxygen(), "I don't know", "not sure", "no idea")
    assert interview.assumed == {REGION: "us", UNIT: "psi", CYLINDER: "D"}
    assert interview.remembered == {}
    assert all("safer default, and ask another time" in line for line in said)


@pytest.mark.parametrize("region", Region)
def test_the_default_cylinder_errs_on_the_short_side(region: Region) -> None:
    """Of those that are named it gives the fewest minutes for a gauge: the lowest factor."""
    interview, _ = talked(oxygen(), {"us": "states", "uk": "britain", "anz": "australia"}[region])
    interview, _ = talked(interview, "psi", "I don't know")
    taken = known_cylinders().find(interview.assumed[CYLINDER], region)
    assert taken.litres_per_psi == min(
        cylinder.litres_per_psi for cylinder in known_cylinders().usual(region)
    )


def test_a_letter_is_not_kept_without_the_region_it_belongs_to() -> None:
    interview, _ = talked(oxygen(), "don't know", "bar", "E")
    assert interview.answers == {UNIT: "bar", CYLINDER: "E"}
    assert interview.remembered == {UNIT: "bar"}


def test_what_is_not_understood_is_asked_once_more_then_the_default_is_taken() -> None:
    interview, said = talked(oxygen(), "the blue van", "over there")
    assert said[0].startswith("Sorry, I did not get that. Where do your cylinders come from")
    assert "Then I take the United States" in said[1]
    assert interview.assumed == {REGION: "us"}


def test_spoken_letters_sound_alike_and_need_a_yes() -> None:
    interview, _ = talked(oxygen(REGION, UNIT), "D", typed=False)
    assert interview.answers == {}
    for words, letter in ((["yes"], "D"), (["no", "E", "yes"], "E"), (["echo", "right"], "E")):
        assert talked(interview, *words, typed=False)[0].answers == {CYLINDER: letter}
    _, said = talked(oxygen(REGION, UNIT), "D", typed=False)
    assert said == ["D as in delta, right?"]


def test_an_answer_hardly_heard_needs_a_yes() -> None:
    interview, line, _ = heard(oxygen(REGION), "bar", 0.5)
    assert (line, interview.answers) == ("Bar, right?", {})
    assert heard(interview, "yes", 0.6)[0].answers == {UNIT: "bar"}
    assert heard(oxygen(REGION), "bar", 0.95)[0].answers == {UNIT: "bar"}


def test_the_last_answer_by_voice_needs_a_yes_for_nobody_could_correct_it_afterwards() -> None:
    interview, line, _ = heard(oxygen(REGION, CYLINDER), "bar", 0.95)
    assert (line, interview.answers) == ("Bar, right?", {})
    assert heard(interview, "no", 0.95)[0].answers == {}
    assert heard(interview, "yes", 0.95)[0].answers == {UNIT: "bar"}
    assert heard(oxygen(REGION, CYLINDER), "bar", typed=True)[0].answers == {UNIT: "bar"}


def test_commands_work() -> None:
    interview = oxygen()
    assert heard(interview, "stop")[2] is Outcome.HAND_ON
    assert heard(interview, "this is real")[2] is Outcome.HAND_ON
    assert heard(interview, "wait")[2] is Outcome.WAIT
    for words in ("repeat", "say that again", "go on", "help", "why"):
        now, line, outcome = heard(interview, words)
        assert (now.answers, outcome) == ({}, Outcome.ASK)
        assert "Where do your cylinders come from" in line
    assert "Then I take the United States" in heard(interview, "skip it")[1]


@pytest.mark.parametrize("back", ["go back", "no", "that's wrong", "scratch that"])
def test_an_answer_that_was_misheard_is_taken_back(back: str) -> None:
    interview, said = talked(oxygen(), "the states", back, "britain")
    assert said[1].startswith("Where do your cylinders come from")
    assert interview.answers == {REGION: "uk"}


def test_silence_is_asked_once_and_then_the_practice_begins() -> None:
    interview, _ = talked(oxygen(), "uk")
    interview, line, outcome = silent(interview)
    assert (line, outcome) == ("Does your gauge show P S I or bar?", Outcome.ASK)
    interview, line, outcome = silent(interview)
    assert outcome is Outcome.OVER
    assert "defaults" in line
    assert interview.remembered == {REGION: "uk"}


@pytest.mark.parametrize("skill", skill_ids())
def test_a_question_is_one_sentence_and_names_options_that_are_understood(skill: str) -> None:
    """Each option of a skill's setting by its own name, and by how the coach says it."""
    needs = needs_of(load_skill(skill).chosen({}), ALL, known_cylinders())
    for name, setting in needs.settings.items():
        interview = begin(needs)[0]
        question = interview.question
        assert question is not None
        assert name == question.name
        assert question.asks.count("?") == 1
        assert max(map(spoken_words, question.asks.split(":"))) <= 20
        for option, written in setting.options.items():
            said = [option.replace("-", " "), written.says, *written.heard_as.phrases]
            for words in said:
                assert talked(interview, words)[0].answers == {name: option}, words
        assert set(written.heard_as.phrases) <= set(phrases(interview))


@pytest.mark.parametrize(
    ("skill", "words", "option"),
    [
        ("oral-airway", "from the corner of his mouth to the ear lobe", "mouth-to-lobe"),
        ("oral-airway", "we measure to the angle of the jaw from the mouth", "mouth-to-jaw"),
        ("oral-airway", "front teeth to the jaw", "incisors-to-jaw"),
        ("oral-airway", "to the jaw", None),
        ("oral-airway", "not the lobe but the mouth and the jaw", None),
        ("nasal-airway", "nostril to the tragus", "nostril-to-tragus"),
        ("nasal-airway", "nostril to tragus minus ten millimeters", "nostril-to-tragus-less-10"),
        ("nasal-airway", "tip of the nose to the earlobe", "tip-to-lobe"),
        ("choking-infant", "with two fingers", "fingers"),
        ("choking-infant", "the heel of the hand", "heel"),
        ("choking-infant", "heel or fingers", None),
    ],
)
def test_own_words_for_a_landmark(skill: str, words: str, option: str | None) -> None:
    interview = begin(needs_of(load_skill(skill).chosen({}), (), known_cylinders()))[0]
    answers = talked(interview, words)[0].answers
    assert list(answers.values()) == ([option] if option else [])


WORDS = st.lists(
    st.sampled_from(
        "uk states bar psi d e yes no skip wait repeat know don't i go back stop help a cd".split()
    ),
    max_size=4,
).map(" ".join)


@given(st.lists(WORDS, max_size=12), st.booleans())
def test_whatever_is_said_the_questions_end_and_their_answers_fit(
    words: list[str], typed: bool
) -> None:
    """No answer is kept that the settings would refuse, and nobody is asked for ever."""
    interview = oxygen()
    for text in words:
        interview, line, outcome = heard(interview, text, typed=typed)
        assert line or outcome in {Outcome.OVER, Outcome.HAND_ON}
    settled = {**interview.assumed, **interview.answers}
    if CYLINDER in settled:
        assert settled[CYLINDER] in known_cylinders().letters(Region(settled[REGION]))
    for _ in range(20):
        interview, _, outcome = heard(interview, "nonsense")
    assert interview.question is None
