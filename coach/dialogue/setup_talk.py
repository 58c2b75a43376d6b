"""What the coach answers to talk about its settings, and which questions it asks anew. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from coach.dialogue.first_questions import (
    CYLINDER,
    REGION,
    UNIT,
    Interview,
    Needs,
    Outcome,
    described,
    heard,
)
from coach.dialogue.lines import listed, sentence
from coach.language.setup_talk import About, SetupTalk

NOT_NOW = "Not amid an attempt: say that before you begin, or when it is over."
UNCHANGED = "Nothing is changed."
NOTHING_KNOWN = "Nobody has told me anything yet."


@dataclass(frozen=True, slots=True)
class Known:
    """The settings as they are: their values by name, and which of them somebody has given."""

    values: Mapping[str, str]
    given: Collection[str]

    def with_answers(self, answers: Mapping[str, str]) -> Known:
        """The same after answers were given."""
        return Known({**self.values, **answers}, {*self.given, *answers})


def told(known: Known, needs: Needs) -> str:
    """What is known, in two sentences: what was told, and which defaults are taken."""
    given = [described(n, known.values[n], needs) for n in needs.names if n in known.given]
    taken = [described(n, known.values[n], needs) for n in needs.names if n not in known.given]
    first = sentence(f"you told me {listed(given)}") if given else NOTHING_KNOWN
    return f"{first} {sentence(f'by default I take {listed(taken)}')}" if taken else first


def questions_for(talk: SetupTalk, needs: Needs) -> Needs | None:
    """What has to be asked for such talk; None where the skill has no such setting.

    A letter means nothing without its region, so with another region it is asked for as well.
    """
    names: tuple[str, ...]
    match talk.about:
        case About.ANEW:
            names = needs.names
        case About.REGION:
            names = (REGION, CYLINDER)
        case About.UNIT:
            names = (UNIT,)
        case About.CYLINDER:
            names = (CYLINDER,)
        case _:
            names = tuple(
                n for n in needs.settings if n.endswith("." + talk.name.replace(" ", "-"))
            )
    return replace(needs, names=names) if names else None


def answered_at_once(
    needs: Needs, talk: SetupTalk, sureness: float, typed: bool
) -> tuple[Interview, str, Outcome] | None:
    """What the answer that came with the talk leads to ("use bar"); None where it is none."""
    interview, line, outcome = heard(Interview(needs), talk.value, sureness, typed)
    given = interview.doubtful is not None or interview.answers
    return (interview, line, outcome) if given else None
