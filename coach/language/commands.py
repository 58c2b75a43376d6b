"""Commands and answers: the everyday words for each, and how they are told from other talk."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from rapidfuzz import fuzz, process

from coach.core.meaning import Command
from coach.language.command_more import MORE_TEMPLATES
from coach.language.command_words import (
    COMMAND_TEMPLATES,
    DONE_TEMPLATES,
    FILLERS,
    FINISHED_TEMPLATES,
    HEDGED_TEMPLATES,
    NO_TEMPLATES,
    OKAY_TEMPLATES,
    QUIET_PHRASES,
    UNSURE_TEMPLATES,
    YES_TEMPLATES,
)
from coach.language.hedges import is_only_hedge, without_hedges
from coach.language.number_context import QUANTITY_NAMES
from coach.language.templates import expanded

_LEAD = re.compile(
    r"^(?:(?:um|uh|er|ah|oh|hi|hello|oops|whoops|well|so|okay|ok|hey|coach|please|now|and"
    r"|alright|all right|sorry|can you please|could you please|just) )+"
)
_TAIL = re.compile(
    r"(?: (?:please|coach|now|then|okay|ok|thanks|thank you|for me|um|uh|again please|right now))+$"
)
QUESTION_PATTERNS = (
    (
        re.compile(
            r"(?:why|how come)\b"
            r"(?! (?:did|didn't|was|wasn't|are|were) (?:he|she|they|you)\b| is it so)|"
            r"what(?:'s| is) the (?:point|reason)\b"
        ),
        Command.WHY,
    ),
    (
        re.compile(
            r"how (?:do(?! you feel\b)|should|can|would|must|exactly|deep|far|hard|tight|big|fast"
            r"|wide)\b"
            r"(?! (?:i|we) (?:have|got)| along are you| apart are the (?:pains|contractions))"
            r"|(?:show|teach) me(?! (?:your|two|three|how many)\b)|explain\b"
            r"|describe (?:that|this|it)\b"
            r"|tell me (?:more|how|about)\b|remind me how\b"
        ),
        Command.HOW,
    ),
    (
        re.compile(r"how (?:long|much time|many minutes)\b.*\b(?:left|got|last|have)\b"),
        Command.TIME,
    ),
    (re.compile(r"how much oxygen\b"), Command.TIME),
)
"""Questions that begin so are about the step in hand, whatever follows."""

LONGEST_QUESTION = 12
REQUEST_HEAD = re.compile(
    r"^(?:(?:can|could|may|shall|should) (?:we|i|you)(?: please)?|let's|let us|let me|i want to|"
    r"i'd like to|i would like to|i wanna|we should|we can|would you|i think we should|"
    r"(?:no )?that's not right|(?:no )?that's wrong|no wait|wait no) "
)
"""How a command is asked for: "can we go back one step"."""

REFUSALS = frozenset({"no", "nope", "nah", "negative"})
_CORRECTING = re.compile(r"^(?:(?:wait|sorry|i mean|actually|oops|hold on|hang on|but|oh|um|uh) )+")

FUZZY_RATIO = 91.0
SHORTEST_FUZZY = 9


def bare(text: str) -> str:
    """The text without the words that carry nothing at either end, unless nothing else is left."""
    stripped = _TAIL.sub("", _LEAD.sub("", text))
    words = stripped.split()
    if len(words) > 1 and len(set(words)) == 1:
        stripped = words[0]
    return stripped or text


@cache
def _commands() -> dict[str, Command]:
    return {
        phrase: command
        for ways in (MORE_TEMPLATES, COMMAND_TEMPLATES)
        for command, templates in ways.items()
        for template in templates
        for phrase in expanded(template)
        if phrase
    }


@cache
def _commands_as_long_as(letters: int) -> tuple[str, ...]:
    """The commands that a text of so many letters may be, heard wrong in a few of them.

    At best all letters of the shorter one are found: the ratio is twice those over both lengths.
    """
    return tuple(
        phrase
        for phrase in _commands()
        if 200.0 * min(letters, len(phrase)) >= FUZZY_RATIO * (letters + len(phrase))
    )


@cache
def phrases_of(templates: tuple[str, ...]) -> frozenset[str]:
    """Every phrase of several templates."""
    return frozenset(phrase for t in templates for phrase in expanded(t) if phrase)


def command_phrases() -> tuple[str, ...]:
    """Every way to give a command, for recognisers."""
    told = (phrases_of(templates) for templates in COMMAND_TEMPLATES.values())
    return (*(phrase for phrases in told for phrase in sorted(phrases)), *QUIET_PHRASES)


def examples(most: int = 5) -> dict[str, list[str]]:
    """A few everyday ways to give each command, by its name, for people to read."""
    firsts = {
        str(command): list(dict.fromkeys(expanded(t)[0] for t in templates))[:most]
        for command, templates in COMMAND_TEMPLATES.items()
    }
    return {**firsts, str(Command.QUIET): list(QUIET_PHRASES[:most])}


def answer_phrases() -> tuple[str, ...]:
    """Every way to answer where a yes or no has been asked for, for recognisers."""
    plain = YES_TEMPLATES + OKAY_TEMPLATES + NO_TEMPLATES
    return tuple(sorted(phrases_of(plain + HEDGED_TEMPLATES)))


def says_quiet(text: str) -> bool:
    """Whether the utterance says that this is no exercise."""
    padded = f" {text} "
    return any(f" {phrase} " in padded for phrase in QUIET_PHRASES) and not text.startswith(
        ("is this", "if this", "pretend")
    )


def command_in(text: str) -> tuple[Command, float] | None:
    """The command an utterance is as a whole, with a confidence; None when it is none."""
    if says_quiet(text):
        return Command.QUIET, 1.0
    commands = _commands()
    for form in (text, bare(text)):
        if form in commands:
            return commands[form], 1.0
    asked = REQUEST_HEAD.sub("", bare(text))
    if asked != text and bare(asked) in commands:
        return commands[bare(asked)], 0.95
    twice = _said_twice(text)
    if twice is not None:
        return twice, 0.95
    form = bare(text)
    for pattern, command in QUESTION_PATTERNS:
        if pattern.match(form) and len(form.split()) <= LONGEST_QUESTION:
            return command, 0.9
    if len(form) < SHORTEST_FUZZY:
        return None
    near = _commands_as_long_as(len(form))
    found = process.extractOne(form, near, scorer=fuzz.ratio, score_cutoff=FUZZY_RATIO)
    if found is None or _negation(form) != _negation(found[0]):
        return None
    if (set(form.split()) - set(found[0].split())) & QUANTITY_NAMES.keys():
        return None  # "what's the pulse" asks for a number, not for the purpose
    return commands[found[0]], round(found[1] / 100.0, 3)


def _said_twice(text: str) -> Command | None:
    """The command that both halves of an utterance give: "ready when you are, let's begin"."""
    words = text.split()
    commands = _commands()
    for cut in range(1, len(words)):
        one, other = (bare(" ".join(part)) for part in (words[:cut], words[cut:]))
        if one in commands and commands.get(other) is commands[one]:
            return commands[one]
    return None


def _negation(text: str) -> bool:
    return bool(re.search(r"\b(?:not|no|never|nothing)\b|n't\b", text))


def answer_in(text: str, asked: bool) -> str | None:
    """ "yes" or "no" when the utterance as a whole is an answer; `asked` when one is awaited."""
    for form in (text, bare(text)):
        if form in phrases_of(NO_TEMPLATES):
            return "no"
        if form in phrases_of(YES_TEMPLATES):
            return "yes"
        if asked and form in phrases_of(OKAY_TEMPLATES):
            return "yes"
    return None


def contradiction(after_yes: Sequence[str]) -> str | None:
    """What a "no" after a yes makes of it: "corrected" ("yes, wait, no"), or "unclear" ("yes no").

    A yes that is no clear yes is none: a number would come to stand by it.
    """
    text = " ".join(after_yes)
    rest = _CORRECTING.sub("", text)
    if answer_in(rest, True) == "no":
        return "corrected" if rest != text else "unclear"
    *before, last = after_yes
    ends = last in REFUSALS and (not before or answer_in(" ".join(before), True) == "yes")
    return "unclear" if ends else None


def is_hedged_answer(words: Sequence[str]) -> bool:
    """Whether the words are a yes with a doubt: "I think so", "probably", "I guess that's right".

    No number comes to stand by it, and no step is credited.
    """
    if words[:1] and words[0] in {"yes", "yeah", "yep", "yup"}:
        return is_hedged_answer(words[1:])
    rest, doubted = without_hedges(words)
    if " ".join(words) in phrases_of(HEDGED_TEMPLATES):
        return True
    said = bare(rest)
    return doubted and (not said or answer_in(said, True) == "yes" or is_only_hedge(words))


def says_nothing(text: str) -> bool:
    """Whether the utterance is only a filler that needs no reply."""
    return text in FILLERS


def says_done(text: str) -> bool:
    """Whether the utterance as a whole says that a step is done, without naming it."""
    return text in phrases_of(DONE_TEMPLATES) or bare(text) in phrases_of(DONE_TEMPLATES)


def says_finished(text: str) -> bool:
    """Whether the utterance as a whole says that the learner is through with everything."""
    return {text, bare(text)} & phrases_of(FINISHED_TEMPLATES) != set()


def says_unsure(text: str) -> bool:
    """Whether the utterance as a whole says that the learner does not know."""
    return {text, bare(text)} & phrases_of(UNSURE_TEMPLATES) != set()


def leading_answer(words: Sequence[str], pause: bool, parted: bool) -> tuple[str, int] | None:
    """An answer at the head of a longer utterance ("no, sixteen hundred") and its length in words.

    Without a `pause` after it a "no" may belong to what follows ("no leaks"): the caller decides.
    `parted`: a "right" does not belong to the next word ("right nostril").
    """
    if len(words) < 2:
        return None
    head = words[0]
    if head in {"yes", "yeah", "yep", "yup", "affirmative"}:
        return "yes", 1
    if head in {"correct", "right"} and parted:
        return "yes", 1
    if head in {"nope", "nah", "negative"} or (head == "wrong" and parted):
        return "no", 1
    if head == "no" and pause:
        return "no", 1
    return None
