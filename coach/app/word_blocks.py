"""The words that a skill file listens for, block by block, as they stand with each choice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from coach.core.meaning import Part
from coach.language.lines import key_line, phrase_words
from coach.language.word_forms import same, stem
from coach.procedure.filler import Filler
from coach.procedure.model import HeardAs
from coach.procedure.resolve import Choices, every_choice, facts_of, listed, mapping, written_fields
from coach.procedure.standing import settings_named
from coach.procedure.yaml_tree import Json
from coach.procedure.yaml_tree import Path as Place


@dataclass(frozen=True)
class WordBlock:
    """One `heard-as` as it stands with some choice; `part` is what of the step it tells.

    `wrong` are the lines that refuse the step from the beginning, each with its path. `forbidden`:
    it is no step, but an act that must not happen.
    """

    step: str
    path: Place
    words: HeardAs
    part: Part = Part.DONE
    option: str = ""
    wrong: tuple[tuple[Place, str], ...] = ()
    forbidden: bool = False

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


@dataclass(frozen=True, slots=True)
class OwnWords:
    """The stems of all that a skill file says of a step besides what is to be heard, and of the
    lines that tell of it without being whole phrases.

    A phrase may be borrowed from another step, these are the step's own.
    """

    stems: frozenset[str]
    keys: tuple[tuple[str, frozenset[str]], ...]

    def share_of(self, line: tuple[frozenset[str], ...], text: str = "") -> float:
        """How many of the words of a line the step has elsewhere, 0 to 1; `text` is the line of
        keys that it is itself."""
        of_keys = frozenset[str]().union(*(stems for key, stems in self.keys if key != text))
        own = self.stems | of_keys
        return sum(_is_among(forms, own) for forms in line) / len(line)


def _is_among(forms: frozenset[str], own: frozenset[str]) -> bool:
    return any(same(form, one) for form in forms for one in own)


def own_words_of(root: dict[str, Json]) -> dict[str, OwnWords]:
    """What each step says of itself, with every choice, by its id."""
    found = {}
    for step in map(mapping, listed(root.get("steps"))):
        parts = [step, *map(mapping, listed(step.get("variants")))]
        texts = (str(part[key]) for part in parts for key in _TEXTS if key in part)
        keys = [
            str(line)
            for part in parts
            for key in ("keys", "absent")
            for line in listed(mapping(part.get("heard-as")).get(key))
        ]
        found[str(step.get("id"))] = OwnWords(
            frozenset(stem(word) for text in texts for word in _LETTERS.findall(text.lower())),
            tuple((line, frozenset[str]().union(*key_line(line))) for line in keys),
        )
    return found


_TEXTS = ("name", "say", "why", "how", "aloud", "found", "cue")
_LETTERS = re.compile("[a-z']+")


def blocks_of(root: dict[str, Json]) -> list[WordBlock]:
    """Every block of words, once for each way in which braces fill it."""
    facts = facts_of(root.get("settings"))
    found: dict[tuple[Place, HeardAs, object], WordBlock] = {}
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
        for block in _of_acts(root, filler):
            found.setdefault((block.path, block.words, block.wrong), block)
    for path, option, step_id in _choosing(root):
        words = Filler({}, {}).heard_as(mapping(option).get("heard-as"))
        name = str(path[-1])
        found.setdefault(
            ((*path, "heard-as"), words, ()),
            WordBlock(step_id, (*path, "heard-as"), words, option=name),
        )
    return list(found.values())


def _of_step(step: Json, path: Place, choices: Choices, filler: Filler) -> Iterator[WordBlock]:
    fields = written_fields(step, choices)
    if fields is None:
        return
    name = str(mapping(step).get("id"))
    where, heard = fields["heard-as"]
    yield WordBlock(
        name, (*path, *where), filler.heard_as(heard), wrong=_wrong(fields, path, filler)
    )
    where, clock = fields.get("clock", ((), None))
    for key, part in (("start", Part.CLOCK_START), ("end", Part.CLOCK_END)):
        if mapping(clock).get(key) is not None:
            words = filler.heard_as(mapping(clock)[key])
            yield WordBlock(name, (*path, *where, key), words, part)


def _of_acts(root: dict[str, Json], filler: Filler) -> Iterator[WordBlock]:
    """The words of what must not happen."""
    for number, act in enumerate(map(mapping, listed(root.get("never")))):
        words = filler.heard_as(act["heard-as"])
        yield WordBlock(str(act["id"]), ("never", number, "heard-as"), words, forbidden=True)


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
