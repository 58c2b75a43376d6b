"""What is written out for a recogniser that takes a list of phrases."""

from __future__ import annotations

from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.hypothesis import Hint
from coach.hearing.lexicon import Lexicon
from coach.hearing.moment_grammar import in_words, moment_grammar

LEXICON = Lexicon(
    digits=frozenset(["one", "seven"]),
    numbers=frozenset(["hundred"]),
    units=frozenset(["psi"]),
    agreeing=frozenset(["that's right"]),
    refusing=frozenset(["no"]),
    words=frozenset(["stop"]),
)


def test_commands_and_phrases_are_always_in_it_and_answers_where_asked_for() -> None:
    grammar = moment_grammar(Hint(None, ("PPE\u2019s on!", "15 liters", "")), LEXICON)
    assert {"ppe's on", "stop", "no", "one", "psi", "that's"} <= set(grammar)
    assert not {"", "15 liters", "liters", "that's right", "seventeen hundred"} & set(grammar)
    assert "that's right" in moment_grammar(Hint(YES_NO), LEXICON)


def test_every_number_of_a_small_range_is_in_it_as_said_and_by_digits() -> None:
    grammar = set(moment_grammar(Hint(Quantity.FLOW, (), (1.0, 25.0)), LEXICON))
    assert {"fifteen", "one five", "twenty five", "two five", "one seven", "hundred psi"} <= grammar
    assert "twenty six" not in grammar
    assert not [phrase for phrase in grammar if "-" in phrase]


def test_of_a_wide_range_every_word_follows_what_it_can_and_the_list_stays_short() -> None:
    without = moment_grammar(Hint(), LEXICON)
    awaited = moment_grammar(Hint(Quantity.PRESSURE), LEXICON)
    assert {"one thousand seven hundred", "seventeen hundred"} <= set(awaited)
    assert len(awaited) < len(without) + 300


def test_words_of_other_alphabets_stay_whole() -> None:
    assert in_words("\uac10\uc0ac, \ud569\ub2c8\ub2e4!") == "\uac10\uc0ac \ud569\ub2c8\ub2e4"
