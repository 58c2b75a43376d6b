"""No dose comes from no text, however its number is marked."""

from __future__ import annotations

import pytest
from skill_samples import SAMPLE, parsed

HOW, WHY = "how: Hold it for a moment.", "why: It brings the oxygen."


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        ("Give {no-fact.5} mg of morphine.", "5 mg"),
        ("Give {no-fact.4} milligrams of naloxone.", "4 milligrams"),
        ("Give {no-fact.0.3} micrograms.", "0.3 micrograms"),
        ("Give {no-fact.two} more puffs.", "two more puffs"),
        ("Give {no-fact.1} to {no-fact.2} grams.", "2 grams"),
        ("Give {no-fact.10} international units.", "10 international units"),
        ("Give {no-fact.10 mL} of it.", "10 mL"),
        ("Give {no-fact.10mL} of it.", "10mL"),
        ("Give {no-fact.half a} tablet.", "half a tablet"),
        ("A {no-fact.2}-milligram spray.", "2-milligram"),
        ("Give one milligram of it.", "one milligram"),
    ],
)
def test_a_dose_from_no_text_is_a_mistake(told: str, shown: str) -> None:
    (problem,) = parsed(SAMPLE.replace(HOW, f'how: "{told}"')).problems
    assert f"'how' of step 'fit' tells \"{shown}\" from no text" in problem.message


@pytest.mark.parametrize(
    "told",
    [
        "Press with {no-fact.two fingers along} the neck.",
        "{no-fact.five} are published, none is wrong.",
        "Turn it to {no-fact.2} liters a minute.",
        "Give it {no-fact.two} times.",
        "Wait {no-fact.five} seconds after the spray.",
        "One spray goes in each side; a dose is on the label.",
        "Name the dose in milligrams, not in grams.",
    ],
)
def test_other_numbers_may_say_that_they_are_no_facts(told: str) -> None:
    assert parsed(SAMPLE.replace(HOW, f'how: "{told}"')).problems == ()


def test_a_dose_that_an_option_passes_on_is_one_too() -> None:
    # The sample's option 'most' is {no-fact.15}; nothing says of what it is but the text.
    (problem,) = parsed(SAMPLE.replace(WHY, 'why: "Give {patient.most} puffs."')).problems
    assert 'tells "15 puffs" from no text' in problem.message


def test_no_dose_is_held_against_a_number_from_no_text() -> None:
    reading = """    readings:
      - name: dose
        quantity: dose
        unit: mg
        low: "{no-fact.4}"
        high: "{no-fact.8}"
        ask: Which dose?
        sources: [common]
"""
    told = SAMPLE.replace(f"    {HOW}\n", f"    {HOW}\n{reading}")
    assert [problem.message.split(":")[0] for problem in parsed(told).problems] == [
        f"'{end}' of reading 'dose' of step 'fit' is of a dose and from no text"
        for end in ("low", "high")
    ]
