"""What the coach asks before the first practice, and what it makes of the answers. Pure.

Only what the chosen skill needs and nobody has decided is asked. An answer is read back and, if it
was said, remembered; "I don't know" takes the safer published default for this time alone.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from coach.core.meaning import Command
from coach.core.units import Quantity
from coach.dialogue.lines import sentence
from coach.language.commands import answer_in, command_in
from coach.language.context import Words
from coach.language.first_answers import (
    REGION_WORDS,
    SPELLED,
    UNIT_WORDS,
    UNKNOWING,
    choice_in,
    letter_in,
    letter_phrases,
    letter_sounds,
    letter_words,
    says_not_to_know,
)
from coach.language.normal import plain
from coach.procedure.model import Setting, Skill
from coach.trade.cylinders import Cylinders, Region

REGION, UNIT, CYLINDER = "region", "pressure-unit", "cylinder"
"""Names of the settings that are asked for, as in the settings file; those of skills follow."""

FIRST = "A question or two first; say I don't know, or skip it, if you like."
REMEMBERED = "I remember that; the command coach settings changes it."
NOT_REMEMBERED = "I could not keep that: it holds for this practice."
PAUSED = "I wait: say go on, or answer."
WHY = "It decides the numbers I work with: answer, or say I don't know."
NO_ANSWER = "Nothing heard: I go on with the defaults, and ask again another time."

SURE = 0.8
"""Spoken answers heard less surely are read back for a yes (our own choice, no source)."""

MOST_MISSES = 1
"""So often a question is asked again before the default is taken."""


class Outcome(StrEnum):
    """What is to be done after an answer."""

    ASK = "ask"
    WAIT = "wait"
    OVER = "over"
    HAND_ON = "hand-on"


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: what is remembered, and how it is read back."""

    value: str
    says: str


@dataclass(frozen=True, slots=True)
class Question:
    """A question with its default, which is taken for "I don't know".

    `phrases` are likely answers, for recognisers. `alike`: the answers sound alike, so that one
    that was heard needs a yes. `again` is asked where one was misheard; "" for the same.
    """

    name: str
    asks: str
    default: Choice
    phrases: tuple[str, ...]
    alike: bool = False
    again: str = ""


@dataclass(frozen=True, slots=True)
class Needs:
    """What is to be asked for: names of settings in their order, and what is known already.

    `settings` are those of the skill that are asked for, by the name they have in the settings
    file. `cylinders` are those that may be in use. `region` counts until another is said.
    """

    names: tuple[str, ...]
    cylinders: Cylinders
    region: Region = Region.US
    settings: Mapping[str, Setting] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Interview:
    """The questions under way. `answers` were given, `assumed` are defaults taken for this time.

    `doubtful` is an answer that was read back and waits for a yes.
    """

    needs: Needs
    answers: Mapping[str, str] = field(default_factory=dict)
    assumed: Mapping[str, str] = field(default_factory=dict)
    doubtful: Choice | None = None
    misses: int = 0

    @property
    def question(self) -> Question | None:
        """What is asked now; None when all is settled."""
        settled = {**self.answers, **self.assumed}
        name = next((name for name in self.needs.names if name not in settled), None)
        return None if name is None else _question(name, self)

    @property
    def remembered(self) -> Mapping[str, str]:
        """The answers to keep: a cylinder's letter means nothing where its region is not known."""
        unknown = {CYLINDER} if REGION in self.assumed else set()
        return {name: value for name, value in self.answers.items() if name not in unknown}

    @property
    def last_settled(self) -> str:
        """The setting that was settled last; "" for none."""
        settled = [n for n in self.needs.names if n in self.answers or n in self.assumed]
        return settled[-1] if settled else ""

    @property
    def last(self) -> bool:
        """Whether no other question follows the one that is asked now."""
        return len(self.needs.names) - len(self.answers) - len(self.assumed) == 1

    @property
    def region(self) -> Region:
        """The region as far as it is known."""
        return Region(self.answers.get(REGION, self.needs.region))


def needs_of(
    skill: Skill, decided: Collection[str], cylinders: Cylinders, region: Region = Region.US
) -> Needs:
    """What to ask for before a practice of this skill; `decided` are settings that stand.

    Those of the skill are named as in the settings file ("oral-airway.landmark").
    """
    quantities = {spec.quantity for step in skill.steps for spec in step.readings}
    of_cylinders = (REGION, UNIT, CYLINDER) if Quantity.PRESSURE in quantities else ()
    settings = {
        f"{skill.id}.{name}": setting
        for name, setting in skill.settings.items()
        if setting.asks_first
    }
    names = tuple(name for name in (*of_cylinders, *settings) if name not in decided)
    return Needs(names, cylinders, region, settings)


def every_need(skill: Skill, cylinders: Cylinders, region: Region) -> Needs:
    """All that may be asked for with this skill, cylinders and gauge among it whatever it needs."""
    own = needs_of(skill, (REGION, UNIT, CYLINDER), cylinders, region)
    return replace(own, names=(REGION, UNIT, CYLINDER, *own.names))


def described(name: str, value: str, needs: Needs) -> str:
    """A setting as it is told: "a gauge in bar", "cylinder D as in delta"."""
    if name == REGION:
        return f"cylinders from {_REGIONS[Region(value)]}"
    if name == UNIT:
        return f"a gauge in {'P S I' if value == 'psi' else value}"
    if name == CYLINDER:
        return f"cylinder {letter_words(value)}"
    return needs.settings[name].options[value].says


def begin(needs: Needs) -> tuple[Interview, str]:
    """The questions, and the line that asks the first of them."""
    interview = Interview(needs)
    question = interview.question
    return interview, f"{FIRST} {question.asks}" if question else ""


def heard(
    interview: Interview, text: str, sureness: float = 1.0, typed: bool = False
) -> tuple[Interview, str, Outcome]:
    """What an utterance makes of the questions, the line to say then, and what to do.

    A spoken answer that sounds like another, was not surely heard, or ends the questions, so that
    nobody could correct it any more, is read back for a yes. "Stop" and "this is real" are for the
    session itself.
    """
    question = interview.question
    if question is None:
        return interview, "", Outcome.OVER
    if interview.doubtful is not None:
        answered = _confirmed(interview, question, interview.doubtful, text)
        if answered is not None:
            return answered
    choice = _choice(question, interview, text)
    stands = sureness >= SURE and not question.alike and not interview.last
    if choice is not None and (typed or stands):
        return _settled(interview, question, choice)
    if choice is not None:
        doubted = replace(interview, doubtful=choice, misses=0)
        return doubted, sentence(f"{choice.says}, right?"), Outcome.ASK
    command = command_in(plain(text))
    if says_not_to_know(text) or (command and command[0] in _GIVES_UP):
        return _default(interview, question)
    if command is not None:
        return _commanded(interview, question, command[0])
    if answer_in(plain(text), asked=False) == "no" and interview.last_settled:
        return _commanded(interview, question, Command.BACK)
    return _missed(interview, question)


def silent(interview: Interview) -> tuple[Interview, str, Outcome]:
    """Nothing was said for a while: ask once more, then take the defaults for all that is left."""
    question = interview.question
    if question is None:
        return interview, "", Outcome.OVER
    if interview.misses < MOST_MISSES:
        return replace(interview, misses=interview.misses + 1), question.asks, Outcome.ASK
    return interview, NO_ANSWER, Outcome.OVER


def hardly_heard(interview: Interview) -> tuple[Interview, str, Outcome]:
    """Words that were no answer, for they were not made out: asked again, but once.

    After that they may be others' talk: they decide nothing, and silence ends the questions.
    """
    question = interview.question
    if question is None:
        return interview, "", Outcome.OVER
    if interview.misses >= MOST_MISSES:
        return interview, "", Outcome.ASK
    doubtful = interview.doubtful
    again = sentence(f"{doubtful.says}, right?") if doubtful else ""
    return _missed(interview, question, again)


def phrases(interview: Interview) -> tuple[str, ...]:
    """What may be answered now, for recognisers."""
    question = interview.question
    return (*question.phrases, *UNKNOWING, "skip it", "go back") if question else ()


_GIVES_UP = frozenset({Command.SKIP, Command.NEXT})
_ASKS_AGAIN = frozenset({Command.REPEAT, Command.RESUME, Command.RESTART, Command.LEFT})
_HANDED_ON = frozenset({Command.STOP, Command.QUIET})
_TAKES_BACK = frozenset({Command.BACK, Command.UNDO})


def _commanded(
    interview: Interview, question: Question, command: Command
) -> tuple[Interview, str, Outcome]:
    if command in _HANDED_ON:
        return interview, "", Outcome.HAND_ON
    if command is Command.PAUSE:
        return interview, PAUSED, Outcome.WAIT
    if command in _TAKES_BACK and (last := interview.last_settled):
        answers, assumed = (
            {name: value for name, value in said.items() if name != last}
            for said in (interview.answers, interview.assumed)
        )
        before = Interview(interview.needs, answers, assumed)
        asked = before.question
        return before, asked.asks if asked else "", Outcome.ASK
    if command in _ASKS_AGAIN:
        return interview, question.asks, Outcome.ASK
    return interview, f"{WHY} {question.asks}", Outcome.ASK


def _confirmed(
    interview: Interview, question: Question, doubtful: Choice, text: str
) -> tuple[Interview, str, Outcome] | None:
    """What a yes or no to an answer that was read back leads to; None for anything else."""
    said = answer_in(plain(text), asked=True)
    if said == "yes":
        return _settled(interview, question, doubtful)
    if said == "no":
        return _missed(replace(interview, doubtful=None), question, question.again)
    return None


def _settled(
    interview: Interview, question: Question, choice: Choice
) -> tuple[Interview, str, Outcome]:
    """The answer stands: it is read back, and the next question asked."""
    answers = {**interview.answers, question.name: choice.value}
    now = replace(interview, answers=answers, doubtful=None, misses=0)
    return _on(now, sentence(choice.says))


def _default(interview: Interview, question: Question) -> tuple[Interview, str, Outcome]:
    """The safer published default is taken, and said to be one."""
    assumed = {**interview.assumed, question.name: question.default.value}
    now = replace(interview, assumed=assumed, doubtful=None, misses=0)
    says = question.default.says
    return _on(now, sentence(f"then I take {says}, the safer default, and ask another time"))


def _missed(
    interview: Interview, question: Question, other: str = ""
) -> tuple[Interview, str, Outcome]:
    if interview.misses >= MOST_MISSES:
        return _default(interview, question)
    again = replace(interview, misses=interview.misses + 1)
    return again, f"Sorry, I did not get that. {other or question.asks}", Outcome.ASK


def _on(interview: Interview, line: str) -> tuple[Interview, str, Outcome]:
    question = interview.question
    if question is not None:
        return interview, f"{line} {question.asks}", Outcome.ASK
    return interview, line, Outcome.OVER


def _question(name: str, interview: Interview) -> Question:
    if name == REGION:
        asks = (
            "Where do your cylinders come from: the United States, the United Kingdom, or "
            "Australia and New Zealand?"
        )
        said = tuple(phrase for ways in REGION_WORDS.values() for phrase in ways.phrases)
        return Question(name, asks, Choice(str(Region.US), _REGIONS[Region.US]), said)
    if name == UNIT:
        said = tuple(phrase for ways in UNIT_WORDS.values() for phrase in ways.phrases)
        # A number in bar that is taken for psi is far too low, and so errs on the safe side.
        return Question(name, "Does your gauge show P S I or bar?", Choice("psi", "P S I"), said)
    if name == CYLINDER:
        return _of_cylinder(interview.needs.cylinders, interview.region)
    setting = interview.needs.settings[name]
    said = tuple(phrase for ways in _words(setting).values() for phrase in ways.phrases)
    default = Choice(setting.default, setting.options[setting.default].says)
    return Question(name, sentence(setting.asks_first), default, said)


_REGIONS = {
    Region.US: "the United States",
    Region.UK: "the United Kingdom",
    Region.ANZ: "Australia and New Zealand",
}


def _of_cylinder(cylinders: Cylinders, region: Region) -> Question:
    """The default is, of the sizes named, the one that holds the least for its gauge: its time errs
    on the short side. Any other letter of the region is taken as well."""
    usual = cylinders.usual(region)
    least = min(usual, key=lambda cylinder: cylinder.litres_per_psi).letter
    named = ", ".join(letter_sounds(cylinder.letter) for cylinder in usual)
    return Question(
        CYLINDER,
        f"Which cylinder do you use: {named}, or another letter?",
        Choice(least, letter_words(least)),
        letter_phrases(cylinders.letters(region)),
        alike=True,
        again=f"Say it as a word, such as {SPELLED[usual[0].letter[0].lower()]}, or not sure.",
    )


def _choice(question: Question, interview: Interview, text: str) -> Choice | None:
    """The choice that an utterance names."""
    if question.name == REGION:
        region = choice_in(text, REGION_WORDS)
        return Choice(region, _REGIONS[Region(region)]) if region else None
    if question.name == UNIT:
        unit = choice_in(text, UNIT_WORDS)
        return Choice(unit, "P S I" if unit == "psi" else unit) if unit else None
    if question.name == CYLINDER:
        letter = letter_in(text, interview.needs.cylinders.letters(interview.region))
        return Choice(letter, letter_words(letter)) if letter else None
    setting = interview.needs.settings[question.name]
    option = choice_in(text, _words(setting))
    return Choice(option, setting.options[option].says) if option else None


def _words(setting: Setting) -> dict[str, Words]:
    """The ways to say each option: its own words, its name and how it is said."""
    return {
        name: Words(
            (*option.heard_as.phrases, option.says, name.replace("-", " ")),
            option.heard_as.keys,
        )
        for name, option in setting.options.items()
    }
