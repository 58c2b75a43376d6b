"""Steps that several skills share: put in their place, added to, and checked where they stand."""

from __future__ import annotations

from pathlib import Path

import pytest
from skill_samples import (
    FRAGMENTS,
    SAMPLE,
    SKILL_SCHEMA,
    line_of,
    parsed,
    parsed_fragments,
    sample_fragments,
    sample_table,
)

from coach.edges.checked_files import check_file
from coach.edges.shared_files import fragments_for
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_path
from coach.procedure.fragments import Fragments
from coach.procedure.model import Prerequisite, Skill, Step
from coach.procedure.parse import parse_skill
from coach.procedure.resolve import mapping

OWN_GLOVES = SAMPLE[SAMPLE.index("  - id: gloves\n") : SAMPLE.index("  - id: gauge\n")]


def with_step(step: str) -> str:
    """The sample with another first step, whose id is still "gloves"."""
    return SAMPLE.replace(OWN_GLOVES, step)


def chosen(text: str) -> Skill:
    found = parsed(text)
    assert found.skill_file is not None, found.problems
    return found.skill_file.chosen({})


def first(text: str) -> Step:
    return chosen(text).steps[0]


def test_a_shared_step_stands_where_it_is_used() -> None:
    step = first(with_step("  - {use: wash, id: gloves}\n"))
    assert (step.id, step.name, step.say) == ("gloves", "your hands", "Wash your hands.")
    assert step.how == "At least 10 seconds.", "its facts are filled in"
    assert step.heard_as.keys == ("hands washed",)
    assert step.cautions == ("Dry them well.",)


def test_without_an_id_it_keeps_its_own() -> None:
    text = with_step("  - use: wash\n").replace("step: gloves", "step: wash")
    assert chosen(text).step("wash").name == "your hands"


def test_what_the_skill_writes_goes_first_or_is_added() -> None:
    step = first(
        with_step(
            "  - use: wash\n    id: gloves\n    why: The manikin is clean.\n"
            "    heard-as: {keys: [fingers washed]}\n    cautions: [Mind the cuffs.]\n"
            "    sources: [common]\n    after: [{step: suction, because: it splashes}]\n"
        )
    )
    assert (step.why, step.say) == ("The manikin is clean.", "Wash your hands.")
    assert step.heard_as.keys == ("fingers washed", "hands washed")
    assert (step.heard_as.phrases, step.heard_as.absent) == (("my hands are clean",), ("dirt",))
    assert step.cautions == ("Mind the cuffs.", "Dry them well.")
    assert step.sources == ("common", "handbook", "booklet")
    assert step.after == (Prerequisite("suction", "it splashes"),)


def test_it_can_have_variants_and_a_choice_with_which_it_exists() -> None:
    text = with_step(
        "  - use: wash\n    id: gloves\n    when: {patient: adult}\n"
        "    variants: [{when: {device: mask}, say: Wash them again.}]\n"
    )
    assert first(text).say == "Wash them again."
    found = parsed(text).skill_file
    assert found is not None
    assert found.chosen({"patient": "infant"}).steps[0].id == "gauge"


def test_its_sources_are_among_those_of_the_skill() -> None:
    names = chosen(with_step("  - {use: wash, id: gloves}\n")).sources
    assert "An invented handbook, fifth edition" in names
    assert any("invented booklet" in name for name in names)
    assert "An invented handbook, fifth edition" not in chosen(SAMPLE).sources


@pytest.mark.parametrize(
    ("step", "place", "wanted"),
    [
        (
            "  - id: gloves\n    use: wahs\n",
            "use: wahs",
            "step 'gloves' uses 'wahs', which is no shared step: did you mean 'wash'?",
        ),
        (
            "  - use: wash\n    id: gloves\n    sya: Scrub.\n",
            "sya: Scrub",
            "step 'gloves' has an unknown key 'sya': did you mean 'say'?",
        ),
        (
            "  - use: wash\n    id: gloves\n    how: Scrub for 40 seconds.\n",
            "how: Scrub",
            "has the number 40 from nowhere",
        ),
        (
            "  - use: wash\n    id: gloves\n    sources: [common, nowhere]\n",
            "sources: [common, nowhere]",
            "names the source 'nowhere'",
        ),
        (
            "  - use: wash\n    id: gloves\n    after: [{step: fitt, because: x}]\n",
            "after: [{step: fitt",
            "comes after 'fitt', which is no step: did you mean 'fit'?",
        ),
        (
            "  - use: wash\n    id: gloves\n    heard-as: {keys: none}\n",
            "heard-as: {keys: none}",
            "'keys' of 'heard-as' of step 'gloves' must be a list, not text",
        ),
        ("  - use: [wash]\n    id: gloves\n", "use: [wash]", "must be text"),
    ],
)
def test_a_mistake_in_a_use_is_told_with_its_line(step: str, place: str, wanted: str) -> None:
    text = with_step(step)
    problems = parsed(text).problems
    assert [problem.line for problem in problems] == [line_of(place, text)], problems
    assert wanted in problems[0].message


BROKEN = {
    "setting": ("Wash your hands.", "Wash {patient}.", "say: Wash", "'patient' is no setting"),
    "plain number": ("Dry them well.", "Dry them twice.", "Dry them", "number twice from nowhere"),
    "unknown fact": ("sample-pass-adult", "sample-pass", "how: At least", "has no 'sample-pass'"),
    "order": (
        "    cautions:",
        "    after: []\n    cautions:",
        "after: []",
        "step 'wash' has an unknown key 'after'",
    ),
    "unheard": (
        "{phrases: [my hands are clean], keys: [hands washed], absent: [dirt]}",
        "{absent: [dirt]}",
        "heard-as:",
        "no words can match step 'wash'",
    ),
    "source": ("[handbook, booklet]", "[handboko]", "[handboko]", "did you mean 'handbook'?"),
    "no why": ("    why: They carry more than you see.\n", "", "- id: wash", "has no 'why': add"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_mistake_in_a_shared_step_is_told_where_it_stands(case: str) -> None:
    old, new, place, wanted = BROKEN[case]
    text = FRAGMENTS.replace(old, new)
    found = parsed_fragments(text)
    assert found.fragments is None
    assert [problem.file for problem in found.problems] == ["folder/fragments.yaml"]
    assert found.problems[0].line == line_of(place, text)
    assert wanted in found.problems[0].message


def test_two_shared_steps_need_two_names() -> None:
    step = FRAGMENTS[FRAGMENTS.index("  - id: wash") :]
    found = parsed_fragments(FRAGMENTS + step)
    assert "two steps have the id 'wash'" in found.problems[0].message


def test_those_of_another_folder_go_before() -> None:
    step = {**sample_fragments().steps["wash"], "say": "Rub your hands."}
    more = sample_fragments().with_more(Fragments({"wash": step}))
    text = with_step("  - {use: wash, id: gloves}\n")
    found = parse_skill(text, "sample-skill.yaml", SKILL_SCHEMA, sample_table(), more)
    assert found.skill_file is not None
    assert found.skill_file.chosen({}).steps[0].say == "Rub your hands."


def test_own_shared_steps_lie_beside_own_skills(tmp_path: Path) -> None:
    own = FRAGMENTS.replace("{fact.sample-pass-adult}", "{fact.suction-pass-adult}")
    (tmp_path / "fragments.yaml").write_text(own.replace("[handbook, booklet]", "[handbook]"))
    assert check_file(tmp_path / "fragments.yaml") == ()
    assert set(fragments_for(tmp_path).steps) > {"wash", "gloves"}
    assert "wash" not in fragments_for(tmp_path.parent).steps


@pytest.mark.parametrize("skill", ["oral-airway", "nasal-airway"])
def test_the_gloves_of_two_skills_are_the_same(skill: str) -> None:
    shared = fragments_for(skill_path(skill).parent).steps["gloves"]
    step = load_skill(skill).chosen({}).step("gloves")
    assert {"phrases": list(step.heard_as.phrases), "keys": list(step.heard_as.keys)} == {
        key: mapping(shared["heard-as"])[key] for key in ("phrases", "keys")
    }
    assert step.say == shared["say"]
    assert step.why != shared["why"], "each says why there"
