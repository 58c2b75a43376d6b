"""Attempts judged by hand by somebody who had read no phrase of their skills.

`fresh_attempts.yaml` has twenty attempts at twenty skills that no golden attempt is of. When it was
first measured 196 of 252 steps (77.8 %) got the mark worked out by hand, 31 (12.3 %) were unclear
and 25 (9.9 %) wrong. Of the 7 unsafe attempts none was called ready; 3 failures were told as they
are, 1 under another step's name and 3 only as possible. Of the 11 that should be ready 3 were, 5
were unclear and 3 not yet, for what their learners had said. When the causes that reach beyond one
sentence were mended, 205 (81.3 %), 23 (9.1 %) and 24 (9.5 %): since then they prove only that it
stays so.

`unseen_attempts.yaml` has twenty-two attempts at twenty-two other skills. First measured: 227 of
309 steps (73.5 %) right, 41 (13.3 %) unclear, 41 (13.3 %) wrong. Of the 9 unsafe attempts none was
called ready, 6 not yet and 3 unclear; of their 10 failures 6 were told, 1 as possible, 3 not
noticed, and 8 were told that were none. Of the 12 that should be ready 1 was, 4 were unclear and 7
not yet. The words of its skills were mended since by the third set alone; a failing test has shown
the first words of two of its attempts to one who mended.

`further_attempts.yaml` has twenty-eight attempts at the skills of the second set, by two others, in
dense everyday speech. First measured: 261 of 394 steps (66.2 %) right, 104 (26.4 %) unclear, 29
(7.4 %) wrong. Of the 12 unsafe attempts none was called ready; of their 16 failures 6 were told, 6
as possible, 4 not noticed, and 10 were told that were none. What was not understood in it has been
mended since, so that it too proves only that it stays so.

What differs today stands in a file beside each set, so nothing differs unnoticed; `python -m
tests.benchmarks.agreement --write` writes it anew and shows no sentence.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest
import yaml
from attempt_play import played
from benchmarks.agreement.unfitted import SETS, UnfittedSet, agreement, all_played, differences
from benchmarks.written_attempts import Written

DATA = Path(__file__).parent.parent / "data"
ROOT = DATA.parent.parent
LONG = 8
"""Words that may well be said twice by chance ("does anything make it better or worse")."""

BY_CHANCE = frozenset({" i'm only going in as far as i can see "})
"""Said in two sets by people who had not read each other: the rule of the trade nearly word for
word (a catheter goes in no further than it is seen)."""

each_set = pytest.mark.parametrize("of", SETS, ids=lambda of: of.path.stem)


@pytest.mark.parametrize(
    ("of", "written"),
    [pytest.param(of, written, id=written.name) for of in SETS for written in of.attempts],
)
def test_an_attempt_differs_from_the_judgement_by_hand_only_as_is_known(
    of: UnfittedSet, written: Written
) -> None:
    """A difference that is gone is to be taken out of the file, a new one to be named in it."""
    assert differences(written, played(written)) == of.differences.get(written.name, {})


@each_set
def test_of_all_steps_as_many_agree_as_before(
    of: UnfittedSet, record_property: Callable[[str, object], None]
) -> None:
    """And no attempt with a safety failure is called ready."""
    found = agreement(all_played(of.attempts))
    record_property(of.path.stem, str(found))
    assert found.right >= of.least_right * found.steps, found
    assert found.wrong <= of.most_wrong * found.steps, found
    assert found.unnoticed <= of.most_unnoticed, found
    assert not found.passed, found


@each_set
def test_differences_are_of_attempts_that_there_are(of: UnfittedSet) -> None:
    """One that is named otherwise would be looked for nowhere."""
    assert not set(of.differences) - {written.name for written in of.attempts}


def test_no_two_attempts_have_a_name_in_common() -> None:
    """Each is found by its name."""
    attempts = [written for of in SETS for written in of.attempts]
    assert len({written.name for written in attempts}) == len(attempts)


def test_no_skill_of_the_unseen_attempts_was_in_the_first_set() -> None:
    """What was mended by the first set cannot be what the second one proves."""
    first, _, unseen = ([written.skill for written in of.attempts] for of in SETS)
    assert not set(first) & set(unseen)
    assert len(set(unseen)) == len(unseen)


@each_set
def test_the_sentences_are_those_first_written(of: UnfittedSet) -> None:
    """A judgement may have a slip; what was said was said."""
    assert of.sentences == of.as_written


def texts(value: object) -> Iterator[str]:
    """All texts anywhere in what a file holds."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, each in value.items():
            yield from texts(key)
            yield from texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from texts(each)


def plain(text: str) -> str:
    """Its words alone, between spaces."""
    return " ".join(["", *re.findall(r"[a-z0-9']+", text.lower()), ""])


@cache
def read(path: Path) -> frozenset[str]:
    """All texts of a file that are long, as plain words."""
    found = (plain(text) for text in texts(yaml.safe_load(path.read_text(encoding="utf-8"))))
    return frozenset(text for text in found if len(text.split()) > LONG)


@each_set
def test_nothing_is_fitted_to_these_attempts(of: UnfittedSet) -> None:
    """No program reads them, and no long piece of theirs stands in what is learned from."""
    training = ROOT / "models" / "training"
    for program in (*training.glob("*.py"), *(ROOT / "coach").rglob("*.py")):
        assert of.path.stem not in program.read_text(encoding="utf-8"), program
    turns = [turn for written in of.attempts for turn in written.turns if isinstance(turn, str)]
    said = " / ".join(map(plain, turns))
    learned = [*training.glob("*.yaml"), *(ROOT / "procedures").rglob("*.yaml")]
    learned += [path for path in DATA.glob("*.yaml") if path != of.path]
    assert any(turn in said for turn in read(of.path))
    for path in learned:
        assert not [text for text in read(path) if text in said and text not in BY_CHANCE], path
