"""What each mistake of the judgement costs, and the limits that follow: two tables, no code.

The limits are those at which the mistakes on recorded hypotheses cost least
(`python -m tests.benchmarks.hypotheses choose`); a test holds them against the costs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum


class Mistake(StrEnum):
    """What can go wrong in judging a turn."""

    NEEDLESS_REPEAT = "asked again for what was said"
    NEEDLESS_YES = "a yes needed for a right number that silence could have settled"
    IGNORED = "something meant for the coach was let pass"
    QUESTION_TO_TALK = "talk that was not meant for the coach drew a question"
    WRONG_READING_STANDS = "a wrong reading stands"
    WRONG_READ_BACK = "a wrong number was read back, and has to be contradicted"
    FALSE_YES = "a yes that was not said"
    FALSE_NO = "a no that was not said"
    FALSE_STEP = "a step credited that was not done"
    FALSE_DENIAL = "a step taken back that was done"
    FALSE_STOP = "a stop or pause that was not said: the coach pauses and asks"
    FALSE_QUIET = "a 'this is real' that was not said: the coach is silent from then on"
    FALSE_COMMAND = "another command that was not said"
    MISSED_STOP = "a stop, a pause or a 'this is real' that was not obeyed"


COST_REPEATS: Mapping[Mistake, float] = {
    Mistake.NEEDLESS_REPEAT: 1.0,
    Mistake.NEEDLESS_YES: 0.5,
    Mistake.IGNORED: 2.0,
    Mistake.QUESTION_TO_TALK: 2.0,
    Mistake.WRONG_READING_STANDS: 1000.0,
    Mistake.WRONG_READ_BACK: 3.0,
    Mistake.FALSE_YES: 40.0,
    Mistake.FALSE_NO: 2.0,
    Mistake.FALSE_STEP: 10.0,
    Mistake.FALSE_DENIAL: 3.0,
    Mistake.FALSE_STOP: 2.0,
    Mistake.FALSE_QUIET: 30.0,
    Mistake.FALSE_COMMAND: 5.0,
    Mistake.MISSED_STOP: 50.0,
}
"""What each costs, in needless repeats. A wrong reading costs a thousand: minutes of oxygen follow
from it. A false yes costs a twenty-fifth of that: two to four in a hundred first read-backs are
wrong (tests.benchmarks.dialogues). A false stop only pauses and asks. A question put to people who
talk to each other is as bad as leaving the learner without an answer. A step credited is named
aloud, and can be taken back."""

OVERLOOKED_IN_SILENCE, OVERLOOKED_WITH_YES = 1 / 20, 1 / 500
"""Chance that a learner lets a wrong number pass that was read back to him, where silence is enough
and where he has to say yes to it (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How sure (0 to 1) a recogniser must be of the words for what they mean to count.

    `stands`: a number, to stand by silence alone. `number`: a number, to be read back at all.
    `out_of_range`: a number outside what the reading may show; below it is taken for a slip of the
    ear. `unasked`: a number nobody asked for; below, it is let pass. `yes`; `command`: any but
    those obeyed however faint; `step`: one said in few words; `sentence`: one said in
    WHOLE_SENTENCE_WORDS or more, which bear more slips of the ear. `likely`: words that may be
    about a step, to be asked about. `unclear`: words that mean nothing where something was asked,
    to be asked for again, if they are at most `unclear_words`: longer talk is for somebody else.
    `awaited`: words with a number in them where one was asked for; below, they are let pass.
    `stop`: a stop, a wait or a "no", which are obeyed nearly however faint; `quiet`: a "this is
    real". `fainter_db`: how much fainter than the learner a neighbour is.
    """

    stands: float = 0.99
    number: float = 0.74
    out_of_range: float = 0.9
    unasked: float = 0.9
    yes: float = 0.86
    command: float = 0.6
    step: float = 0.6
    sentence: float = 0.54
    likely: float = 0.4
    unclear: float = 0.38
    unclear_words: float = 4
    awaited: float = 0.0
    stop: float = 0.1
    quiet: float = 0.3
    fainter_db: float = 8.0


LIMITS = Limits()
"""Those in force."""


def among_talk(limits: Limits) -> Limits:
    """The limits where others talk around the learner: most of what is heard is not for the coach.

    A stop stays as easy, a "this is real" nearly; a step must be as surely meant as it is heard.
    What falls below is asked about, or let pass. Chosen on an hour of talk other than the
    benchmark's, where false actions fall from 22 to 2 and 2 of the learner's 111 turns are lost.
    """
    return replace(
        limits,
        step=0.9,
        sentence=0.9,
        command=0.9,
        number=0.9,
        out_of_range=0.95,
        unasked=0.99,
        likely=0.6,
        awaited=0.38,
        quiet=0.6,
        fainter_db=5.0,
    )
