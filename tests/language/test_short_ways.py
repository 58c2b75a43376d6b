"""What is passed over to save time is what the long way would find nothing in."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz import fuzz, process

from coach.language import normal, number_grammar
from coach.language.commands import FUZZY_RATIO, _commands, _commands_as_long_as
from coach.language.normal import tokens
from coach.language.number_words import MAY_BEGIN

WORDS = st.sampled_from([*sorted(MAY_BEGIN), "gauge", "fourth", "to", "no", "wait", "17", "1.5"])
SENTENCES = st.lists(WORDS, min_size=1, max_size=6)


@given(SENTENCES)
def test_no_number_begins_with_a_word_that_is_passed_over(words: list[str]) -> None:
    with pytest.MonkeyPatch.context() as long_way:
        every_word = type("Every", (), {"__contains__": lambda self, word: True})()
        long_way.setattr(number_grammar, "MAY_BEGIN", every_word)
        full = [list(number_grammar.numbers_at(words, at)) for at in range(len(words) + 1)]
    assert [list(number_grammar.numbers_at(words, at)) for at in range(len(words) + 1)] == full


@given(st.text(alphabet="aBz' \n,;:.!?-1\u2019", max_size=30))
def test_a_plain_text_needs_no_marks_in_words(text: str) -> None:
    short = tokens.__wrapped__(text)
    with pytest.MonkeyPatch.context() as long_way:
        long_way.setattr(normal, "_PLAIN", re.compile("(?!)"))
        assert tokens.__wrapped__(text) == short


@given(st.data())
def test_a_command_heard_wrong_is_looked_for_among_those_of_its_length(data: st.DataObject) -> None:
    said = list(data.draw(st.sampled_from(sorted(_commands()))))
    for _ in range(data.draw(st.integers(0, 3))):
        at = data.draw(st.integers(0, len(said)))
        said[at : at + data.draw(st.integers(0, 1))] = data.draw(st.sampled_from(["", "e", "th"]))
    text = "".join(said)
    all_ways = process.extractOne(
        text, list(_commands()), scorer=fuzz.ratio, score_cutoff=FUZZY_RATIO
    )
    near = process.extractOne(
        text, _commands_as_long_as(len(text)), scorer=fuzz.ratio, score_cutoff=FUZZY_RATIO
    )
    assert (near and near[:2]) == (all_ways and all_ways[:2])
