"""Whether what a skill listens for can be heard at all, and as the step that it is written for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from coach.app.word_blocks import WordBlock, blocks_of
from coach.app.word_clashes import allowed_and_forbidden, borrowed, colliding
from coach.core.meaning import Meaning, Part
from coach.core.problem import Problem
from coach.edges.local_program_file import load_local_program
from coach.edges.skill_files import read_skill
from coach.edges.skill_folders import skill_beside
from coach.edges.skill_text import read_text, shown
from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand
from coach.procedure.resolve import mapping
from coach.procedure.skill_file import SkillFile
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, read_tree
from coach.procedure.yaml_tree import Path as Place

_NOT_WRITTEN = re.compile("[^a-z'\u2019 ,.\\-]", re.IGNORECASE)
"""What the recogniser cannot write: it knows the letters of English and the apostrophe."""

_NOT_DONE = re.compile(
    r"\b(?:i|we) (?:did|do|have|had|am|are|was|were|will)(?: not|n't)\b|^(?:no|not|never|without)\b"
)
"""A denial of one's own act; what a learner does not find or feel is often good news."""

_HAS_NONE = re.compile(r"^(?:(?:i|we) have|(?:i|we)'ve got|(?:i|we) got) no\b")
"""Somebody who has none of it: said for a step, it is good news only where that has a finding."""

_SMALL = frozenset(
    "a an the it it's its is are was were be i i'm i've i'll you he she they we he's she's and or "
    "of to in on at for with from by this that there there's here now then okay so my his her "
    "their your our do does did have has had got get me him them us as".split()
)
"""Words that tell of nothing by themselves."""


def word_problems(path: Path) -> tuple[Problem, ...]:
    """Every line of a sound skill file that cannot be heard, or is heard as another step.

    Empty for a file with other mistakes, which come first.
    """
    skill_file = read_skill(path).skill_file
    tree, _ = read_tree(read_text(path), shown(path))
    if skill_file is None or tree is None:
        return ()
    found = (
        Problem(shown(path), tree.line(where), message)
        for where, message in word_mistakes(skill_file)
    )
    return tuple(sorted(set(found)))


def program_word_problems(path: Path) -> Iterator[Problem]:
    """What is wrong with the words of skills as a sound file of a program's own rules has them, at
    the line of the skill there."""
    program = load_local_program(path)
    for name, change in program.skills.items():
        written = None if change.off else skill_beside(name, path.parent)
        skill_file = read_skill(written, program).skill_file if written else None
        for _, message in () if skill_file is None else word_mistakes(skill_file):
            told = f"with these changes skill '{name}' is not sound: {message}"
            yield Problem(shown(path), change.line, told)


def word_mistakes(skill_file: SkillFile) -> Iterator[Mistake]:
    """Every line of words that cannot be written, that its own step or forbidden act does not
    hear, that two steps claim which may be done at the same time, or that is another step's."""
    root = mapping({**skill_file.written})
    blocks = blocks_of(root)
    for block in blocks:
        yield from _unwritten(root, block)
        yield from _unheard(root, block)
        yield from _said_by_everybody(root, block)
    told = list(colliding(root, blocks))
    yield from told
    colliding_already = {path for path, _ in told}
    yield from (one for one in borrowed(root, blocks) if one[0] not in colliding_already)
    yield from allowed_and_forbidden(root, blocks)


def _unwritten(root: dict[str, Json], block: WordBlock) -> Iterator[Mistake]:
    """Lines of which some word has no spelling that the recogniser could write."""
    for number, text in enumerate(block.words.phrases):
        found = _NOT_WRITTEN.search(text)
        if found:
            path = (*block.path, "phrases", number)
            yield path, _not_written(root, path, text, found[0])
    keyed = [
        ((*block.path, key, number), line)
        for key in ("keys", "absent")
        for number, line in enumerate(getattr(block.words, key))
    ]
    for path, line in (*keyed, *block.wrong):
        for word in line.split():
            marks = [_NOT_WRITTEN.search(form) for form in word.split("/")]
            bad = [mark[0] for mark in marks if mark]
            if len(bad) == len(marks):
                yield path, _not_written(root, path, word, bad[0])


def _not_written(root: dict[str, Json], path: Place, text: str, mark: str) -> str:
    what = "figures" if mark.isdigit() else f"'{mark}'"
    return (
        f'{place(root, path)} has {what} in "{text}", which the recogniser cannot write: spell '
        "it in English letters, numbers in words."
    )


def _unheard(root: dict[str, Json], block: WordBlock) -> Iterator[Mistake]:
    """Phrases that do not tell of their step even while the coach waits for just that step."""
    context = _waiting_for(block)
    for number, phrase in enumerate(block.words.phrases):
        meaning = understand(phrase, context)
        path = (*block.path, "phrases", number)
        if not block.forbidden and _says_not_done(phrase, block):
            yield (
                path,
                f'{place(root, path)}, "{phrase}", says that the step was not done, and would be '
                "taken for done: take it out.",
            )
        elif not _tells(meaning, block):
            yield (
                path,
                f'{place(root, path)}, "{phrase}", can never match: it is understood as '
                f"{_instead(meaning)}, so word it otherwise or take it out.",
            )


def _said_by_everybody(root: dict[str, Json], block: WordBlock) -> Iterator[Mistake]:
    """Lines of keys of which one word is enough that any sentence may have."""
    for key in ("keys", "absent"):
        for number, line in enumerate(getattr(block.words, key)):
            forms = line.split("/") if len(line.split()) == 1 else []
            small = next((form for form in forms if form.lower() in _SMALL), None)
            if small is not None:
                path = (*block.path, key, number)
                yield (
                    path,
                    f'{place(root, path)}, "{line}", is enough with "{small}" alone, which any '
                    "sentence may have: add a word that tells of this step.",
                )


def _waiting_for(block: WordBlock) -> Context:
    """The moment at which the coach waits for just that step."""
    step = _step_words(block)
    return Context((step,), suggested=block.step, due=frozenset({block.step}))


def _says_not_done(phrase: str, block: WordBlock) -> bool:
    """Whether a learner who says so tells that he did not do it, by the step's other words."""
    said = phrase.lower().replace("\u2019", "'")
    if not _NOT_DONE.search(said) and not _HAS_NONE.search(said):
        return False
    others = tuple(other for other in block.words.phrases if other != phrase)
    without = replace(block, words=replace(block.words, phrases=others))
    meaning = understand(phrase, _waiting_for(without))
    if _HAS_NONE.search(said):
        return not _tells(meaning, without)
    return any(mention.step == block.step and mention.denied for mention in meaning.steps)


def _step_words(block: WordBlock) -> StepWords:
    wrong = tuple(line for _, line in block.wrong)
    words = Words(block.words.phrases, block.words.keys, block.words.absent, wrong)
    if block.option:
        return StepWords(block.step, choices={block.option: words})
    if block.forbidden:
        return StepWords(block.step, words, forbidden=True)
    if block.part is Part.CLOCK_START:
        return StepWords(block.step, clock_start=words)
    if block.part is Part.CLOCK_END:
        return StepWords(block.step, clock_end=words)
    return StepWords(block.step, words)


def _tells(meaning: Meaning, block: WordBlock) -> bool:
    return any(
        mention.step == block.step and mention.part is block.part and not mention.denied
        for mention in meaning.steps
    )


def _instead(meaning: Meaning) -> str:
    if meaning.command is not None:
        return f"the command {meaning.command}"
    if meaning.steps:
        return "a denial"
    if meaning.answer is not None:
        return f"a {meaning.answer}"
    if meaning.readings:
        return "a number"
    if meaning.likely:
        return "something hedged, planned or only likely"
    return "nothing"
