"""Finds and reads scenario files: those that come with the program, and the user's."""

from __future__ import annotations

from pathlib import Path

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import (
    ENDINGS,
    SCENARIO,
    is_scenario_file,
    known_files,
    skill_paths,
)
from coach.edges.skill_text import BrokenFileError, published_schema, read_text, shown
from coach.procedure.scenario import Scenario
from coach.procedure.scenario_file import parse_scenario
from coach.procedure.wording import did_you_mean


def scenario_paths() -> dict[str, Path]:
    """The file of each known scenario by its id; the user's hides the program's of the same id."""
    return known_files(is_scenario_file, SCENARIO)


def scenarios_of(skill: str) -> tuple[Scenario, ...]:
    """The known scenarios for a skill, in order of ids; files with mistakes are left out."""
    schema = published_schema("scenario.schema.json")
    parsed = (
        parse_scenario(read_text(path), shown(path), schema, None)[0]
        for path in scenario_paths().values()
    )
    return tuple(scenario for scenario in parsed if scenario and scenario.skill == skill)


def read_scenario(path: Path) -> tuple[Scenario | None, tuple[Problem, ...]]:
    """The scenario of a file, or its problems; its names are checked against its skill."""
    file = shown(path)
    text = read_text(path)
    schema = published_schema("scenario.schema.json")
    scenario, problems = parse_scenario(text, file, schema, None)
    if scenario is None:
        return None, problems
    own = path.stem.removesuffix(SCENARIO)
    if scenario.id != own:
        wrong = f"the id is '{scenario.id}', but the file is named '{own}': make them the same."
        return None, (Problem(file, 1, wrong),)
    if scenario.skill not in skill_paths():
        advice = did_you_mean(scenario.skill, skill_paths(), "skills", "coach skills")
        return None, (Problem(file, 1, f"there is no skill '{scenario.skill}': {advice}"),)
    return parse_scenario(text, file, schema, load_skill(scenario.skill))


def load_scenario(name: str) -> Scenario:
    """The scenario of that id, or of a file; InputError with every problem if there is none."""
    path = Path(name)
    if path.suffix not in ENDINGS:
        known = scenario_paths()
        if name not in known:
            advice = did_you_mean(name, known, "scenarios", "coach skills")
            raise InputError(f"There is no scenario '{name}': {advice}")
        path = known[name]
    scenario, problems = read_scenario(path)
    if scenario is None:
        raise BrokenFileError(shown(path), problems)
    return scenario
