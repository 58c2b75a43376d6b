"""From sure and unsure frames to what was heard; foreign words and noise are not forced."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import yaml
from numpy.typing import NDArray

from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.ctc import VOCABULARY, encode
from coach.hearing.decode import decode, joined
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import Lexicon, parse_lexicon, speakable, spelling

CLASSES = len(VOCABULARY) + 1
LEXICON = Lexicon(
    digits=frozenset("zero oh one two three four five six seven eight nine".split()),
    numbers=frozenset("ten fifteen fifty hundred seventeen".split()),
    units=frozenset(["psi", "liters"]),
    agreeing=frozenset(["yes", "that's right"]),
    refusing=frozenset(["no", "not correct"]),
    letters=frozenset(["o", "d"]),
    words=frozenset("go stop do next nice the mask is on airway open".split()),
)


def heard(
    text: str, alternatives: dict[int, tuple[str, float]] | None = None
) -> NDArray[np.float32]:
    """Frames that spell `text`; `alternatives` gives a letter's place another letter's chance."""
    rows = []
    for place, k in enumerate(encode(text)):
        letter = np.full(CLASSES, 1e-6)
        letter[k] = 1.0
        if alternatives and place in alternatives:
            other, chance = alternatives[place]
            letter[encode(other)[0] if other else 0] = chance
        blank = np.full(CLASSES, 1e-6)
        blank[0] = 1.0
        rows += [blank, letter]
    rows.append(np.full(CLASSES, 1e-6))
    rows[-1][0] = 1.0
    probabilities = np.array(rows)
    sure: NDArray[np.float32] = np.log(
        probabilities / probabilities.sum(axis=1, keepdims=True)
    ).astype(np.float32)
    return sure


def silence() -> NDArray[np.float32]:
    return heard("")


@pytest.mark.parametrize("expect", [None, YES_NO, Quantity.PRESSURE])
def test_silence_is_an_empty_text(expect: Quantity | str | None) -> None:
    assert decode(silence(), Hint(expect, ("the mask is on",)), LEXICON) == Hypothesis("", 0.0)


def test_noise_that_resembles_a_letter_is_an_empty_text() -> None:
    """A letter a little likelier than many others is what an engine or a door gives."""
    frames = np.full((30, CLASSES), np.log(0.5 / 28), np.float32)
    frames[:, 0] = np.log(0.5)
    frames[14] = np.log(0.9 / 28)
    frames[14, encode("o")[0]] = np.log(0.1)
    assert decode(frames, Hint(), LEXICON).text == ""


@pytest.mark.parametrize(("chance", "text"), [(0.9, "go"), (0.1, "")])
def test_a_word_of_unlikely_letters_is_noise(chance: float, text: str) -> None:
    """Each letter is the likeliest of its place all the same, by `chance` against many others."""
    frames = heard("go")
    for row, letter in zip((1, 3), encode("go"), strict=True):
        frames[row] = np.log((1.0 - chance) / (CLASSES - 1))
        frames[row, letter] = np.log(chance)
    assert decode(frames, Hint(None, ("go",)), LEXICON).text == text


def test_a_word_of_the_lexicon_is_heard_surely() -> None:
    result = decode(heard("stop"), Hint(), LEXICON)
    assert result.text == "stop"
    assert result.confidence > 0.9


def test_a_lost_letter_is_repaired() -> None:
    result = decode(heard("airwa", {4: ("a", 0.9)}), Hint(), LEXICON)
    assert result.text != "airway", "a letter without any chance is not invented"
    rows = heard("airway", {5: ("", 4.0)})
    assert decode(rows, Hint(), LEXICON).text == "airway"


@pytest.mark.parametrize("foreign", ["dog", "banana", "jolly", "knob", "stomp"])
def test_a_foreign_word_comes_back_as_it_sounded(foreign: str) -> None:
    for expect in (None, YES_NO, Quantity.PRESSURE):
        result = decode(heard(foreign), Hint(expect, ("the mask is on",)), LEXICON)
        assert result.text == foreign
        assert result.confidence < 0.6


def test_an_awaited_number_wins_where_the_sound_allows_both() -> None:
    frames = heard("nice", {2: ("n", 0.05)})
    assert decode(frames, Hint(), LEXICON).text == "nice"
    assert decode(frames, Hint(Quantity.PRESSURE), LEXICON).text == "nine"


def test_fifteen_is_not_fifty() -> None:
    for text in ("fifteen", "fifty"):
        assert decode(heard(text), Hint(Quantity.PRESSURE), LEXICON).text == text


def test_digits_in_a_row_stay_in_order() -> None:
    assert decode(heard("one seven oh oh"), Hint(Quantity.PRESSURE), LEXICON).text == (
        "one seven oh oh"
    )


def test_words_of_a_phrase_of_the_moment_are_known() -> None:
    frames = heard("flange seated", {0: ("b", 1.5)})
    assert decode(frames, Hint(), LEXICON).text != "flange seated"
    assert decode(frames, Hint(None, ("flange seated",)), LEXICON).text == "flange seated"


def test_a_phrase_with_a_figure_in_it_is_left_out_not_fatal() -> None:
    assert decode(heard("stop"), Hint(None, ("size 9", "")), LEXICON).text == "stop"


def test_yes_and_no_are_favoured_where_they_are_asked_for() -> None:
    frames = heard("go", {0: ("n", 0.4)})
    assert decode(frames, Hint(), LEXICON).text == "go"
    assert decode(frames, Hint(YES_NO), LEXICON).text == "no"


def test_a_doubtful_word_is_less_sure() -> None:
    clear = decode(heard("go"), Hint(), LEXICON)
    doubtful = decode(heard("go", {0: ("n", 0.9)}), Hint(), LEXICON)
    assert doubtful.confidence < clear.confidence


def test_pieces_are_joined_and_as_sure_as_the_least() -> None:
    pieces = [Hypothesis("the mask", 0.9), Hypothesis("", 0.0), Hypothesis("is on", 0.4)]
    assert joined(pieces) == Hypothesis("the mask is on", 0.4)
    assert joined([]) == Hypothesis("", 0.0)


def test_the_lexicon_that_comes_with_the_program_is_whole() -> None:
    path = Path(__file__).parents[2] / "models" / "lexicon.yaml"
    lexicon = parse_lexicon(yaml.safe_load(path.read_text(encoding="utf-8")), "lexicon.yaml")
    assert {"zero", "oh", "nine"} <= lexicon.digits
    assert {"yes", "yeah"} <= lexicon.agreeing
    assert {"stop", "next", "mask", "flange", "nostril", "canister"} <= lexicon.all_words
    assert not lexicon.agreeing & lexicon.refusing


def test_a_bad_entry_of_a_lexicon_is_named() -> None:
    tree: dict[str, list[object]] = {
        group: [] for group in ("digits", "numbers", "units", "agreeing", "refusing")
    }
    with pytest.raises(InputError, match=r"mine\.yaml: letters must be a list"):
        parse_lexicon(tree, "mine.yaml")
    with pytest.raises(InputError, match=r"mine\.yaml: words: True is no word"):
        parse_lexicon({**tree, "letters": [], "words": [True]}, "mine.yaml")


@pytest.mark.parametrize(
    ("phrase", "good"), [("that's right", True), ("9", False), ("", False), (" a", False)]
)
def test_spelling(phrase: str, good: bool) -> None:
    assert speakable(phrase) is good


def test_phrases_of_the_moment_may_be_written_as_in_a_skill_file() -> None:
    frames = heard("flange seated", {0: ("b", 1.5)})
    assert decode(frames, Hint(None, ("Flange, seated",)), LEXICON).text == "flange seated"


@pytest.mark.parametrize(
    ("written", "spelt"),
    [("Non-rebreather, on", "non rebreather on"), ("It\u2019s full.", "it's full"), ("size 9", "")],
)
def test_spelling_of_a_written_phrase(written: str, spelt: str) -> None:
    assert spelling(written) == spelt
