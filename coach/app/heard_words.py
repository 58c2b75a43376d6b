"""Whether what a skill listens for can be heard at all, and as the step that it is written for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import permutations, product
from pathlib import Path

from coach.core.meaning import Meaning, Part
from coach.core.problem import Problem
from coach.edges.local_program_file import load_local_program
from coach.edges.skill_files import read_skill
from coach.edges.skill_folders import skill_paths
from coach.edges.skill_text import read_text, shown
from coach.language.context import Context, StepWords, Words
from coach.language.lines import key_line, phrase_words
from coach.language.understand import understand
from coach.procedure.filler import Filler
from coach.procedure.model import HeardAs
from coach.procedure.resolve import Choices, every_choice, facts_of, listed, mapping, written_fields
from coach.procedure.skill_file import SkillFile
from coach.procedure.standing import Standing, settings_named
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

_LONGEST_LINE = 6
"""Words of a line that are tried in every order; longer ones are never said by chance."""


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
    program, paths = load_local_program(path), skill_paths()
    for name, change in program.skills.items():
        skill_file = None if change.off else read_skill(paths[name], program).skill_file
        for _, message in () if skill_file is None else word_mistakes(skill_file):
            told = f"with these changes skill '{name}' is not sound: {message}"
            yield Problem(shown(path), change.line, told)


def word_mistakes(skill_file: SkillFile) -> Iterator[Mistake]:
    """Every line of words that cannot be written, that its own step does not hear, or that two
    steps claim which may be done at the same time."""
    root = mapping({**skill_file.written})
    blocks = _blocks(root)
    for block in blocks:
        yield from _unwritten(root, block)
        yield from _unheard(root, block)
        yield from _said_by_everybody(root, block)
    yield from _colliding(root, blocks)


@dataclass(frozen=True)
class _Block:
    """One `heard-as` as it stands with some choice; `part` is what of the step it tells.

    `wrong` are the lines that refuse the step from the beginning, each with its path.
    """

    step: str
    path: Place
    words: HeardAs
    part: Part = Part.DONE
    option: str = ""
    wrong: tuple[tuple[Place, str], ...] = ()

    @cached_property
    def lines(self) -> tuple[tuple[Place, str, tuple[frozenset[str], ...]], ...]:
        """Each phrase and line of keys: its path, its text, and which stems are enough where."""
        phrases = (
            ((*self.path, "phrases", n), text, tuple(frozenset({w}) for w in phrase_words(text)))
            for n, text in enumerate(self.words.phrases)
        )
        keys = (
            ((*self.path, "keys", n), text, key_line(text))
            for n, text in enumerate(self.words.keys)
        )
        return (*phrases, *keys)


def _blocks(root: dict[str, Json]) -> list[_Block]:
    """Every block of words, once for each way in which braces fill it."""
    facts = facts_of(root.get("settings"))
    found: dict[tuple[Place, HeardAs, object], _Block] = {}
    steps = listed(root.get("steps"))
    named = [settings_named(step) for step in steps]
    seen: set[tuple[int, tuple[str | None, ...]]] = set()
    for choices in every_choice(facts):
        filler = Filler(choices, facts)
        for number, step in enumerate(steps):
            way = number, tuple(map(choices.get, named[number]))
            if way in seen:
                continue
            seen.add(way)
            for block in _of_step(step, ("steps", number), choices, filler):
                found.setdefault((block.path, block.words, block.wrong), block)
    for path, option, step_id in _choosing(root):
        words = Filler({}, {}).heard_as(mapping(option).get("heard-as"))
        name = str(path[-1])
        found.setdefault(
            ((*path, "heard-as"), words, ()),
            _Block(step_id, (*path, "heard-as"), words, option=name),
        )
    return list(found.values())


def _of_step(step: Json, path: Place, choices: Choices, filler: Filler) -> Iterator[_Block]:
    fields = written_fields(step, choices)
    if fields is None:
        return
    name = str(mapping(step).get("id"))
    where, heard = fields["heard-as"]
    yield _Block(name, (*path, *where), filler.heard_as(heard), wrong=_wrong(fields, path, filler))
    where, clock = fields.get("clock", ((), None))
    for key, part in (("start", Part.CLOCK_START), ("end", Part.CLOCK_END)):
        if mapping(clock).get(key) is not None:
            words = filler.heard_as(mapping(clock)[key])
            yield _Block(name, (*path, *where, key), words, part)


def _wrong(
    fields: dict[str, tuple[Place, Json]], path: Place, filler: Filler
) -> tuple[tuple[Place, str], ...]:
    where, written = fields.get("wrong", ((), None))
    return tuple(
        ((*path, *where, number, "words", line), text)
        for number, one in enumerate(listed(written))
        if "from" not in mapping(one)
        for line, text in enumerate(filler.texts(mapping(one)["words"]))
    )


def _choosing(root: dict[str, Json]) -> Iterator[tuple[Place, Json, str]]:
    """Options that a step's words decide, with the first such step."""
    deciding: dict[str, str] = {}
    for step in listed(root.get("steps")):
        for part in (step, *listed(mapping(step).get("variants"))):
            if "chooses" in mapping(part):
                deciding.setdefault(str(mapping(part)["chooses"]), str(mapping(step).get("id")))
    for name, step_id in deciding.items():
        options = mapping(mapping(mapping(root.get("settings")).get(name)).get("options"))
        for option, written in options.items():
            if "heard-as" in mapping(written):
                yield ("settings", name, "options", option), written, step_id


def _unwritten(root: dict[str, Json], block: _Block) -> Iterator[Mistake]:
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


def _unheard(root: dict[str, Json], block: _Block) -> Iterator[Mistake]:
    """Phrases that do not tell of their step even while the coach waits for just that step."""
    context = _waiting_for(block)
    for number, phrase in enumerate(block.words.phrases):
        meaning = understand(phrase, context)
        path = (*block.path, "phrases", number)
        if _says_not_done(phrase, block):
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


def _said_by_everybody(root: dict[str, Json], block: _Block) -> Iterator[Mistake]:
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


def _waiting_for(block: _Block) -> Context:
    """The moment at which the coach waits for just that step."""
    step = _step_words(block)
    return Context((step,), suggested=block.step, due=frozenset({block.step}))


def _says_not_done(phrase: str, block: _Block) -> bool:
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


def _step_words(block: _Block) -> StepWords:
    wrong = tuple(line for _, line in block.wrong)
    words = Words(block.words.phrases, block.words.keys, block.words.absent, wrong)
    if block.option:
        return StepWords(block.step, choices={block.option: words})
    if block.part is Part.CLOCK_START:
        return StepWords(block.step, clock_start=words)
    if block.part is Part.CLOCK_END:
        return StepWords(block.step, clock_end=words)
    return StepWords(block.step, words)


def _tells(meaning: Meaning, block: _Block) -> bool:
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


def _colliding(root: dict[str, Json], blocks: list[_Block]) -> Iterator[Mistake]:
    """Lines by which the same words tell of two steps, either of which may be next."""
    lines = [
        (block, path, text, line)
        for block in blocks
        if block.part is Part.DONE and not block.option
        for path, text, line in block.lines
        if 0 < len(line) <= _LONGEST_LINE
    ]
    by_word: dict[tuple[int, str], list[int]] = {}
    for number, (_, _, _, line) in enumerate(lines):
        for word in frozenset[str]().union(*line):
            by_word.setdefault((len(line), word), []).append(number)
    together = _Together(root)
    told: set[tuple[Place, str]] = set()
    for number, (block, path, text, line) in enumerate(lines):
        near = {other for word in line[0] for other in by_word[len(line), word] if other < number}
        for earlier, _, other_text, other_line in (lines[other] for other in sorted(near)):
            if earlier.step == block.step or (path, earlier.step) in told:
                continue
            if _meet(line, other_line) and together.may_both_be_due(block, earlier):
                told.add((path, earlier.step))
                yield (
                    path,
                    f"{place(root, path)}, \"{text}\", is heard as step '{earlier.step}' as well "
                    f'("{other_text}"), and either may be next: add a word that only one has, or '
                    "let one come after the other.",
                )


def _meet(one: tuple[frozenset[str], ...], other: tuple[frozenset[str], ...]) -> bool:
    """Whether the same words satisfy both lines, in any order."""
    return any(all(a & b for a, b in zip(one, order, strict=True)) for order in permutations(other))


class _Together:
    """Which steps may be there, and due, at the same time."""

    def __init__(self, root: dict[str, Json]) -> None:
        steps = listed(root.get("steps"))
        self._steps = {str(mapping(step).get("id")): mapping(step) for step in steps}
        self._standing = Standing(steps)
        facts = facts_of(root.get("settings"))
        self._deciding = {name: facts[name] for name in facts if name in self._standing.deciding}
        self._comes_after = {
            str(mapping(c).get("id")): str(mapping(c).get("after"))
            for c in listed(root.get("complications"))
        }
        self._known: dict[tuple[Place, Place], bool] = {}

    def may_both_be_due(self, one: _Block, other: _Block) -> bool:
        """Whether some choice brings both blocks, with neither step after the other."""
        pair = (one.path, other.path)
        if pair not in self._known:
            self._known[pair] = self._look(one, other)
        return self._known[pair]

    def _look(self, one: _Block, other: _Block) -> bool:
        complications = {self._steps[block.step].get("complication") for block in (one, other)}
        if len(complications - {None}) > 1:
            return False  # one complication comes in a session
        for choices in every_choice(self._deciding):
            present = self._standing.present(choices)
            fields = {str(self._standing.id_at(position)): own for position, own in present}
            stands = all(
                (own := fields.get(block.step)) is not None and own["heard-as"][0] == block.path[2:]
                for block in (one, other)
            )
            if not stands:
                continue
            waits = any(
                second in self._before(first, fields)
                for first, second in product((one.step, other.step), repeat=2)
            )
            if not waits:
                return True
        return False

    def _before(self, step: str, fields: dict[str, dict[str, tuple[Place, Json]]]) -> set[str]:
        """Every step that has to be done before it, in turn."""
        seen: set[str] = set()
        waiting = [step]
        while waiting:
            own = fields.get(waiting.pop()) or {}
            firsts = [str(mapping(f).get("step")) for f in listed(own.get("after", ((), None))[1])]
            complication = own.get("complication", ((), None))[1]
            if complication in self._comes_after:
                firsts.append(self._comes_after[str(complication)])
            for first in firsts:
                if first not in seen:
                    seen.add(first)
                    waiting.append(first)
        return seen
