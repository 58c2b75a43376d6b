"""A table of facts: what is written is read, and every mistake has its line."""

from __future__ import annotations

import pytest
from skill_samples import FACTS, line_of, parsed, parsed_facts, sample_table

from coach.procedure.bibliography import bibliography
from coach.procedure.fact_file import parse_facts
from coach.procedure.fact_references import fact_mistakes, with_facts
from coach.procedure.facts import Amount, Fact, FactTable, Kept, Safer
from coach.procedure.in_force import exceptions_told
from coach.procedure.yaml_tree import Json

# Each case: what is replaced in the facts, by what, where the problem must lie, what it must say.
BROKEN = {
    "no year": (
        ", year: 2020, standing: textbook}",
        ", standing: textbook}",
        "booklet: {",
        "'booklet' of 'sources' has no 'year': add the year it was published, or 'undated'.",
    ),
    "no standing": (
        ", year: 2020, standing: textbook}",
        ", year: 2020}",
        "booklet: {",
        "'booklet' of 'sources' has no 'standing': add what kind of text it is, such as "
        "'protocol', 'textbook' or 'custom'.",
    ),
    "year in words": (
        "year: 2020",
        "year: lately",
        "booklet: {",
        "the year of source 'booklet' is 'lately': give a year, or 'undated'.",
    ),
    "no source": (
        "    unit: s\n    sources: [booklet]\n  sample-pressure",
        "    unit: s\n  sample-pressure",
        "  sample-pass-infant:",
        "fact 'sample-pass-infant' has no 'sources': add a list of keys",
    ),
    "unknown source": (
        "sources: [booklet]\n    because",
        "sources: [bocklet]\n    because",
        "[bocklet]",
        "fact 'sample-pass-adult' names the source 'bocklet', which is not among the sources: did "
        "you mean 'booklet'?",
    ),
    "unknown source of another value": (
        "{value: 15, sources: [sheet]",
        "{value: 15, sources: [moon]",
        "longer: {",
        "differing value 'longer' of fact 'sample-pass-adult' names the source 'moon', which is "
        "not among the sources: the sources are booklet, sheet.",
    ),
    "a size that anybody may be told": (
        "    unit: mm\n    only-checked: size\n",
        "    unit: Fr\n",
        "  sample-size:",
        "fact 'sample-size' is the size of a device, which nobody is told unasked: add "
        "'only-checked: size'.",
    ),
    "unknown unit": ("unit: cm", "unit: c", "unit: c\n", "'unit' of fact 'sample-depth' cannot be"),
    "no value": (
        "    value: 4\n",
        "",
        "  sample-dose:",
        "fact 'sample-dose' has no value: give 'value', or 'low' and 'high' of a range.",
    ),
    "value and range": (
        "    value: 4\n",
        "    value: 4\n    low: 2\n",
        "  sample-dose:",
        "fact 'sample-dose' has both a value and a range: keep one of them.",
    ),
    "low above high": (
        "low: 500",
        "low: 5000",
        "low: 5000",
        "fact 'sample-pressure' has a low of 5000, not below its high of 2400: swap or mend them.",
    ),
    "no reason for the default": (
        "    because: The shorter limit is the safer one.\n",
        "",
        "  sample-pass-adult:",
        "fact 'sample-pass-adult' has values that differ and no 'because': say why the default is",
    ),
    "default less safe": (
        "longer: {value: 15",
        "longer: {value: 8",
        "longer: {",
        "fact 'sample-pass-adult' says that lower is safer, but 'longer' has 8 and the default 10: "
        "make the safer one the default, or say in 'not-the-safest' why it is not.",
    ),
    "no thought which is safer": (
        "    safer: lower\n    sources: [booklet]\n    because: The shorter",
        "    sources: [booklet]\n    because: The shorter",
        "  sample-pass-adult:",
        "fact 'sample-pass-adult' and 'longer' give different numbers: say in 'safer' which "
        "direction errs for the patient: lower, higher or neither.",
    ),
    "an exception to nothing": (
        "because: The shorter limit",
        "not-the-safest: Nobody knows.\n    because: The shorter limit",
        "not-the-safest",
        "fact 'sample-pass-adult' has 'not-the-safest', but no published number is safer: take it "
        "out.",
    ),
    "a safer side that is none": (
        "safer: lower",
        "safer: slower",
        "safer: slower",
        "'safer' of fact 'sample-pass-adult' cannot be 'slower': did you mean 'lower'?",
    ),
    "words that are safer": (
        "value: two and five",
        "value: two and five\n    safer: lower",
        "safer: lower\n    unit: positions",
        "fact 'sample-pins' says that lower is safer, but has no number to compare: give a number",
    ),
    "other value named like an end": (
        "longer: {",
        "high: {",
        "high: {",
        "differing value 'high' of fact 'sample-pass-adult' has a name kept for ranges: give it",
    ),
    "kept for no reason": (
        "only-checked: dose",
        "only-checked: secret",
        "only-checked: secret",
        "'only-checked' of fact 'sample-dose' cannot be 'secret': the values are dose, size.",
    ),
    "misspelt key": (
        "population: adult\n    low: 5",
        "populaton: adult\n    low: 5",
        "populaton",
        "fact 'sample-depth' has an unknown key 'populaton': did you mean 'population'?",
    ),
}


@pytest.mark.parametrize(("old", "new", "place", "says"), BROKEN.values(), ids=BROKEN.keys())
def test_one_mistake_is_one_problem_on_its_line(old: str, new: str, place: str, says: str) -> None:
    assert FACTS.count(old) == 1, "the case must change one place of the facts"
    broken = FACTS.replace(old, new)
    problems = parsed_facts(broken).problems
    assert len(problems) == 1, [str(problem) for problem in problems]
    assert (problems[0].file, problems[0].line) == ("folder/facts.yaml", line_of(place, broken))
    assert says in problems[0].message
    assert parsed_facts(broken).table is None


def test_what_is_written_is_read() -> None:
    table = sample_table()
    adult = table.facts["sample-pass-adult"]
    assert adult.amount == Amount(value=10.0)
    assert (adult.unit, adult.population, adult.safer) == ("s", "adult", Safer.LOWER)
    assert adult.differs["longer"].amount == Amount(value=15.0)
    assert adult.all_sources() == ("booklet", "sheet")
    assert table.facts["sample-dose"].kept == Kept.DOSE
    sheet = table.sources["sheet"]
    assert (sheet.year, sheet.weak, sheet.from_memory) == (None, True, True)
    assert table.sources["booklet"].year == 2020


def test_a_default_may_be_less_safe_with_its_reason() -> None:
    said = FACTS.replace("longer: {value: 15", "longer: {value: 8").replace(
        "because: The shorter", "not-the-safest: The device prints it.\n    because: The shorter"
    )
    table = parsed_facts(said).table
    assert table is not None
    assert table.facts["sample-pass-adult"].exception == "The device prints it."
    assert list(exceptions_told(table))[1:] == [
        "DEFAULTS THAT ARE NOT THE SAFEST PUBLISHED NUMBER",
        "",
        "sample-pass-adult: 10 s (longest pass, adult)",
        "    because: The device prints it.",
    ]
    assert any("NOT THE SAFEST PUBLISHED: The device" in line for line in bibliography(table, []))
    assert not list(exceptions_told(table, but={"sample-pass-adult"}))


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        ("{fact.sample-pass-adult}", 10.0),
        ("{fact.sample-pass-adult.longer}", 15.0),
        ("{fact.sample-pressure.high}", 2400.0),
        ("{fact.sample-pressure}", "500 to 2,400"),
        ("at {fact.sample-pins}", "at two and five"),
        ("from {fact.sample-pressure.high} down", "from 2,400 down"),
        ("{fact.sample-depth.low.in-mm}", 50.0),
        ("{fact.sample-wait.in-s}", 120.0),
        ("{no-fact.0.5}", 0.5),
        ("the {no-fact.two} of {patient}", "the two of {patient}"),
        ("{patient.limit}", "{patient.limit}"),
        ({"sources": ["{fact.sample-pins}"]}, {"sources": ["{fact.sample-pins}"]}),
    ],
)
def test_facts_stand_where_they_are_named(written: str, becomes: str | float) -> None:
    assert with_facts(written, sample_table()) == becomes


def test_a_skill_holds_the_sources_behind_its_facts() -> None:
    skill_file = parsed().skill_file
    assert skill_file
    # The booklet and the sheet stand behind the facts that the sample names, at one place each.
    assert skill_file.sources["booklet"] == "An invented booklet, second edition"
    assert skill_file.sources["sheet"] == "An invented sheet"
    assert skill_file.sources["invented"] == "An invented table, first edition"


def test_a_table_beside_the_program_s_adds_and_does_not_change() -> None:
    from skill_samples import FACTS_SCHEMA

    more = "facts:\n  own: {about: a, population: b, value: 1, unit: s, sources: [booklet]}\n"
    added = parse_facts(more, "facts.yaml", FACTS_SCHEMA, sample_table()).table
    assert added
    both = sample_table().with_more(added)
    assert both.facts["own"].part("") == 1.0
    assert both.facts["sample-dose"].part("") == 4.0
    (problem,) = parse_facts(
        more.replace("own:", "sample-dose:"), "facts.yaml", FACTS_SCHEMA, sample_table()
    ).problems
    assert str(problem) == (
        "facts.yaml:2: the fact 'sample-dose' is in the program's table already: give this one "
        "another name."
    )


def test_what_is_counted_may_be_any_thing_that_is_counted() -> None:
    table = FactTable(
        {
            name: Fact(name, "a row", "adult", unit, Amount(30.0), ("common",))
            for name, unit in (("row", "compressions"), ("wait", "s"))
        }
    )
    reading: Json = {"name": "n", "unit": "counted", "low": "{fact.row}", "high": "{fact.wait}"}
    found = list(fact_mistakes({"steps": [{"id": "press", "readings": [reading]}]}, table))
    assert [path[-1] for path, _ in found] == ["high"]
