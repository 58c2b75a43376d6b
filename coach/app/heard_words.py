"""Whether what a skill listens for can be heard at all, and as the step that it is written for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
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
from coach.procedure.resolve import listed, mapping
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

_WORD = re.compile("[a-z']+")

_SMALL = frozenset(
    "a an the it it's its is are was were be i i'm i've i'll you he she they we he's she's and or "
    "of to in on at for with from by this that there there's here now then okay so my his her "
    "their your our do does did have has had got get me him them us as".split()
)
"""Words that tell of nothing by themselves."""


_FILLERS = frozenset(
    "um uh er erm ah oh hm hmm mm well okay ok alright right so like please now then just yeah"
    " hey".split()
)
"""Words that people say while they think of what to say."""

_I_DID_NOT = re.compile(r"\b(?:i|we) (?:(?:did|do|have|had|will)(?: not|n't)|won't|never)\b")
"""A denial of one's own act, in so many words."""

_LEAVES_IT = re.compile(r"\b(?:not|never|no|nothing|without|leave|keep|stop|avoid)\b|n't\b")
"""What is done at a step whose act is to do nothing."""


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
        yield from _only_denied(root, block)
    yield from _ended_as_begun(root)
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
    """Lines of keys of which one word is enough that any sentence may have, and phrases of words
    that mean nothing."""
    for number, phrase in enumerate(block.words.phrases):
        if _FILLERS.issuperset(_WORD.findall(phrase.lower())):
            path = (*block.path, "phrases", number)
            yield (
                path,
                f'{place(root, path)}, "{phrase}", has no word that means anything, and anybody '
                "may say it while thinking: add a word that tells of this step.",
            )
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


def _only_denied(root: dict[str, Json], block: WordBlock) -> Iterator[Mistake]:
    """Denials of one's own act that no other words of the step show to be good news.

    They would be taken for done, unless the act is to leave something.
    """
    if block.part is not Part.DONE or block.option or block.forbidden:
        return
    steps = (mapping(step) for step in listed(root.get("steps")))
    step = next((step for step in steps if step.get("id") == block.step), {})
    said = (part.get("say") for part in (step, *map(mapping, listed(step.get("variants")))))
    if any(_LEAVES_IT.search(str(text).lower()) for text in said):
        return
    for number, phrase in enumerate(block.words.phrases):
        if not _I_DID_NOT.search(phrase.lower().replace("\u2019", "'")):
            continue
        others = tuple(other for other in block.words.phrases if other != phrase)
        without = replace(block, words=replace(block.words, phrases=others))
        if not understand(phrase, _waiting_for(without)).steps:
            path = (*block.path, "phrases", number)
            yield (
                path,
                f'{place(root, path)}, "{phrase}", denies an act, and nothing else tells that the '
                "step is done by not doing it: it would be taken for done, so take it out.",
            )


def _ended_as_begun(root: dict[str, Json]) -> Iterator[Mistake]:
    """What begins and ends the time of a step by the same words: it would have no time."""
    for number, step in enumerate(listed(root.get("steps"))):
        variants = enumerate(listed(mapping(step).get("variants")))
        parts: list[tuple[Place, Json]] = [((), step)]
        parts += [(("variants", position), variant) for position, variant in variants]
        for (inside, part), key in product(parts, ("clock", "pace")):
            timed = mapping(mapping(part).get(key))
            begins = {line for _, line in _plain_lines(timed.get("start"))}
            for where, line in _plain_lines(timed.get("end")):
                if line in begins:
                    path = ("steps", number, *inside, key, "end", *where)
                    yield (
                        path,
                        f"{place(root, path)} is what begins it as well: nobody could tell the end "
                        "from the beginning, so give each its own words.",
                    )


def _plain_lines(words: Json) -> Iterator[tuple[Place, tuple[str, ...]]]:
    """The phrases and lines of keys, each with its place, in the words that are told apart by
    ear: "feeling for a pulse" is not "I feel a pulse"."""
    for key in ("phrases", "keys"):
        for number, line in enumerate(listed(mapping(words).get(key))):
            said = re.findall("[a-z'/]+", str(line).lower())
            yield (key, number), tuple(word for word in said if word not in _SAID_OR_NOT)


_SAID_OR_NOT = _FILLERS | frozenset("i i'm i've we we're we've a an the".split())
"""Words that part no beginning from an end."""


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
