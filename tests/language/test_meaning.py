"""What sentences mean: commands, answers, denials, and what must mean nothing.

The words are of a made-up skill, so that this stands whatever the skill files say.
"""

from __future__ import annotations

import pytest

from coach.core.meaning import YES_NO, Command, Kind, Part
from coach.core.units import Quantity
from coach.language.command_words import COMMAND_TEMPLATES, QUIET_PHRASES
from coach.language.commands import command_in
from coach.language.context import Context, StepWords, Words
from coach.language.templates import expanded
from coach.language.understand import understand

STEPS = (
    StepWords("gloves", Words(("my gloves are on",), ("glove on/wearing/have",))),
    StepWords(
        "leaks",
        Words(("i listened for a leak",), ("leak check/checked/listened", "leak free"), ("leak",)),
    ),
    StepWords("pins", Words((), ("pin match/fit/right",), ("damage",))),
    StepWords("mount", Words(("regulator is on",), ("regulator mount/mounted/fitted/on",))),
    StepWords(
        "response",
        Words((), ("unresponsive", "no response"), ("gag", "cough")),
    ),
    StepWords("open", Words((), ("open/opened valve slow/slowly",))),
    StepWords(
        "count",
        Words((), ("withdraw/withdrew catheter",)),
        Words(("suctioning",)),
        Words(("out",), ("catheter/tip out",)),
    ),
    StepWords(
        "device",
        Words((), ("pick/picked/choose device",)),
        choices={"mask": Words(("simple mask",)), "cannula": Words(("nasal cannula",))},
    ),
)
ALL_OPEN = Context(steps=STEPS)


def credited(text: str) -> list[str]:
    """Steps the text confirms."""
    return [m.step for m in understand(text, ALL_OPEN).steps if not m.denied]


def denied(text: str) -> list[str]:
    """Steps the text denies."""
    return [m.step for m in understand(text, ALL_OPEN).steps if m.denied]


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("I'm wearing my gloves", ["gloves"]),
        ("okay, gloves on and the regulator is mounted", ["gloves", "mount"]),
        ("regulator mounted, then I checked for leaks", ["mount", "leaks"]),
        ("no leaks", ["leaks"]),
        ("I don't hear any leaks", ["leaks"]),
        ("it is not leaking", ["leaks"]),
        ("I listened and there was no leak", ["leaks"]),
        ("no gag or cough", ["response"]),
        ("he's unresponsive", ["response"]),
        ("no damage to the pins", ["pins"]),
        ("pins free of damage", ["pins"]),
        ("I didn't forget my gloves, they're on, gloves on", ["gloves"]),
        ("I opened the valve nice and slowly", ["open"]),
        ("i did not check the pins i mounted the regulator", ["mount"]),
        ("no problem, gloves are on", ["gloves"]),
    ],
)
def test_what_is_told_is_credited(text: str, steps: list[str]) -> None:
    assert credited(text) == steps


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("I did not check for leaks", ["leaks"]),
        ("I didn't check for a leak", ["leaks"]),
        ("I forgot to check for leaks", ["leaks"]),
        ("without checking for leaks", ["leaks"]),
        ("there is a leak", ["leaks"]),
        ("my gloves are not on", ["gloves"]),
        ("I haven't got my gloves on", ["gloves"]),
        ("I never mounted the regulator", ["mount"]),
        ("the pins don't match", ["pins"]),
        ("he is coughing", ["response"]),
        ("I skipped checking for leaks", ["leaks"]),
    ],
)
def test_a_denial_is_no_confirmation(text: str, steps: list[str]) -> None:
    assert credited(text) == []
    assert denied(text) == steps


@pytest.mark.parametrize(
    "text",
    [
        "did I check for leaks?",
        "should I have my gloves on",
        "is the regulator mounted",
        "I'm going to mount the regulator",
        "I need to check for leaks",
        "when the regulator is mounted",
        "before I mounted the regulator",
        "let me check for leaks",
        "he is responsive",
        "what a lovely day",
        "are you coming to lunch",
        "can you hand me the regulator",
        "pass me that mask over there",
        "I almost have my gloves on",
        "instead of mounting the regulator",
    ],
)
def test_questions_plans_and_small_talk_credit_nothing(text: str) -> None:
    assert credited(text) == []


def test_a_plan_is_worth_asking_about() -> None:
    assert understand("I'm going to mount the regulator", ALL_OPEN).likely == ("mount",)


@pytest.mark.parametrize("command", list(Command))
def test_every_command_is_understood_in_each_of_its_words(command: Command) -> None:
    templates = COMMAND_TEMPLATES.get(command, QUIET_PHRASES)
    for template in templates:
        for phrase in expanded(template):
            meaning = understand(phrase, ALL_OPEN)
            assert meaning.command is command, phrase


def test_no_phrase_belongs_to_two_commands() -> None:
    seen: dict[str, Command] = {}
    for command, templates in COMMAND_TEMPLATES.items():
        for template in templates:
            for phrase in expanded(template):
                assert seen.setdefault(phrase, command) is command, phrase


def test_the_real_thing_is_heard_anywhere() -> None:
    meaning = understand("wait stop this is real he is not breathing", ALL_OPEN)
    assert meaning.command is Command.QUIET
    assert command_in("this is not real") is None


def test_a_question_for_a_number_is_no_command_heard_wrong() -> None:
    """ "What's the pulse" has but a letter or two other than "what's the purpose"."""
    assert command_in("what's the pulse") is None
    heard = command_in("what's the purpos")
    assert heard is not None and heard[0] is Command.WHY


@pytest.mark.parametrize("text", ["I stop at resistance", "I'll go back to my car", "help him up"])
def test_a_command_word_inside_a_sentence_is_no_command(text: str) -> None:
    assert understand(text, ALL_OPEN).command is None


@pytest.mark.parametrize(
    ("text", "answer"), [("yes", "yes"), ("that's right", "yes"), ("no", "no")]
)
def test_answers(text: str, answer: str) -> None:
    assert understand(text, ALL_OPEN).answer == answer


def test_okay_is_a_yes_only_when_one_was_asked_for() -> None:
    assert understand("okay", ALL_OPEN).kind is Kind.NONE
    assert understand("okay", Context(steps=STEPS, expect=YES_NO)).answer == "yes"


def test_no_before_a_number_is_an_answer_and_a_reading() -> None:
    moment = Context(steps=STEPS, expect=YES_NO, in_question=Quantity.PRESSURE)
    meaning = understand("no sixteen hundred", moment)
    assert (meaning.answer, meaning.readings[0].values) == ("no", (1600.0,))
    assert meaning.kind is Kind.READING


def test_no_before_a_noun_is_part_of_the_step() -> None:
    meaning = understand("no leaks", ALL_OPEN)
    assert (meaning.answer, meaning.kind) == (None, Kind.STEP)


def test_done_is_about_the_suggested_step_and_about_none_without_one() -> None:
    assert understand("done", ALL_OPEN).steps == ()
    meaning = understand("that's done", Context(steps=STEPS, suggested="pins"))
    assert [m.step for m in meaning.steps] == ["pins"]
    assert meaning.done_said


def test_clock_words_and_choices() -> None:
    assert understand("suctioning", ALL_OPEN).steps[0].part is Part.CLOCK_START
    assert understand("out", ALL_OPEN).steps[0].part is Part.CLOCK_END
    assert understand("I picked a nasal cannula", ALL_OPEN).steps[0].choice == "cannula"


def test_the_text_shown_is_plain() -> None:
    assert understand("Gloves ON, okay!", ALL_OPEN).text == "gloves on okay"
    assert understand("", ALL_OPEN).kind is Kind.NONE


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("yes no", None),
        ("yes, no", None),
        ("no yes", None),
        ("yeah no", None),
        ("yes it isn't", None),
        ("yes that's wrong", None),
        ("yes not yet", None),
        ("yes it is no", None),
        ("yes wait no", "no"),
        ("yes I mean no", "no"),
        ("yes yes", "yes"),
        ("yes that's right", "yes"),
        ("no no", "no"),
    ],
)
@pytest.mark.parametrize("expect", [None, YES_NO])
def test_a_yes_with_a_no_in_it_is_no_yes(text: str, answer: str | None, expect: str | None) -> None:
    assert understand(text, Context(steps=STEPS, expect=expect)).answer == answer


def test_a_number_after_yes_and_no_is_a_correction() -> None:
    moment = Context(steps=STEPS, expect=YES_NO, in_question=Quantity.PRESSURE)
    meaning = understand("yes no sixteen hundred", moment)
    assert (meaning.answer, meaning.readings[0].values) == ("no", (1600.0,))


def test_a_pronoun_after_one_step_is_not_the_thing_of_another() -> None:
    assert credited("my gloves are on and it's free of damage") == ["gloves"]


@pytest.mark.parametrize(
    "text", ["gloves on the bus", "my gloves are on my desk", "no cough from my roommate"]
)
def test_things_of_no_station_credit_nothing(text: str) -> None:
    assert credited(text) == []


def test_what_is_gone_is_absent() -> None:
    assert credited("the leak is gone") == ["leaks"]


@pytest.mark.parametrize("text", ["the leak isn't gone", "the leak has not stopped"])
def test_what_is_not_gone_is_still_there(text: str) -> None:
    assert credited(text) == []


def test_a_no_belongs_to_what_follows_it() -> None:
    pulse = StepWords("pulse", Words(keys=("pulse there",), absent=("no pulse",)))
    context = Context(steps=(pulse,), suggested="pulse")
    [mention] = understand("the pulse is there no breathing", context).steps
    assert not mention.denied
    [mention] = understand("there is no pulse", context).steps
    assert (mention.denied, mention.found) == (True, True)


def test_that_something_is_gone_may_be_the_bad_finding() -> None:
    pulse = StepWords("pulse", Words(keys=("pulse there",), absent=("pulse gone", "gurgling")))
    [mention] = understand("the pulse is gone", Context(steps=(pulse,))).steps
    assert (mention.denied, mention.found) == (True, True)
    [mention] = understand("the gurgling is gone", Context(steps=(pulse,))).steps
    assert not mention.denied
