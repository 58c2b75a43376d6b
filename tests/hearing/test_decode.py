"""From sure and unsure frames to what was heard; foreign words and noise are not forced."""

from __future__ import annotations

import difflib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import yaml
from numpy.typing import NDArray

from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.calibration import Calibration
from coach.hearing.ctc import VOCABULARY, encode
from coach.hearing.decode import decode as decode_calibrated
from coach.hearing.decode import joined, written
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import Lexicon, parse_lexicon, speakable, spelling
from coach.hearing.spoken_number import NUMBER_WORDS
from coach.session.costs import LIMITS

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

WEIGHTS = {
    "fit": 0.8,
    "known_word": -4.0,
    "moment_word": -3.0,
    "moment_pair": 0.0,
    "lead_word": -2.0,
    "unit": -0.5,
    "number_awaited": -1.5,
    "number_asked": -2.5,
    "number_elsewhere": -4.0,
    "letter": -6.0,
    "broken_number": -3.0,
    "foreign_word": -2.0,
    "foreign_nats": -0.4,
    "whole_phrase": 2.0,
    "whole_answer": 3.0,
    "whole_number": 1.0,
    "whole_number_words": 0.0,
    "figures": 1.0,
    "out_of_range": -1.5,
    "nothing": -4.0,
    "nothing_unsure": 4.0,
    "nothing_letters": -0.3,
}
"""Of no network: these tests spell their own frames."""

CALIBRATION = Calibration(
    "",
    WEIGHTS,
    {
        **dict.fromkeys(("number", "answer", "phrase", "words"), (0.8, -1.0, 0.0, 0.0, 0.0)),
        "foreign": (0.0, -2.0, 0.0, 0.0, -1.0),
    },
)


def decode(log_probs: NDArray[np.float32], hint: Hint, lexicon: Lexicon) -> Hypothesis:
    """Decoded with the weights above."""
    return decode_calibrated(log_probs, hint, lexicon, CALIBRATION)


def likeliest(log_probs: NDArray[np.float32], hint: Hint, lexicon: Lexicon) -> str:
    """The likeliest text, taken or only named because it is not likely enough to be taken."""
    result = decode(log_probs, hint, lexicon)
    known = set(result.text.split()) <= lexicon.all_words | NUMBER_WORDS
    return result.text if known else result.others[0][0]


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
    assert likeliest(frames, Hint(), LEXICON) == "nice"
    assert likeliest(frames, Hint(Quantity.PRESSURE), LEXICON) == "nine"


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
    assert likeliest(frames, Hint(), LEXICON) == "go"
    assert likeliest(frames, Hint(YES_NO), LEXICON) == "no"


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


def between(one: str, other: str, chance: float) -> NDArray[np.float32]:
    """Frames of `one` in which `other` has `chance` of its own wherever the letters part."""
    frames, rows = heard(one), []
    first, second = [0, *encode(one)], [0, *encode(other)]
    matcher = difflib.SequenceMatcher(None, first[1:], second[1:], autojunk=False)
    rows.append(frames[0])
    for _, a, b, c, d in matcher.get_opcodes():
        for place in range(max(b - a, d - c)):
            likely = np.full(CLASSES, 1e-6)
            likely[first[1:][a + place] if a + place < b else 0] += 1.0 - chance
            likely[second[1:][c + place] if c + place < d else 0] += chance
            rows += [np.log(likely / likely.sum()), frames[0]]
    return np.array(rows, np.float32)


CONFUSABLE = [
    *(
        pair
        for teen, ten in zip(
            "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(),
            "thirty forty fifty sixty seventy eighty ninety".split(),
            strict=True,
        )
        for pair in (
            (teen, ten),
            (f"{teen} hundred", f"{ten} hundred"),
            (f"a hundred {teen}", f"a hundred {ten}"),
            (f"one {teen}", f"one {ten}"),
        )
    ),
    ("one five", "one nine"),
    ("five", "nine"),
    ("two", "ten"),
    ("two hundred", "ten hundred"),
    ("four", "five"),
    ("sixty five", "sixty nine"),
    ("one seven oh oh", "one seven oh four"),
]
"""Numbers taken for each other; the teens and tens are those of `coach.language.number_words`."""

CONFUSABLE_LEXICON = replace(
    LEXICON, numbers=frozenset(NUMBER_WORDS), words=LEXICON.words | {"a", "and"}
)


@pytest.mark.parametrize(("one", "other"), CONFUSABLE)
def test_numbers_that_sound_alike_name_each_other(one: str, other: str) -> None:
    hint = Hint(Quantity.PRESSURE)
    for said, rival in ((one, other), (other, one)):
        clear = decode(between(said, rival, 0.0001), hint, CONFUSABLE_LEXICON)
        assert clear.text == said
        assert clear.confidence > 0.9
        close = decode(between(said, rival, 0.35), hint, CONFUSABLE_LEXICON)
        texts = {close.text, *(text for text, _ in close.others)}
        assert {said, rival} <= texts
        assert close.confidence < 0.9


def test_the_chances_of_all_texts_are_at_most_one() -> None:
    close = decode(between("fifteen", "fifty", 0.4), Hint(Quantity.FLOW), CONFUSABLE_LEXICON)
    chances = [chance for _, chance in close.others]
    assert chances == sorted(chances, reverse=True)
    assert 0.0 < close.confidence + sum(chances) <= 1.001


def test_ways_to_say_one_number_are_not_rivals() -> None:
    close = decode(between("seven oh", "seven zero", 0.45), Hint(Quantity.FLOW), CONFUSABLE_LEXICON)
    assert close.confidence > 0.9
    assert "seven zero" not in dict(close.others)


@pytest.mark.parametrize(("said", "sounds"), [("two", "to"), ("four", "for"), ("four", "far")])
def test_small_words_are_numbers_where_one_is_awaited(said: str, sounds: str) -> None:
    lexicon = replace(LEXICON, words=LEXICON.words | {"to", "for", "far"})
    frames = between(sounds, said, 0.4)
    assert likeliest(frames, Hint(), lexicon) != said
    assert likeliest(frames, Hint(Quantity.FLOW, (), (1.0, 15.0)), lexicon) == said


def test_a_number_with_a_close_rival_is_unsure_and_names_it() -> None:
    result = decode(between("go", "two", 0.5), Hint(Quantity.FLOW), LEXICON)
    sure = decode(heard("two"), Hint(Quantity.FLOW), LEXICON)
    assert result.text == "two"
    assert result.confidence < LIMITS.stands < sure.confidence
    assert "go" in dict(result.others)


def test_a_number_out_of_range_needs_a_better_fit_but_is_heard() -> None:
    frames = between("fifty", "fifteen", 0.3)
    assert likeliest(frames, Hint(Quantity.FLOW), CONFUSABLE_LEXICON) == "fifty"
    inside = Hint(Quantity.FLOW, (), (1.0, 15.0))
    assert likeliest(frames, inside, CONFUSABLE_LEXICON) == "fifteen"
    assert likeliest(heard("fifty"), inside, CONFUSABLE_LEXICON) == "fifty"


@pytest.mark.parametrize("sound", ["sigh", "si", "p s i", "p sigh"])
def test_a_unit_is_written_however_it_sounded(sound: str) -> None:
    lexicon = replace(
        LEXICON, sounds=frozenset((s, "psi") for s in ("sigh", "si", "p s i", "p sigh"))
    )
    result = decode(heard(f"seventeen hundred {sound}"), Hint(Quantity.PRESSURE), lexicon)
    assert result.text == "seventeen hundred psi"
    assert written(f"one {sound} stop", lexicon) == "one psi stop"
    assert written(f"{sound} one", lexicon) == f"{sound} one"
