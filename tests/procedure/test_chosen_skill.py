"""Choices put into a skill file: texts, numbers, steps that come and go."""

from __future__ import annotations

import pytest
from skill_samples import SAMPLE, parsed

from coach.core.errors import InputError
from coach.core.units import Quantity, Unit
from coach.procedure.model import HeardAs, Option, Prerequisite, ReadingSpec
from coach.procedure.skill_file import SkillFile


@pytest.fixture
def sample() -> SkillFile:
    skill_file = parsed().skill_file
    assert skill_file
    return skill_file


def test_what_is_written_is_read(sample: SkillFile) -> None:
    assert (sample.id, sample.title, sample.minutes) == ("sample-skill", "Sample skill", 5)
    assert sample.table == ("an adult manikin", "gloves", "a mask for {patient}")
    assert sample.step_ids == ("gloves", "gauge", "fit", "suction", "calm")
    assert sample.default_choices() == {"patient": "adult", "device": "mask"}
    assert sample.settings["patient"].options["infant"] == Option(
        says="an infant", facts={"limit": 5.0, "most": 6}, sources=("invented",)
    )
    assert sample.settings["device"].options["cannula"].heard_as == HeardAs(
        keys=("cannula/prongs",)
    )
    assert sample.sources["common"] == "Common practice, no source"


def test_defaults_stand_for_what_is_not_chosen(sample: SkillFile) -> None:
    skill = sample.chosen({})
    assert skill.choices == {"patient": "adult", "device": "mask"}
    assert skill.table[2] == "a mask for an adult"
    assert skill.step("fit").say == "Fit the mask on an adult."
    assert skill.step("suction").how == "At most 10 seconds."
    assert skill.step("gauge").sources == ("invented",)
    assert skill.bibliography["invented"] == "An invented table, first edition"


def test_a_variant_takes_the_place_of_what_it_names_only(sample: SkillFile) -> None:
    fit = sample.chosen({"patient": "infant", "device": "cannula"}).step("fit")
    assert fit.say == "Fit the cannula gently on an infant."
    assert fit.cautions == ("Be gentle.",)
    assert fit.why == "It brings the oxygen."
    assert sample.chosen({}).step("fit").cautions == ()


def test_the_later_of_two_variants_wins() -> None:
    text = SAMPLE.replace(
        "        cautions: [Be gentle.]",
        "      - when: {device: cannula}\n        say: Slide {device} in.",
    )
    skill_file = parsed(text).skill_file
    assert skill_file
    both = skill_file.chosen({"patient": "infant", "device": "cannula"})
    assert both.step("fit").say == "Slide the cannula in."
    assert (
        skill_file.chosen({"patient": "infant"}).step("fit").say.startswith("Fit the mask gently")
    )


def test_numbers_come_from_facts(sample: SkillFile) -> None:
    clock = sample.chosen({"patient": "infant"}).step("suction").clock
    assert clock
    assert clock.limit_s == 5
    assert clock.start == HeardAs(phrases=("suctioning",))
    flow = sample.chosen({"patient": "infant"}).step("gauge").readings[1]
    assert flow == ReadingSpec(
        name="flow",
        quantity=Quantity.FLOW,
        unit=Unit.LITRES_PER_MINUTE,
        low=1.0,
        high=6.0,
        ask="What flow?",
    )
    assert sample.chosen({}).step("gauge").readings[1].high == 15.0


def test_a_whole_number_is_said_without_a_point(sample: SkillFile) -> None:
    assert sample.chosen({"patient": "infant"}).step("suction").how == "At most 5 seconds."


def test_steps_of_a_complication_exist_once_it_has_come(sample: SkillFile) -> None:
    assert "calm" not in [step.id for step in sample.chosen({}).steps]
    skill = sample.chosen({}, frozenset({"refused"}))
    assert skill.step("calm").after == (Prerequisite("fit", "you tried it"),)
    assert skill.complications[0].announce == "An adult pulls the mask off."
    assert skill.complications[0].sets == {"device": "cannula"}


def test_steps_of_another_choice_vanish_with_what_waits_for_them() -> None:
    text = SAMPLE.replace(
        "    heard-as: {keys: [gauge]}\n",
        "    heard-as: {keys: [gauge]}\n    when: {patient: adult}\n",
    )
    skill_file = parsed(text).skill_file
    assert skill_file
    infant = skill_file.chosen({"patient": "infant"})
    assert [step.id for step in infant.steps] == ["gloves", "fit", "suction"]
    assert infant.step("fit").after == ()
    assert skill_file.chosen({}).step("fit").after == (
        Prerequisite("gauge", "you need oxygen first"),
    )


def test_a_complication_after_a_step_that_is_not_there_cannot_come() -> None:
    text = SAMPLE.replace(
        "    chooses: device\n", "    chooses: device\n    when: {patient: adult}\n"
    ).replace(
        "- when: {patient: infant}\n        say: Fit", "- when: {device: mask}\n        say: Fit"
    )
    skill_file = parsed(text).skill_file
    assert skill_file
    assert [found.id for found in skill_file.chosen({}).complications] == ["refused"]
    assert skill_file.chosen({"patient": "infant"}).complications == ()


def test_the_same_choices_give_the_same_skill(sample: SkillFile) -> None:
    again = sample.chosen({"device": "mask", "patient": "adult"})
    assert sample.chosen({}) is again
    assert sample.chosen({"device": "cannula"}) is not again


@pytest.mark.parametrize(
    ("choices", "complications", "says"),
    [
        ({"patiant": "adult"}, (), "no setting 'patiant': did you mean 'patient'?"),
        ({"colour": "red"}, (), "no setting 'colour': the settings are patient, device."),
        ({"patient": "infnat"}, (), "no option 'infnat': did you mean 'infant'?"),
        ({"patient": "horse"}, (), "no option 'horse': the options are adult, infant."),
        ({}, ("refusd",), "no complication 'refusd': did you mean 'refused'?"),
    ],
)
def test_an_unknown_choice_is_refused_by_name(
    sample: SkillFile, choices: dict[str, str], complications: tuple[str, ...], says: str
) -> None:
    with pytest.raises(InputError, match=says.replace("?", r"\?").replace(".", r"\.")):
        sample.chosen(choices, frozenset(complications))


def test_missing_step_is_a_key_error(sample: SkillFile) -> None:
    with pytest.raises(KeyError):
        sample.chosen({}).step("calm")


def test_a_whole_number_may_be_written_with_a_point() -> None:
    # JSON Schema 2020-12, section 4.2.3: 5.0 is an integer.
    skill_file = parsed(SAMPLE.replace("minutes: 5", "minutes: 5.0")).skill_file
    assert skill_file
    assert skill_file.minutes == 5
    assert type(skill_file.minutes) is int
