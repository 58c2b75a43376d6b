"""Lines of words by which two steps may be meant, either of which may be next, or one at once after
the other, or a step and an act that must not happen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, permutations, product

from coach.app.word_blocks import WordBlock, own_words_of
from coach.core.meaning import Part
from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand
from coach.procedure.resolve import Choices, applies, every_choice, facts_of, listed, mapping
from coach.procedure.standing import Standing
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json
from coach.procedure.yaml_tree import Path as Place

LONGEST_LINE = 6
"""Words of a line that are tried in every order; longer ones are never said by chance."""


def colliding(root: dict[str, Json], blocks: list[WordBlock]) -> Iterator[Mistake]:
    """Lines by which the same words tell of two steps, either of which may be next, and phrases
    that two steps share of which one is next when the other is done."""
    lines = [
        (block, path, text, line)
        for block in blocks
        if block.part is Part.DONE and not (block.option or block.forbidden)
        for path, text, line in block.lines
        if 0 < len(line) <= LONGEST_LINE
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
            elif _one_phrase(path, line, other_line) and together.one_is_next(block, earlier):
                told.add((path, earlier.step))
                yield (
                    path,
                    f"{place(root, path)}, \"{text}\", is a phrase of step '{earlier.step}' too, "
                    "and the one of these steps is next when the other is done: said twice, it "
                    "would count for both, so word one of them otherwise.",
                )


def borrowed(root: dict[str, Json], blocks: list[WordBlock]) -> Iterator[Mistake]:
    """Lines that tell of another step than the one they are written for.

    Once that other step is done they would be credited to this one. A step may be done again, so
    two may share a phrase ("everybody clear") if all its words are words of either; where another
    step understands a phrase or a line of keys by its other words, one such word is enough.
    """
    own = own_words_of(root)
    together = _Together(root)
    heard = [b for b in blocks if b.part is Part.DONE and not (b.option or b.forbidden)]
    phrases: dict[tuple[frozenset[str], ...], list[WordBlock]] = {}
    for block in heard:
        for path, _, line in block.lines:
            if path[-2] == "phrases":
                phrases.setdefault(line, []).append(block)
    told: set[tuple[Place, str]] = set()
    for block in heard:
        for path, text, line in block.lines:
            if not line or (path, block.step) in told:
                continue
            share = own[block.step].share_of(line, text)
            others = phrases.get(line, []) if share < 1 and path[-2] == "phrases" else []
            if not share and path[-2] == "phrases":
                others = [*others, *(b for b in heard if _understands(b, text))]
            elif not share:
                theirs = (b for b in heard if own[b.step].share_of(line, text))
                others = [b for b in theirs if _has_as_keys(b, line)]
            other = next(
                (b for b in others if b.step != block.step and together.may_both_come(block, b)),
                None,
            )
            if other is not None:
                told.add((path, block.step))
                yield (
                    path,
                    f"{place(root, path)}, \"{text}\", tells of step '{other.step}', and nothing "
                    f"else of step '{block.step}' speaks of it: once the one is done it would "
                    "count for the other, so word it otherwise or take it out.",
                )


def _understands(block: WordBlock, phrase: str) -> bool:
    """Whether a phrase is enough for the step of a block."""
    words = Words(block.words.phrases, block.words.keys, block.words.absent)
    moment = Context((StepWords(block.step, words),), due=frozenset({block.step}))
    return any(
        mention.part is Part.DONE and not mention.denied
        for mention in understand(phrase, moment).steps
    )


def _has_as_keys(block: WordBlock, line: tuple[frozenset[str], ...]) -> bool:
    return len(line) <= LONGEST_LINE and any(
        len(line) == len(other) and _meet(line, other) for _, _, other in block.lines
    )


def allowed_and_forbidden(root: dict[str, Json], blocks: list[WordBlock]) -> Iterator[Mistake]:
    """Phrases of acts that must not happen which are a phrase of a step as well, with some choice
    that brings both."""
    of_steps: dict[tuple[frozenset[str], ...], list[WordBlock]] = {}
    for block in blocks:
        if block.part is Part.DONE and not (block.option or block.forbidden):
            for path, _, line in block.lines:
                if path[-2] == "phrases":
                    of_steps.setdefault(line, []).append(block)
    together = _Together(root)
    for act in (block for block in blocks if block.forbidden):
        for path, text, line in act.lines:
            if path[-2] == "phrases":
                for block in of_steps.get(line, ()):
                    if together.comes_with(act, block):
                        yield (
                            path,
                            f'{place(root, path)}, "{text}", is a phrase of step '
                            f"'{block.step}' too: it would be praised and warned of at once, so "
                            "word one of them otherwise.",
                        )


def _meet(one: tuple[frozenset[str], ...], other: tuple[frozenset[str], ...]) -> bool:
    """Whether the same words satisfy both lines, in any order."""
    return any(all(a & b for a, b in zip(one, order, strict=True)) for order in permutations(other))


def _one_phrase(
    path: Place, line: tuple[frozenset[str], ...], other: tuple[frozenset[str], ...]
) -> bool:
    """Whether two lines are the same words, and whole phrases."""
    return path[-2] == "phrases" and line == other and all(len(word) == 1 for word in line)


class _Together:
    """Which steps may be there, and due, at the same time."""

    def __init__(self, root: dict[str, Json]) -> None:
        steps = listed(root.get("steps"))
        self._steps = {str(mapping(step).get("id")): mapping(step) for step in steps}
        self._standing = Standing(steps)
        facts = facts_of(root.get("settings"))
        self._deciding = {name: facts[name] for name in facts if name in self._standing.deciding}
        self._facts = facts
        self._acts = [mapping(act) for act in listed(root.get("never"))]
        self._comes_after = {
            str(mapping(c).get("id")): str(mapping(c).get("after"))
            for c in listed(root.get("complications"))
        }
        self._known: dict[tuple[Place, Place], bool] = {}

    def may_both_be_due(self, one: WordBlock, other: WordBlock) -> bool:
        """Whether some choice brings both blocks, with neither step after the other."""
        pair = (one.path, other.path)
        if pair not in self._known:
            self._known[pair] = self._look(one, other)
        return self._known[pair]

    def may_both_come(self, one: WordBlock, other: WordBlock) -> bool:
        """Whether some choice brings both blocks, whatever comes first."""
        return any(
            self._brings(one, choices) and self._brings(other, choices)
            for choices in every_choice(self._deciding)
        )

    def one_is_next(self, one: WordBlock, other: WordBlock) -> bool:
        """Whether some choice brings both blocks, of one step and of the one suggested next."""
        both = {one.step, other.step}
        return any(
            both == {first, then}
            for fields in self._with_both(one, other)
            for first, then in pairwise(fields)
        )

    def comes_with(self, act: WordBlock, block: WordBlock) -> bool:
        """Whether some choice forbids an act and brings a block of a step."""
        when = mapping(self._acts[int(act.path[1])].get("when"))
        deciding = {**self._deciding, **{name: self._facts[name] for name in when}}
        return any(
            applies(when, choices) and self._brings(block, choices)
            for choices in every_choice(deciding)
        )

    def _brings(self, block: WordBlock, choices: Choices) -> bool:
        """Whether a choice brings the step with just these words."""
        return any(
            self._standing.id_at(position) == block.step and own["heard-as"][0] == block.path[2:]
            for position, own in self._standing.present(choices)
        )

    def _look(self, one: WordBlock, other: WordBlock) -> bool:
        return any(
            not any(
                second in self._before(first, fields)
                for first, second in product((one.step, other.step), repeat=2)
            )
            for fields in self._with_both(one, other)
        )

    def _with_both(
        self, one: WordBlock, other: WordBlock
    ) -> Iterator[dict[str, dict[str, tuple[Place, Json]]]]:
        """The steps in their order, with their fields, for each choice that brings both blocks."""
        complications = {self._steps[block.step].get("complication") for block in (one, other)}
        if len(complications - {None}) > 1:
            return  # one complication comes in a session
        for choices in every_choice(self._deciding):
            present = self._standing.present(choices)
            fields = {str(self._standing.id_at(position)): own for position, own in present}
            stands = all(
                (own := fields.get(block.step)) is not None and own["heard-as"][0] == block.path[2:]
                for block in (one, other)
            )
            if stands:
                yield fields

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
