"""Words that the language takes for one and the same: each pair was looked at by a person.

All words with which the skills are heard, and all words of the sentences that learners are known
to say, are held against each other. Plain inflections (-s, -ed, -ing) are the same word; whatever
else comes to one stem, or is near enough to count as misheard, has to stand in
`tests/data/joint_stems.yaml`, or be parted in `coach/language/word_forms.py`.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.language.word_forms import SAME_WORD, same, stem

ROOT = Path(__file__).parents[2]
REVIEWED: dict[str, list[str]] = yaml.safe_load(
    (ROOT / "tests" / "data" / "joint_stems.yaml").read_text("utf-8")
)
SENTENCES = ("careless_sayings", "later_sayings", "first_contact", "paraphrases", "negations")
HEARD = frozenset({"heard-as", "wrong", "words", "start", "end", "phrases", "keys", "absent"})


def texts(value: Any, heard: bool) -> Iterator[str]:
    """All texts by which something is heard, or all texts at all."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from texts(inner, heard or key in HEARD)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner, heard)
    elif isinstance(value, str) and heard:
        yield value.lower()


def words_in(value: Any, heard: bool) -> set[str]:
    """The words of these texts."""
    return {
        word.strip("'")
        for text in texts(value, heard)
        for word in re.findall(r"[a-z']+", text)
        if word.strip("'")
    }


def skill_words() -> set[str]:
    """The words with which the program's skills are heard."""
    files = (file for file in (ROOT / "procedures").glob("*.yaml") if file.name.count(".") == 1)
    return set[str]().union(
        *(words_in(yaml.safe_load(file.read_text("utf-8")), False) for file in files)
    )


def said_words() -> set[str]:
    """The words of what learners say in the tests."""
    files = [ROOT / "tests" / "data" / f"{name}.yaml" for name in SENTENCES]
    return set[str]().union(
        *(words_in(yaml.safe_load(file.read_text("utf-8")), True) for file in files)
    )


def is_inflection(word: str, base: str) -> bool:
    """Whether a word is no more than a form of a shorter one."""
    root = re.escape(base.rstrip("ey"))
    return bool(re.fullmatch(rf"{root}[a-z]?(?:e|es|s|ed|ing|d|'s|y|ies|ied|en|n)?", word))


def joint() -> set[str]:
    """Pairs of words of which one is in a skill and both come to one stem, not by inflection."""
    skills = skill_words()
    groups: dict[str, set[str]] = defaultdict(set)
    for word in skills | said_words():
        groups[stem(word)].add(word)
    found = set()
    for group in groups.values():
        if not group & skills:
            continue
        for one, other in combinations(
            sorted(group - SAME_WORD.keys(), key=lambda w: (len(w), w)), 2
        ):
            if not is_inflection(other, one):
                found.add(f"{one} {other}")
    return {pair for pair in found if not _by_way_of_another(pair, groups)}


def _by_way_of_another(pair: str, groups: dict[str, set[str]]) -> bool:
    """Whether both are inflections of a third word of the group ("closes", "closing")."""
    one, other = pair.split()
    group = groups[stem(one)] - SAME_WORD.keys()
    return any(
        is_inflection(one, base) and is_inflection(other, base) for base in group - {one, other}
    ) or is_inflection(other, one.removesuffix("s").removesuffix("ed").removesuffix("ing"))


def near() -> set[str]:
    """Pairs of different stems that count as one word misheard; one of them is in a skill."""
    skills = {stem(word) for word in skill_words()}
    every = sorted(skills | {stem(word) for word in said_words()})
    return {
        f"{one} {other}"
        for one, other in combinations(every, 2)
        if one[:2] == other[:2] and (one in skills or other in skills) and same(one, other)
    }


def test_every_joint_stem_was_looked_at() -> None:
    assert joint() <= set(REVIEWED["stems"])


def test_every_near_pair_was_looked_at() -> None:
    assert near() <= set(REVIEWED["near"])


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("twist", "turn"),
        ("twisted", "rotated"),
        ("closely", "closed"),
        ("several", "severe"),
        ("left", "leave"),
        ("going", "gone"),
        ("handed", "hand"),
        ("medical", "medics"),
        ("medication", "medic"),
        ("inhaler", "inhaled"),
        ("positive", "position"),
        ("shortly", "short"),
        ("patent", "patient"),
        ("hypoglycemia", "hyperglycemia"),
        ("container", "contraindication"),
        ("straight", "straightened"),
        ("thirsty", "thirty"),
        ("stretch", "stretcher"),
    ],
)
def test_words_of_another_sense_are_parted(one: str, other: str) -> None:
    assert not same(stem(one), stem(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [("inhalers", "inhaler"), ("twists", "twisted"), ("medications", "medication")],
)
def test_their_own_forms_are_still_theirs(one: str, other: str) -> None:
    assert same(stem(one), stem(other))
