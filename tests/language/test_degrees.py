"""How much of it is seen at a patient, against how well an act was done (common practice, no
source)."""

from __future__ import annotations

import pytest

from coach.language.degrees import without_degrees
from coach.language.moods import tells_plainly


@pytest.mark.parametrize(
    "said",
    [
        "his skin's kinda pale and clammy",
        "he looks a little gray",
        "she seems pretty anxious",
        "her face is a bit droopy",
        "he's sort of sweaty",
    ],
)
def test_a_degree_of_what_is_seen_at_a_patient_is_no_doubt(said: str) -> None:
    """It tells plainly what is found."""
    assert tells_plainly(said.split())
    assert len(without_degrees(said.split())) < len(said.split())


@pytest.mark.parametrize(
    "said",
    ["her strap is kinda tight", "i pushed kinda fast", "his head is sort of tilted back"],
)
def test_a_degree_of_an_act_is_a_doubt(said: str) -> None:
    """The act may have been done in part."""
    assert not tells_plainly(said.split())
    assert without_degrees(said.split()) == tuple(said.split())
