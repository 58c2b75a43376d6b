"""A step may only be left out of a program in silence where nothing of safety is lost with it."""

from __future__ import annotations

import pytest
from skill_samples import LOCAL, LOCAL_SCHEMA, SAMPLE, sample_table

from coach.edges.skill_folders import skill_paths
from coach.procedure.in_force import in_force
from coach.procedure.left_out import lost_with
from coach.procedure.local_facts import parse_local_facts
from coach.procedure.resolve import listed, mapping
from coach.procedure.yaml_tree import Json, read_tree

PLAIN: dict[str, Json] = {"id": "wave", "name": "the friendly wave", "say": "Wave."}


@pytest.mark.parametrize(
    ("more", "lost"),
    [
        ({}, ""),
        ({"after": [{"step": "wave", "because": "it is kind"}]}, ""),
        (
            {"after": [{"step": "gloves", "because": "of germs", "safety": True}]},
            "it is marked for safety: 'gloves' must come before it",
        ),
        (
            {"variants": [{"after": [{"step": "gloves", "because": "of germs", "safety": True}]}]},
            "it is marked for safety: 'gloves' must come before it",
        ),
        ({"aloud": "What you do."}, "an evaluator has to hear it"),
        ({"partner": {"who": "Your partner"}}, "an evaluator has to hear it"),
        ({"readings": [{"name": "flow"}]}, "its number is held against a range"),
        ({"variants": [{"readings": [{"name": "flow"}]}]}, "its number is held against a range"),
        ({"clock": {"limit-s": 10}}, "it is timed"),
        ({"cautions": ["Be gentle."]}, "it has a caution of its own"),
    ],
)
def test_what_is_lost_with_a_step(more: dict[str, Json], lost: str) -> None:
    assert lost_with("wave", {"wave": {**PLAIN, **more}}) == lost


def test_a_step_that_a_caution_names_is_not_left_out_in_silence() -> None:
    steps = {"wave": PLAIN}
    assert lost_with("wave", steps, ["Never forget the friendly wave."]) == "a caution names it"
    assert lost_with("wave", steps, ["Be friendly."]) == ""


def test_a_step_left_out_is_told_aloud_with_its_reason() -> None:
    left_out = (
        "skills:\n  sample-skill:\n    steps:\n      calm: {because: So it is., left-out: true, "
        "weakens: Nobody is anxious here.}\n"
    )
    tree, _ = read_tree(SAMPLE, "sample-skill.yaml")
    skill = mapping(tree.value if tree else None)
    program, problems = parse_local_facts(
        LOCAL + left_out, "river.local.yaml", LOCAL_SCHEMA, sample_table(), {"sample-skill": skill}
    )
    assert program is not None, problems
    told = in_force(program, "sample-skill", (), skill, sample_table()).weaker
    assert ("Weaker than published: the step calm.", "Nobody is anxious here.") in told


def test_no_step_that_is_read_heard_or_cautioned_goes_in_silence() -> None:
    """Of the program's own skills."""
    for skill, file in skill_paths().items():
        tree, _ = read_tree(file.read_text("utf-8"), file.name)
        root = mapping(tree.value if tree else None)
        steps = {
            str(step["id"]): step for step in map(mapping, listed(root["steps"])) if "id" in step
        }
        for name, step in steps.items():
            if step.keys() & {"readings", "aloud", "cautions"}:
                assert lost_with(name, steps, root.get("cautions")), (skill, name)
