"""What an instructor catches: words of objection held against the mistakes that showed by then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coach.drill.mistakes import Act, Mistake, Wrong
from coach.language.normal import plain
from coach.language.word_forms import same, stem
from coach.procedure.model import Skill

OBJECTS = frozenset(
    "stop wrong no wait hold not forgot forgotten missed missing before first never without too"
    " incorrect mistake careful shouldn't don't didn't haven't".split()
)
"""Words with which something is objected to."""

AGREES = frozenset("good right yes okay fine correct continue go well done next".split())
EMPTY = frozenset("the a an of to in on it is was you your did that this and at".split())
WINDOW = 2
"""A mistake is caught by a bare "stop" for so many acts; by its name, until the end."""


@dataclass(frozen=True, slots=True)
class Caught:
    """What became of the mistakes: in the order they showed; objections without a cause."""

    caught: tuple[Mistake, ...]
    missed: tuple[Mistake, ...]
    without_cause: int


def objects(text: str) -> bool:
    """Whether words object to something; praise and small talk do not."""
    words = plain(text).split()
    return bool(set(words) & OBJECTS) and not (set(words) <= AGREES)


def what_was_caught(
    acts: Sequence[Act], said: Sequence[tuple[str, ...]], names: Mapping[str, str]
) -> Caught:
    """`said` has what was heard after each act, in the same order; `names` are those of the steps
    and acts that mistakes are about, by id.

    An objection catches the mistake it names, if that has shown; else the newest that showed
    within the last acts.
    """
    shown: list[tuple[int, Mistake]] = []
    caught: list[Mistake] = []
    without = 0
    for number, (act, words) in enumerate(zip(acts, said, strict=True)):
        shown += [(number, mistake) for mistake in act.shows]
        for text in words:
            if not objects(text):
                continue
            open_ = [(at, m) for at, m in shown if m not in caught]
            named = [m for _, m in open_ if _names(text, names.get(m.about, ""))]
            recent = [m for at, m in open_ if number - at < WINDOW]
            if named or recent:
                caught.append((named or recent[::-1])[0])
            else:
                without += 1
    every = [mistake for _, mistake in shown]
    return Caught(
        tuple(m for m in every if m in caught),
        tuple(m for m in every if m not in caught),
        without,
    )


def names_in(skill: Skill) -> dict[str, str]:
    """The names of the steps and forbidden acts of a skill, by id."""
    steps = {step.id: step.name for step in skill.steps}
    return steps | {act.id: act.name for act in skill.forbidden if act.id not in steps}


def _names(text: str, name: str) -> bool:
    """Whether the words name the step, or the act, that the mistake is about."""
    heard = [stem(word) for word in plain(text).split() if word not in EMPTY]
    keys = [stem(word) for word in plain(name).split() if word not in EMPTY]
    return any(same(key, word) for key in keys for word in heard)


def told(caught: Caught) -> tuple[str, ...]:
    """What is said afterwards: how many were caught, each that was not and why it is wrong."""
    every = len(caught.caught) + len(caught.missed)
    if not every:
        return ("There was no mistake to catch.",)
    lines = [f"You caught {len(caught.caught)} of {every} mistake{'' if every == 1 else 's'}."]
    lines += [_not_caught(mistake) for mistake in caught.missed]
    if caught.without_cause:
        times = "once" if caught.without_cause == 1 else f"{caught.without_cause} times"
        lines.append(f"You objected {times} where nothing was wrong.")
    return tuple(lines)


def _not_caught(mistake: Mistake) -> str:
    because = mistake.because.strip().rstrip(".")
    if mistake.wrong is Wrong.NUMBER:
        return f"Not caught: {mistake.says}. {because[:1].upper()}{because[1:]}."
    return f"Not caught: {mistake.says}, because {because}."
