"""Words that are talk at one moment and belong to a step at another: the car that hit a tree."""

from __future__ import annotations

import pytest

from coach.core.meaning import StepMention
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand

SCENE = StepWords("scene", Words(keys=("car hit/crashed tree/wall",)))
GLOVES = StepWords("gloves", Words(keys=("glove on",)))
LAST_WELL = StepWords("last-well", Words(keys=("was/saw well/fine",)), history=True)
BREATHS = StepWords("breaths", Words(keys=("breathing fine/well",)))
FEELING = StepWords(
    "feeling", Words(keys=("feel/feels toe/toes",), absent=("numb/numbness", "foot cold"))
)
SHARP = StepWords("sharp", Words(keys=("sharp/needle out",)))
SENSOR = StepWords("sensor", Words(keys=("carbon dioxide sensor ready/here",)))
LIMBS = StepWords("limbs", Words(keys=("pulls away",)))


def told(words: str, *steps: StepWords) -> list[StepMention]:
    return list(understand(words, Context(steps=steps, suggested=steps[0].id)).steps)


def test_an_everyday_word_is_no_talk_where_a_step_has_it_for_its_own() -> None:
    assert told("the car hit a tree", SCENE) == [StepMention("scene")]
    assert told("my gloves are on in the car", GLOVES) == []


@pytest.mark.parametrize(
    "words",
    [
        "she was fine last night",
        "his wife says he was fine at eight o'clock this morning",
        "she was fine at breakfast",
    ],
)
def test_when_somebody_was_last_well_is_told_of_another_time(words: str) -> None:
    assert told(words, LAST_WELL) == [StepMention("last-well")]
    assert told("she was breathing fine this morning", BREATHS) == []


def test_what_i_did_at_another_time_is_told_of_no_patient() -> None:
    assert told("I saw him well last night in my class", LAST_WELL) == []
    assert told("I was fine at breakfast", LAST_WELL) == []


def test_what_has_gone_numb_is_not_gone() -> None:
    found = StepMention("feeling", denied=True, found=True)
    assert told("his toes have gone numb now", FEELING) == [found]
    assert told("the foot has gone cold", FEELING) == [found]
    assert told("the numbness is gone", FEELING) == [StepMention("feeling")]


@pytest.mark.parametrize(
    "words", ["sharp out, everybody", "sharp out everyone", "I told everybody the needle is out"]
)
def test_who_calls_to_everybody_talks_of_nobody_else(words: str) -> None:
    assert told(words, SHARP) == [StepMention("sharp")]
    assert told("the needle out of the packet is for everybody", SHARP) == []


@pytest.mark.parametrize("words", ["the CO2 sensor is here", "the C O two sensor is ready"])
def test_carbon_dioxide_has_a_short_name(words: str) -> None:
    assert told(words, SENSOR) == [StepMention("sensor")]


def test_a_patient_who_pulls_away_is_no_other_helper() -> None:
    assert told("he pulls away", LIMBS) == [StepMention("limbs")]
    assert told("usually he pulls away", LIMBS) == []


@pytest.mark.parametrize(
    ("skill", "settings", "step", "words"),
    [
        ("joint-splint", {}, "again", "We moved it once and the pulse came back"),
        ("bleeding-control", {"wound": "limb-severe"}, "check", "I see no blood anywhere"),
        ("primary-survey", {}, "bleeding", "I see no blood anywhere"),
        ("cylinder-change", {}, "flow-closed", "flow down to zero"),
        ("supraglottic-airway", {"device": "filled"}, "prepare", "all the air's gone out of it"),
        ("normal-birth", {}, "bleeding", "massaging her belly"),
    ],
)
def test_what_testers_said_is_heard(
    skill: str, settings: dict[str, str], step: str, words: str
) -> None:
    skill_file = load_skill(skill)
    every = frozenset(each.id for each in skill_file.complications)
    steps = asked_context(skill_file.chosen(settings, every), None, None).steps
    assert told(words, *sorted(steps, key=lambda each: each.id != step)) == [StepMention(step)]
